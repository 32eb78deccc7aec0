"""What is written on a sheet that shows one switch position: volts, amperes, what is live.

Plain records; they are filled from a solution by `values_of`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from circuitcheck.circuit.netlist import HOLDING
from circuitcheck.model.harness import Harness
from circuitcheck.record import record
from circuitcheck.solve.position_solution import PositionSolution
from circuitcheck.solve.solution import COLD_START, Range
from circuitcheck.units import text

LIVE_V = 1.0
"""A wire below this is called dead on the sheet (common practice, no source)."""
LIVE_A = 1e-3
_COILS = {COLD_START: "cold"}
NOWHERE = "–"
"""Stands where nothing fixes a voltage."""


@record
class WireValue:
    """One wire: its current as text, the voltage at its start and its end as text.

    `flow` is 1 where current runs from start to end, -1 where it runs back, 0 where there is none
    to speak of. `is_live` is true where it carries current or stands at LIVE_V or more.
    """

    current: str
    start_v: str
    end_v: str
    flow: int
    is_live: bool

    def end_text(self, *, at_start: bool) -> str:
        """Return the voltage at one end."""
        return self.start_v if at_start else self.end_v


@record
class PositionValues:
    """One switch position: its name, its values by wire, which contacts have moved.

    `key` is the state of the key, one of KEY_STATES.
    """

    name: str
    said: str
    wires: Mapping[str, WireValue]
    worked: frozenset[tuple[str, str]]
    energised_relays: frozenset[str]
    key: str

    def has_moved(self, part: str, button: str) -> bool:
        """Return whether a contact stands otherwise than at rest."""
        return (part, button) in self.worked

    def is_live_wire(self, name: str) -> bool:
        """Return whether a wire is live; nothing else that bears a name is."""
        return name in self.wires and self.wires[name].is_live


def values_of(
    harness: Harness, solved: Sequence[PositionSolution], *, worst: bool = False
) -> PositionValues:
    """Return the values of one switch position, given its solutions in each coil state.

    Nominal values are those of the first solution; with `worst` each value runs from the lowest to
    the highest of all of them. Raises ValueError for no solution, or for several positions.
    """
    if len({(one.position.name, one.pull_state) for one in solved}) != 1:
        raise ValueError("values are those of one switch position")
    used = solved if worst else solved[:1]
    first = solved[0]
    name = first.position.name
    name += ", pull winding cut out" if first.pull_state == HOLDING else ""
    return PositionValues(
        name,
        _said(used, worst=worst),
        _wires(harness, used, worst=worst),
        first.position.pressed,
        first.position.energised_relays,
        first.position.key,
    )


def _said(solved: Sequence[PositionSolution], *, worst: bool) -> str:
    states = " and ".join(dict.fromkeys(_COILS.get(s.coil_state, s.coil_state) for s in solved))
    band = solved[0].supply_v
    if worst:
        supply = f"supply {text(band.lower, 'V')} to {text(band.upper, 'V')}"
        return f"Lowest to highest over all conditions: {supply}, coils {states}."
    return f"Nominal values: supply {text(band.nominal, 'V')}, coils {states}."


def _wires(
    harness: Harness, solved: Sequence[PositionSolution], *, worst: bool
) -> dict[str, WireValue]:
    minus = f"{harness.battery.name}.-"
    ends = [str(end) for wire in harness.wires.values() for end in (wire.start, wire.end)]
    volts: dict[str, list[Range]] = {}
    for one in solved:
        for end, found in zip(ends, one.between_many_v([(e, minus) for e in ends]), strict=True):
            volts.setdefault(end, []).append(found)
    values = {}
    for name, wire in harness.wires.items():
        amps = [one.current_a(name) for one in solved if name in one.network.branch_of]
        at_ends = volts[str(wire.start)], volts[str(wire.end)]
        values[name] = _value(amps, *at_ends, worst=worst)
    return values


def _value(
    amps: Sequence[Range], start: Sequence[Range], end: Sequence[Range], *, worst: bool
) -> WireValue:
    nominal_a = amps[0].nominal if amps else 0.0
    most_a = max((one.largest() for one in amps), default=0.0) if worst else abs(nominal_a)
    flows = most_a >= LIVE_A
    flow = (1 if nominal_a > 0.0 else -1) if flows else 0
    most_v = max(
        (abs(v) for one in (*start, *end) for v in _shown(one, worst=worst) if math.isfinite(v)),
        default=0.0,
    )
    # The arrow gives the direction; only a range that spans zero keeps its signs.
    turned = [one.negated() for one in amps] if flow < 0 else list(amps)
    return WireValue(
        _text(turned, "A", worst=worst) if flows else "no current",
        _text(start, "V", worst=worst),
        _text(end, "V", worst=worst),
        flow,
        flows or most_v >= LIVE_V,
    )


def _shown(one: Range, *, worst: bool) -> tuple[float, ...]:
    return (one.lower, one.upper) if worst else (one.nominal,)


def _text(ranges: Sequence[Range], unit: str, *, worst: bool) -> str:
    numbers = [v for one in ranges for v in _shown(one, worst=worst)]
    if not numbers or not all(math.isfinite(v) for v in numbers):
        return NOWHERE
    lower, upper = _quantity(min(numbers), unit), _quantity(max(numbers), unit)
    between = " to " if min(numbers) < 0.0 else "–"
    return lower if lower == upper else f"{lower.removesuffix(' ' + unit)}{between}{upper}"


def _quantity(value: float, unit: str) -> str:
    """Two decimals below 10, one above: what a meter of the workshop shows."""
    digits = 2 if abs(value) < 10.0 else 1
    shown = f"{value:.{digits}f}"
    return f"{shown.removeprefix('-') if float(shown) == 0.0 else shown} {unit}"
