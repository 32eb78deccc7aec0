"""How a known load and an instrument of one kind may be written."""

from __future__ import annotations

from circuitcheck.model.instrument import LOADED_VOLTMETER
from circuitcheck.model.library import Library
from circuitcheck.read.forms.forms import refused
from circuitcheck.read.reading import Place
from circuitcheck.record import record
from circuitcheck.units import CURRENT, RESISTANCE, QuantityError, quantity


@record
class TapLoadForm:
    """A known load: a bulb of the library, a resistance, or the current a clamp read."""

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return '"21 W bulb", "55 W bulb", "5 W test lamp", a resistance "2.2 ohm" or a current'

    def read(self, value: object, at: Place) -> object:
        """Return a KnownLoad; bulbs of both voltages go by one name, told apart later."""
        if not isinstance(value, str):
            return refused(at, value, f"Give {self.allowed}.")
        for name in bulbs(at.reading.library):
            if value.casefold() == name.casefold():
                return name
        for dimension in (RESISTANCE, CURRENT):
            try:
                number = quantity(value, dimension)
            except QuantityError:
                continue
            if not 0.0 < number < 1e5:
                return refused(at, value, "Give a load above nothing.")
            return (dimension.si, number)
        return refused(
            at, value, at.hint(value, bulbs(at.reading.library)) or f"Give {self.allowed}."
        )


def bulbs(library: Library) -> tuple[str, ...]:
    """Return the names by which the library's bulbs may be called, without their voltage."""
    names = (
        row.name.split(" and ")[0]
        for row in library.instruments.values()
        if row.kind == LOADED_VOLTMETER
    )
    return tuple(dict.fromkeys(names))


@record
class InstrumentForm:
    """The name of an instrument of one kind."""

    kind: str

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return f"{self.kind} of library/instruments.csv"

    def read(self, value: object, at: Place) -> object:
        """Return the row."""
        rows = {n: r for n, r in at.reading.library.instruments.items() if r.kind == self.kind}
        if isinstance(value, str) and value in rows:
            return rows[value]
        hint = at.hint(value, rows) if isinstance(value, str) else ""
        return refused(at, value, hint or f"Give one of: {'; '.join(rows)}.")
