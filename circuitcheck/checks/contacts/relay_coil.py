"""Coil of each relay and contactor: pull-in and highest voltage.

Finds       a relay that may not operate when hot and on a weak battery; a coil that sees more than
            it may
Formula     V_min >= V_p (234.5 + T_hot) / (234.5 + T_p)     V_p holds for a winding at T_p
            V_max <= V_highest
            What works a relay is current: a hot winding needs more voltage for it.
Source      relay-data-sheet (pull-in and highest voltage; they follow the winding's temperature),
            iec-60028 (copper)
Worst case  pull-in: soaked by its duty in the hottest air, lowest supply, contacts aged, what the
            relay itself switches already on; a resistor or diode inside and all that shares its
            wires counted. Highest: coldest coil, highest supply
Not covered chatter by vibration; release (see coil released when off); a state that tolerances
            decide (see relay state)
Result      two findings per relay that some position asks for
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.coils.energised_winding import (
    EnergisedWinding,
    across_working,
    windings_on,
)
from circuitcheck.checks.contacts.hot_relay import (
    hot_pull_in,
    only_if_hot,
    with_hot_relay,
)
from circuitcheck.checks.finding import (
    FAIL,
    NOT_JUDGED,
    PASS,
    Finding,
    Working,
    judged,
    stepped,
    worst_with,
)
from circuitcheck.checks.stand_ins import assumed, stand_ins, unknown_upstream
from circuitcheck.model.relay import Relay
from circuitcheck.solve.solution import COLD_START, HEAT_SOAKED

NAME = "relay coil"
PULL_IN = "lowest voltage at the hot coil, against its pull-in voltage"
HIGHEST = "highest voltage at the coil"
WHY = "A relay that only sometimes operates works its load only sometimes, and burns its contacts."
HIGHEST_WHY = "Too high a voltage overheats the winding until it shorts."
ASK = "is not given: read it in the relay's data sheet, by the number on its case"
ASK_HEAT = (
    "as hot as its class allows it would fail; how hot its use makes it is not known: measure its "
    "coil's resistance cold and after the longest use"
)
SOURCES = ("relay-data-sheet", "iec-60028")


def judge(case: Case) -> list[Finding]:
    """Return the findings of every relay that some position asks for."""
    findings: list[Finding] = []
    on: dict[tuple[str, str], list[EnergisedWinding]] = {}
    for state in (COLD_START, HEAT_SOAKED):
        for solved in case.solution.live(state):
            for at in windings_on(case, solved, ("relay coil",)):
                on.setdefault((at.owner, state), []).append(at)
    for relay in case.harness.of_kind(Relay):
        if hot := on.get((relay.name, HEAT_SOAKED)):
            found = [with_hot_relay(case, relay, at) for at in hot]
            finding, at = worst_with([(_pull_in(case, relay, at), at) for at in found])
            findings.append(stepped(finding, across_working(at, "lower", "V_min")))
        if cold := on.get((relay.name, COLD_START)):
            at = max(cold, key=lambda at: at.across_v.upper)
            finding = _highest(case, relay, at)
            findings.append(stepped(finding, across_working(at, "upper", "V_max")))
    return findings


def _pull_in(case: Case, relay: Relay, at: EnergisedWinding) -> Finding:
    working, value = hot_pull_in(case, relay), at.across_v.lower
    limit = None if working is None else working.result.value
    result, reason = NOT_JUDGED, f"the pull-in voltage {ASK}"
    if limit is not None:
        result, reason = judged(value, limit, at_most=False), WHY
        unknown = unknown_upstream(case, at.way)
        if result == PASS and unknown:
            result, reason = NOT_JUDGED, f"the voltage may be lower: {'; '.join(unknown)}"
        elif result == FAIL and only_if_hot(case, relay, value):
            result, reason = NOT_JUDGED, ASK_HEAT
    words = (*at.at_lowest(case), *stand_ins(case, at.way))
    return _finding(case, relay, at, PULL_IN, result, reason, value, limit, words, working)


def _highest(case: Case, relay: Relay, at: EnergisedWinding) -> Finding:
    value, limit = at.across_v.upper, relay.highest_v
    result = NOT_JUDGED if limit is None else judged(value, limit)
    reason = f"the highest voltage of the coil {ASK}" if limit is None else HIGHEST_WHY
    words = at.at_highest(case)
    return _finding(case, relay, at, HIGHEST, result, reason, value, limit, words, None)


def _finding(
    case: Case,
    relay: Relay,
    at: EnergisedWinding,
    quantity: str,
    result: str,
    reason: str,
    value: float,
    limit: float | None,
    words: tuple[str, ...],
    working: Working | None,
) -> Finding:
    keys = ("resistance", "rated", "pull_in", "highest", "thermal.resistance")
    return Finding(
        NAME, relay.name, result, quantity, reason, at.solved.position.name,
        at.solved.coil_state, value, limit, "V", at_most=quantity == HIGHEST,
        conditions=(*words, *assumed(case, relay.name, *keys)), sources=SOURCES,
        gap=at.across_v.gap, working=working,
    )  # fmt: skip


CHECK = Check(
    name=NAME,
    judges="pull-in of the hot coil and highest voltage of each relay",
    why=WHY,
    does_not_cover="chatter by vibration",
    sources=SOURCES,
    judge=judge,
)
