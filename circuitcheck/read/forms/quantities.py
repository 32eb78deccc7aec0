"""Forms of quantities: one value, a range, a value with tolerance, a wire gauge."""

from __future__ import annotations

import re
from typing import cast

from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.forms.forms import refused
from circuitcheck.read.forms.printable import shown
from circuitcheck.read.reading import Gap, Place
from circuitcheck.record import record
from circuitcheck.units import SHARE, Dimension, QuantityError, quantity, text


@record
class Amount:
    """One quantity within limits, in SI; `above` leaves the lower limit itself out."""

    dimension: Dimension
    least: float
    most: float
    above: bool = False

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        low = text(self.least, self.dimension.si)
        high = text(self.most, self.dimension.si)
        reach = f"above {low} up to {high}" if self.above else f"{low} to {high}"
        return f"{self.dimension.name}, {reach}"

    def read(self, value: object, at: Place) -> object:
        """Return the SI value as float."""
        if isinstance(value, int | float) and not isinstance(value, bool):
            return refused(
                at,
                value,
                f'Write number and unit in quotes, for example "{self.dimension.example}".',
            )
        if not isinstance(value, str):
            return refused(at, value, f'Give a quantity such as "{self.dimension.example}".')
        try:
            number = quantity(value, self.dimension)
        except QuantityError as error:
            return refused(at, value, f"{str(error)[0].upper()}{str(error)[1:]}.")
        if not self.least <= number <= self.most or (self.above and number == self.least):
            return refused(at, value, f"Give a {self.allowed}.")
        return number


@record
class Range:
    """Lower and upper value in a list of two, or a single value."""

    amount: Amount

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return f"{self.amount.allowed}; or two such in a list, lower first"

    def read(self, value: object, at: Place) -> object:
        """Return a Band whose nominal is the middle of the range."""
        if not isinstance(value, list):
            single = self.amount.read(value, at)
            return single if isinstance(single, Gap) else Band.exact(cast(float, single))
        example = f'["...", "..."], for example ["{self.amount.dimension.example}", "..."]'
        if len(value) != 2:
            return refused(at, value, f"Give lower and upper value: {example}.")
        ends = [self.amount.read(end, at.inside(i)) for i, end in enumerate(value)]
        if any(isinstance(end, Gap) for end in ends):
            return Gap.BROKEN
        lower, upper = (cast(float, end) for end in ends)
        if lower > upper:
            return at.problem(
                f"got {shown(value[0])} to {shown(value[1])}", "Put the lower value first."
            )
        return Band(lower, (lower + upper) / 2.0, upper)


@record
class Spread:
    """A single value, a range of two, or a table of value and tolerance; read into a Band.

    `key` names the value in the table (`value`, or `at_20degC` for a coil's resistance).
    `tolerance` is the share assumed for a value that stands alone; 0 takes it as exact.
    """

    amount: Amount
    key: str = "value"
    tolerance: float = 0.0

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        example = self.amount.dimension.example
        return (
            f"{self.amount.allowed}; or a range of two in a list; "
            f'or {{ {self.key} = "{example}", tolerance = "10 %" }}'
        )

    def read(self, value: object, at: Place) -> object:
        """Return the Band of the three ways."""
        if isinstance(value, dict):
            return self._from_table(value, at)
        if isinstance(value, list):
            return Range(self.amount).read(value, at)
        single = self.amount.read(value, at)
        if isinstance(single, Gap):
            return single
        return _with_tolerance(cast(float, single), self.tolerance)

    def _from_table(self, table: dict[str, object], at: Place) -> object:
        keys = (self.key, "tolerance")
        strange = [key for key in table if key not in keys]
        for key in strange:
            at.inside(key).problem(
                "no such key", at.hint(key, keys) or f"Allowed: {self.key}, tolerance."
            )
        if self.key not in table:
            return at.problem(f"{self.key} is missing", f"Give {self.allowed}.")
        value = self.amount.read(table[self.key], at.inside(self.key))
        share: object = self.tolerance
        if "tolerance" in table:
            form = Amount(SHARE, 0.0, 0.9)
            share = form.read(table["tolerance"], at.inside("tolerance"))
        if strange or isinstance(value, Gap) or isinstance(share, Gap):
            return Gap.BROKEN
        return _with_tolerance(cast(float, value), cast(float, share))


def _with_tolerance(value: float, share: float) -> Band:
    reach = abs(value) * share
    return Band(value - reach, value, value + reach)


GAUGE = re.compile(r"(?P<awg>[0-9]{1,2}|[1-4]/0) ?AWG|(?P<mm2>[0-9]{1,3}(?:\.[0-9]{1,3})?) ?mm[2²]")
AREAS = ("SAE", "AWG", "ISO 6722", "IEC 60228")
"""Which standard sets the conductor's area; the first of each pair is the usual vehicle wire."""
_SUFFIX = {
    "SAE": "",
    "AWG": " (AWG area)",
    "ISO 6722": "",
    "IEC 60228": " (IEC 60228 class 5)",
}


@record
class Gauge:
    """A wire size, `16 AWG` or `1.5 mm2`; read into the name of the plain library row."""

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return 'wire size, "16 AWG" or "1.5 mm2"'

    def read(self, value: object, at: Place) -> object:
        """Return the size as the library names it; sizes that no table has are refused."""
        match = GAUGE.fullmatch(value) if isinstance(value, str) else None
        if match is None:
            return refused(at, value, f"Give a {self.allowed}.")
        name = f"{match['awg']} AWG" if match["awg"] else f"{float(match['mm2']):g} mm2"
        rows = at.reading.library.conductors
        if name not in rows:
            unit = name.rsplit(" ", 1)[1]
            sizes = ", ".join(r.split(" ")[0] for r in rows if r.split(" ", 1)[1] == unit)
            return refused(at, value, f"The library has these sizes in {unit}: {sizes}.")
        return name


def fitting_areas(gauge: str) -> tuple[str, ...]:
    """Return the area standards that go with a size, the usual one of vehicle wire first."""
    return AREAS[:2] if gauge.endswith("AWG") else AREAS[2:]


def gauge_row_name(gauge: str, area: str) -> str:
    """Return the name of the library row of a size in an area standard that goes with it."""
    return f"{gauge}{_SUFFIX[area]}"
