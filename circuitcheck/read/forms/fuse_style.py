"""Form of a fuse's style: any style that the library has opening times of."""

from __future__ import annotations

from circuitcheck.read.forms.forms import refused
from circuitcheck.read.reading import Place
from circuitcheck.record import record


@record
class FuseStyle:
    """The style of a fuse, e.g. `blade` or `strip M5`."""

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return "style of library/fuse_opening_times.csv"

    def read(self, value: object, at: Place) -> object:
        """Return the style as the library writes it."""
        styles = at.reading.library.fuse_opening_bands
        if isinstance(value, str) and value in styles:
            return value
        hint = at.hint(value, styles) if isinstance(value, str) else ""
        return refused(at, value, hint or f"Give one of: {', '.join(styles)}.")
