"""Coils let go together: currents of those without a suppressor find a neighbour's.

Usual values, integrated: see `transient/switching_off/freewheel.py`. Where each coil has its own
suppressor of one kind, its own closed form holds and nothing is worked out here. Shared ground of
the command that compares suppressors; it judges nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from circuitcheck.checks.check import Case
from circuitcheck.checks.release.joined_windings import joined_releases
from circuitcheck.checks.release.released_coil import ReleasedCoil
from circuitcheck.circuit.netlist import DiodeCurve
from circuitcheck.errors import SolveError
from circuitcheck.record import record
from circuitcheck.solve.worst_case import PositionSolution
from circuitcheck.transient.switching_off.freewheel import FreeWinding, Junction, freewheel
from circuitcheck.transient.switching_off.suppressor import Law
from circuitcheck.transient.waveform import Waveform

TIME_CONSTANTS = 8.0


@record
class CoilTogether:
    """One coil of several: when its current lets go (None: not in the time looked at), its peak."""

    branch: str
    has_suppressor: bool
    lets_go_s: float | None
    peak_v: float


@record
class Together:
    """Several coils let go at once; `beyond` says why where it cannot be worked out.

    `by_key` tells whether it takes the key, or one button does it.
    """

    position: str
    coils: tuple[CoilTogether, ...]
    beyond: str = ""
    by_key: bool = True


def released_together(case: Case, every: Sequence[ReleasedCoil]) -> tuple[Together, ...]:
    """Return what a button or the key does to coils that share suppressors, fewest coils first.

    One entry for each set of coils that stay joined and are not all suppressed alike; the key only
    for sets that no button lets go together.
    """
    found: dict[frozenset[str], Together] = {}
    by_branch = {coil.winding.branch: coil for coil in every if not _with_pull(coil)}
    actions = joined_releases(case, tuple(by_branch))
    for action in sorted(actions, key=lambda one: one.is_key):
        for names in {names for names in action.ways.values() if len(names) > 1}:
            on = [by_branch[name] for name in by_branch if name in names]
            if names not in found and _share(on):
                found[names] = _together(action.on, action.off, on, by_key=action.is_key)
    return tuple(sorted(found.values(), key=lambda one: (len(one.coils), one.position)))


def _with_pull(coil: ReleasedCoil) -> bool:
    """Return whether a pull winding on the same plunger is let go with it."""
    part = coil.suppressed.part
    return any(beside.suppressed.part is part for a in coil.releases for beside in a.ways)


def _share(on: Sequence[ReleasedCoil]) -> bool:
    kinds = {coil.lowest.kind if coil.lowest else "none" for coil in on}
    return len(kinds) > 1 and not any(coil.open_kind for coil in on)


def _together(
    solved: PositionSolution, off: PositionSolution, on: Sequence[ReleasedCoil], *, by_key: bool
) -> Together:
    windings, junctions = [], _in_the_way(off, on)
    marks: set[str] = set()
    for coil in on:
        branch = off.network.branches[off.network.branch_of[coil.winding.branch]]
        amps = solved.current_a(coil.winding.branch).nominal
        state = coil.winding.usual
        windings.append(
            FreeWinding(coil.winding.branch, branch.start, branch.end, state.inductance_h,
                        state.ohm, amps)
        )  # fmt: skip
        # The current goes on from the winding's far end through its suppressor to its near one.
        ends = (branch.end, branch.start) if amps >= 0.0 else (branch.start, branch.end)
        junctions += [
            Junction.of(f"{coil.winding.branch}/{one.name}", *ends, one.usual)
            for one in coil.suppressors
            # a resistor is a branch of the network
            if one.kind != "resistor" and coil.mark(one) not in marks
        ]
        marks |= set(coil.marks)
    slowest_s = max(w.inductance_h / w.ohm for w in windings)
    try:
        found = freewheel(
            off.network, off.ranges.box.resistance_ohm[1], off.supply_v.nominal, windings,
            junctions, TIME_CONSTANTS * slowest_s,
        )  # fmt: skip
    except SolveError as error:
        return Together(solved.position.name, (), str(error), by_key=by_key)
    coils = tuple(_coils(on, found.currents, found.voltages))
    return Together(solved.position.name, coils, by_key=by_key)


def _in_the_way(off: PositionSolution, on: Sequence[ReleasedCoil]) -> list[Junction]:
    """Return the diodes that are parts and lie across none of the coils."""
    across = {mark for coil in on for mark in coil.marks}
    return [
        Junction.of(curve.name, curve.start, curve.end, Law(law.forward_v.nominal, 0.0))
        for curve in off.network.curves
        if isinstance(law := curve.parameters, DiodeCurve)
        and curve.role == "diode" and curve.owner not in across
    ]  # fmt: skip


def _coils(
    on: Sequence[ReleasedCoil], currents: dict[str, Waveform], voltages: dict[str, Waveform]
) -> Iterator[CoilTogether]:
    for coil in on:
        name = coil.winding.branch
        amps, least_a = currents[name], coil.winding.usual.drop_out_a
        lets_go_s = None
        if least_a is not None:
            level = least_a if amps.values[0] >= 0.0 else -least_a
            lets_go_s = amps.first_crossing_s(level)
        volts = voltages[name].values
        reversed_v = -volts if amps.values[0] >= 0.0 else volts
        yield CoilTogether(
            name, coil.lowest is not None, lets_go_s, max(0.0, float(reversed_v.max()))
        )
