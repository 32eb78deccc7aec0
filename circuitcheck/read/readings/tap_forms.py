"""How a system voltage, yes or no, a known load and an instrument of one kind may be written."""

from __future__ import annotations

import re

from circuitcheck.model.instrument import LED_TESTER, LOADED_VOLTMETER, VOLTMETER
from circuitcheck.model.library import Library
from circuitcheck.read.forms.forms import refused
from circuitcheck.read.forms.quantities import Amount
from circuitcheck.read.forms.references import LibraryRow
from circuitcheck.read.reading import Place
from circuitcheck.record import record
from circuitcheck.units import CURRENT, RESISTANCE, VOLTAGE, QuantityError, quantity

SYSTEMS = ("12 V", "24 V")
YES_OR_NO = {"yes": True, "true": True, "no": False, "false": False}

LOWEST_V = -1.0
"""Below, the probes are swapped; so far a dead tap may float."""


@record
class SystemVoltage:
    """The rated voltage of a machine, as people write it: `12 V`, `12V`, `12`."""

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return " or ".join(SYSTEMS)

    def read(self, value: object, at: Place) -> object:
        """Return the voltage as `12 V` or `24 V`."""
        if isinstance(value, str):
            number = value.casefold().removesuffix("v").strip()
            for system in SYSTEMS:
                if number == system.removesuffix(" V"):
                    return system
        return refused(at, value, f"Give {self.allowed}.")


@record
class YesOrNo:
    """Yes or no in words, or true or false as TOML has them."""

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return "yes or no"

    def read(self, value: object, at: Place) -> object:
        """Return the boolean."""
        if isinstance(value, bool):
            return value
        if isinstance(value, str) and value.strip().casefold() in YES_OR_NO:
            return YES_OR_NO[value.strip().casefold()]
        return refused(at, value, f"Give {self.allowed}, or true or false.")


@record
class TapVolts:
    """A voltage from the tap to battery minus, which is never far below nothing."""

    amount: Amount

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return self.amount.allowed

    def read(self, value: object, at: Place) -> object:
        """Return the voltage. [V]"""
        try:
            is_swapped = isinstance(value, str) and quantity(value, VOLTAGE) < self.amount.least
        except QuantityError:
            is_swapped = False
        if is_swapped:
            right = "The probes are swapped: red on the tap, black on battery minus."
            return refused(at, value, right)
        return self.amount.read(value, at)


@record
class TapFuse:
    """A fuse of the library; a bare rating is asked for its kind."""

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return "rating and kind of a fuse, 15 A blade"

    def read(self, value: object, at: Place) -> object:
        """Return the row."""
        if not isinstance(value, str):
            return LibraryRow("fuses").read(value, at)
        rating = re.fullmatch(r"([0-9.]+) ?A?", value.strip())
        if rating is None:
            spaced = re.sub(r"^([0-9.]+)A ", r"\1 A ", value.strip())
            return LibraryRow("fuses").read(spaced, at)
        kinds = [n for n in at.reading.library.fuses if n.startswith(f"{rating[1]} A ")]
        if not kinds:
            return refused(at, value, f"Give {self.allowed}.")
        return refused(at, value, f"Say which kind of fuse: {', '.join(kinds)}.")


@record
class TapLoadForm:
    """A known load: a bulb of the library, a resistance, or the current a clamp read.

    What is no load is taken by its name too, so that it can be said that it is none.
    """

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return '"21 W bulb", "55 W bulb", "5 W test lamp", a resistance "2.2 ohm" or a current'

    def read(self, value: object, at: Place) -> object:
        """Return a name, or the unit and number; bulbs of both voltages have one name."""
        if not isinstance(value, str):
            return refused(at, value, f"Give {self.allowed}.")
        library = at.reading.library
        for name in (*bulbs(library), *no_loads(library)):
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
        if "led" in value.casefold().split():
            return refused(at, value, f"An LED is no load. Give {self.allowed}.")
        return refused(at, value, at.hint(value, bulbs(library)) or f"Give {self.allowed}.")


def bulbs(library: Library) -> tuple[str, ...]:
    """Return the names by which the library's bulbs may be called, without their voltage."""
    names = (
        row.name.split(" and ")[0]
        for row in library.instruments.values()
        if row.kind == LOADED_VOLTMETER
    )
    return tuple(dict.fromkeys(names))


def no_loads(library: Library) -> tuple[str, ...]:
    """Return the names of the library's testers and voltmeters, which load nothing."""
    return tuple(
        row.name for row in library.instruments.values() if row.kind in (LED_TESTER, VOLTMETER)
    )


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
