"""The corner of a bound in words: supply, wires, contacts, coils."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.circuit.netlist import WINDINGS, Network
from circuitcheck.solve.bounds.box import Box
from circuitcheck.solve.bounds.corner_search import EndArray
from circuitcheck.solve.curves.active_curves import ActiveCurve
from circuitcheck.solve.curves.curves import Lamp

CONTACT_ROLES = (
    "contact",
    "switch contact",
    "relay contact",
    "bond",
    "fuse",
    "key contact",
    "upstream fuse",
)
WIRE_ROLES = ("wire", "upstream wire")


def condition_words(
    network: Network,
    box: Box,
    ends: EndArray,
    supply_v: float,
    curves: Sequence[tuple[ActiveCurve, float]] = (),
) -> tuple[str, ...]:
    """Return what makes a bound: `ends` is -1, 0 or +1 for each resistance, then each curve.

    `curves` are the active curves with the voltage across each there. [V]
    """
    words = [f"{supply_v:.1f} V at the battery posts"]
    words += _wires(network, box, ends)
    words += _contacts(network, ends)
    words += _coils(network, box, ends)
    words += _present_load(network, ends)
    first = len(network.branches)
    words += [_curve(*one) for one, end in zip(curves, ends[first:], strict=False) if end != 0]
    return tuple(words)


def _curve(one: ActiveCurve, across_v: float) -> str:
    curve = one.curve
    if isinstance(curve, Lamp):
        is_lit = abs(across_v) > curve.lit_from_v
        return f"lamp {one.name} {'hot' if is_lit else 'cold'}, {abs(across_v):.2g} V across it"
    if across_v <= curve.drop_v.lower:
        return f"{one.role} {one.name} blocks"
    return f"{one.role} {one.name} conducts, {across_v:.2g} V across it"


def _sides(network: Network, ends: EndArray, roles: tuple[str, ...]) -> set[int]:
    return set(ends[network.numbers_of(roles)].tolist()) - {0}


def _wires(network: Network, box: Box, ends: EndArray) -> list[str]:
    sides = _sides(network, ends, WIRE_ROLES)
    if not sides:
        return []
    numbers = network.numbers_of(WIRE_ROLES)
    some = numbers[ends[numbers] != 0]
    if sides == {1}:
        return [f"wires hot, up to {box.temperature_c[2, some].max():.0f} degC"]
    if sides == {-1}:
        return [f"wires cold, down to {box.temperature_c[0, some].min():.0f} degC"]
    return ["each wire hot or cold, whichever is worse"]


def _contacts(network: Network, ends: EndArray) -> list[str]:
    sides = _sides(network, ends, CONTACT_ROLES)
    if not sides:
        return []
    if sides == {1}:
        return ["contacts aged"]
    return ["contacts new"] if sides == {-1} else ["each contact new or aged, whichever is worse"]


def _coils(network: Network, box: Box, ends: EndArray) -> list[str]:
    words = []
    for number in network.numbers_of(WINDINGS).tolist():
        branch = network.branches[number]
        if ends[number] == 0:
            continue
        row = int(ends[number]) + 1
        temperature = box.temperature_c[row, number]
        ohm = box.resistance_ohm[row, number]
        words.append(f"coil {branch.name} {ohm:.3g} ohm at {temperature:.0f} degC")
    return words


def _present_load(network: Network, ends: EndArray) -> list[str]:
    sides = _sides(network, ends, ("present load",))
    if sides == {-1}:
        return ["the tap's other load on"]
    return ["the tap's other load off"] if sides == {1} else []
