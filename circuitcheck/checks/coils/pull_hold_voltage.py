"""Pull and hold coils: pull-in with both windings, hold with one, highest voltage.

Finds       a coil that does not pull in on a weak battery because its own pull winding pulls the
            voltage down; one that lets go once the pull winding is off; one that sees too much
Formula     V_pull >= p U_r, both windings on;  V_hold >= h U_r, hold winding alone;
            V_max <= m U_r, more where its use is shorter than its duty (see coil highest voltage)
Source      valve-coil-ranges (shares of rated voltage), vde-0580 (stated for warm windings)
Worst case  pull-in and hold: lowest supply, contacts aged, windings at their lowest resistance, all
            that can be on together; highest: highest supply, contacts new, hold winding alone
Not covered how long it takes to pull in; a plunger that ice or dirt holds; heat
Result      up to four findings per coil that some position asks for: pull-in at each winding
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.coils.duty_voltage import duty_words, highest_limit
from circuitcheck.checks.coils.energised_winding import (
    EnergisedWinding,
    across_working,
    windings_on,
)
from circuitcheck.checks.finding import NOT_JUDGED, PASS, Finding, Term, Working, judged, stepped
from circuitcheck.checks.stand_ins import assumed, stand_ins, unknown_upstream
from circuitcheck.circuit.netlist import PULLING
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.solve.solution import COIL_STATES

NAME = "pull and hold voltage"
WHY = "Below it the plunger does not move, or drops out as soon as the pull winding is off."
HIGHEST_WHY = "The hold winding is on for as long as the button: too much voltage burns it."
PULL = {
    "pull winding": "lowest voltage at the pull winding, both windings on",
    "hold winding": "lowest voltage at the hold winding, both windings on",
}
HOLD = "lowest voltage at the hold winding alone"
HIGHEST = "highest voltage at the hold winding"
ASK = "is not given: read it in the coil's data sheet"
SOURCES = ("valve-coil-ranges", "vde-0580")
ROLES = ("pull winding", "hold winding")


def judge(case: Case) -> list[Finding]:
    """Return the findings of every pull and hold coil that some position asks for."""
    found: dict[str, list[EnergisedWinding]] = {}
    for state in COIL_STATES:
        for solved in case.solution.live(state):
            for at in windings_on(case, solved, ROLES):
                found.setdefault(at.owner, []).append(at)
    parts = case.harness.of_kind(PullHoldCoil)
    return [f for part in parts if part.name in found for f in _of(case, part, found[part.name])]


def _of(case: Case, part: PullHoldCoil, every: list[EnergisedWinding]) -> Iterator[Finding]:
    pulling = [at for at in every if at.solved.pull_state == PULLING]
    alone = [at for at in every if at not in pulling and at.branch.endswith("/hold")]
    for role, quantity in PULL.items():
        on = [at for at in pulling if at.branch.endswith(f"/{role.split()[0]}")]
        if on:
            yield _lowest(case, part, on, quantity, part.pull_in_fraction, "pull-in")
    if not part.cuts_out:
        alone = [at for at in pulling if at.branch.endswith("/hold")]
    if alone:
        yield _lowest(case, part, alone, HOLD, part.hold_fraction, "hold")
        at = max(alone, key=lambda at: at.across_v.upper)
        yield _finding(case, part, at, HIGHEST, "highest", highest_limit(case, at, part))


def _lowest(
    case: Case,
    part: PullHoldCoil,
    every: list[EnergisedWinding],
    quantity: str,
    share: float | None,
    word: str,
) -> Finding:
    at = min(every, key=lambda at: at.across_v.lower)
    working = None
    if share is not None:
        given = Term("s", share, "1", f"{word} share of rated voltage")
        rated = Term("U_r", part.rated_v, "V", "rated voltage")
        limit = Term("V_s", share * part.rated_v, "V", f"{word} voltage")
        working = Working("s * U_r", (given, rated), limit)
    return _finding(case, part, at, quantity, word, working)


def _finding(
    case: Case,
    part: PullHoldCoil,
    at: EnergisedWinding,
    quantity: str,
    word: str,
    working: Working | None,
) -> Finding:
    is_low = quantity != HIGHEST
    value = at.across_v.lower if is_low else at.across_v.upper
    limit = None if working is None else working.result.value
    result, reason = NOT_JUDGED, f"the {word} voltage {ASK}"
    if limit is not None:
        result = judged(value, limit, at_most=not is_low)
        reason = WHY if is_low else HIGHEST_WHY
        unknown = unknown_upstream(case, at.way)
        if result == PASS and is_low and unknown:
            result, reason = NOT_JUDGED, f"the voltage may be lower: {'; '.join(unknown)}"
    words = at.at_lowest(case) if is_low else (*at.at_highest(case), *duty_words(case, part))
    keys = ("pull_resistance", "hold_resistance", "rated", word.replace("-", "_"))
    finding = Finding(
        NAME, part.name, result, quantity, reason, at.solved.position.name, at.solved.coil_state,
        value, limit, "V", at_most=not is_low,
        conditions=(*words, *stand_ins(case, at.way), *assumed(case, part.name, *keys)),
        sources=SOURCES, gap=at.across_v.gap, working=working,
    )  # fmt: skip
    side = "lower" if is_low else "upper"
    return stepped(finding, across_working(at, side, "V_min" if is_low else "V_max"))


CHECK = Check(
    name=NAME,
    judges="pull-in, hold and highest voltage of each pull and hold coil",
    why=WHY,
    does_not_cover="how long it takes to pull in; a plunger that ice or dirt holds",
    sources=SOURCES,
    judge=judge,
)
