"""Coils that the key lets go together: currents of those without a suppressor find a neighbour's.

Usual values, integrated: see `transient/switching_off/freewheel.py`. Where each coil has its own
suppressor of one kind, its own closed form holds and nothing is worked out here. Shared ground of
the command that compares suppressors; it judges nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from circuitcheck.checks.check import Case
from circuitcheck.checks.release.released_coil import ReleasedCoil
from circuitcheck.errors import SolveError
from circuitcheck.record import record
from circuitcheck.solve.solution import COLD_START
from circuitcheck.solve.worst_case import PositionSolution
from circuitcheck.transient.switching_off.freewheel import FreeWinding, Junction, freewheel
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
    """One key-off with several coils on; `beyond` says why where it cannot be worked out."""

    position: str
    coils: tuple[CoilTogether, ...]
    beyond: str = ""


def released_together(case: Case, every: Sequence[ReleasedCoil]) -> tuple[Together, ...]:
    """Return what the key does to coils that share suppressors, fewest coils first.

    One entry for each set of coils that are on together and not all suppressed alike.
    """
    found: dict[frozenset[str], Together] = {}
    by_branch = {coil.winding.branch: coil for coil in every}
    for solved in case.solution.live(COLD_START):
        on = [by_branch[name] for name in by_branch if name in solved.asked_for]
        names = frozenset(coil.winding.branch for coil in on)
        if len(on) < 2 or names in found or not _share(on):
            continue
        off = _twin(case, solved)
        if off is not None:
            found[names] = _together(solved, off, on)
    return tuple(sorted(found.values(), key=lambda one: len(one.coils)))


def _share(on: Sequence[ReleasedCoil]) -> bool:
    kinds = {coil.lowest.kind if coil.lowest else "none" for coil in on}
    return len(kinds) > 1 and not any(coil.open_kind for coil in on)


def _twin(case: Case, solved: PositionSolution) -> PositionSolution | None:
    """Return the same buttons with the key off, None where the coils stay on."""
    for other in case.solution.positions:
        same = (other.position.pressed, other.coil_state, other.pull_state) == (
            solved.position.pressed, solved.coil_state, solved.pull_state,
        )  # fmt: skip
        if same and other.position.key == "key off":
            return None if other.network.live else other
    return None


def _together(
    solved: PositionSolution, off: PositionSolution, on: Sequence[ReleasedCoil]
) -> Together:
    windings, junctions = [], []
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
            if one.kind != "resistor"  # a resistor is a branch of the network
        ]
    slowest_s = max(w.inductance_h / w.ohm for w in windings)
    try:
        found = freewheel(
            off.network, off.ranges.box.resistance_ohm[1], off.supply_v.nominal, windings,
            junctions, TIME_CONSTANTS * slowest_s,
        )  # fmt: skip
    except SolveError as error:
        return Together(solved.position.name, (), str(error))
    return Together(
        solved.position.name,
        tuple(_coils(on, found.currents, found.voltages)),
    )


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
