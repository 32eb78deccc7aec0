"""Tap capacity.

Finds       a machine's fuse, wire or key contact that the add-on loads beyond what is left of it
Source      fuse-definitions (75 %), blade-fuse-data-sheet (re-rating), 33-cfr-183-425 (ampacity)
Formula     I_present + I_add-on <= 0.75 * I_rated * f(T_air); <= I_z of the machine's wire
Worst case  all present consumers on, scaled up with the highest supply; coils cold, at their
            lowest resistance; fuse and wire in the hottest air of the tap's zones
Not covered a key contact whose rating the file does not give: its maker chose it for the fuse
Result      per tap one finding for the fuse, one for the wire, one for a rated key contact
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, Finding, Term, Working, judged
from circuitcheck.checks.fuses.fuse_ahead import (
    FittedFuse,
    air_words,
    read_fuses_ahead,
    worth_working,
)
from circuitcheck.checks.wires.wire_limit import wire_limit
from circuitcheck.checks.worst_current import WorstCurrent, worst_current
from circuitcheck.errors import LibraryError
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.transient.heat.fuse_rating import rerated_a

NAME = "tap capacity"
WHY = "An add-on that overloads the tapped circuit takes the machine's own consumers with it."
QUANTITY = "present load and add-on together"
SOURCES = ("fuse-definitions", "33-cfr-183-425")
MEASURE = (
    "measure it with all its consumers on, by a DC clamp meter or as millivolts across the fuse"
)


def judge(case: Case) -> list[Finding]:
    """Return the findings of every tap."""
    fuses = read_fuses_ahead(case.harness).fuses
    findings = []
    for tap in case.harness.of_kind(SupplyTap):
        worst = worst_current(case, f"{tap.name}/fuse")
        if tap.upstream.present_load_a is None:
            findings.append(
                _not_judged(tap, f"the present load of the tap is not known: {MEASURE}")
            )
        elif worst is None:
            findings.append(_not_judged(tap, "no switch position makes the tap live"))
        else:
            findings += _of_tap(case, tap, fuses.get(tap.name), worst)
    return findings


def _of_tap(
    case: Case, tap: SupplyTap, fuse: FittedFuse | None, worst: WorstCurrent
) -> list[Finding]:
    findings = [] if fuse is None else [_attempt(case, tap, worst, fuse)]
    findings.append(_attempt(case, tap, worst, None))
    rated_a = tap.upstream.key_contact_rated_a
    if rated_a is not None:
        findings.append(_finding(case, tap, worst, "key contact", rated_a, (), SOURCES))
    return findings


def _attempt(case: Case, tap: SupplyTap, worst: WorstCurrent, fuse: FittedFuse | None) -> Finding:
    try:
        return _wire(case, tap, worst) if fuse is None else _fuse(case, tap, worst, fuse)
    except LibraryError as error:
        return _not_judged(tap, str(error))


def _fuse(case: Case, tap: SupplyTap, worst: WorstCurrent, fuse: FittedFuse) -> Finding:
    if fuse.row is None:
        return _not_judged(
            tap, "the machine's fuse is not known: pull fuses until the tap goes dead and read it"
        )
    share = case.library.limit("fuse_continuous_share")
    worth_a = rerated_a(case.library, fuse.row, fuse.ambient_c.upper)
    words = (
        air_words(fuse, fuse.ambient_c.upper, worth_a),
        f"of that {100.0 * share.value:g} % for good",
    )
    sources = (share.source, "blade-fuse-data-sheet")
    most = Term("I_l", share.value * worth_a, "A", "highest continuous current of the fuse")
    step = worth_working(fuse.row, fuse.ambient_c.upper, worth_a, share.value, most)
    return _finding(case, tap, worst, "machine's fuse", most.value, words, sources, step)


def _wire(case: Case, tap: SupplyTap, worst: WorstCurrent) -> Finding:
    limit = wire_limit(case, f"{tap.name}/wire")
    words, sources = limit.conditions(), limit.sources
    most_a, step = limit.ampacity_a, limit.working()
    found = _finding(case, tap, worst, "machine's wire", most_a, words, sources, step)
    if found.result == FAIL and limit.wire.guesses:
        return _not_judged(tap, f"would fail as assumed: {'; '.join(limit.wire.guesses)}")
    return found


def _finding(
    case: Case,
    tap: SupplyTap,
    worst: WorstCurrent,
    of: str,
    limit_a: float,
    words: tuple[str, ...],
    sources: tuple[str, ...],
    *steps: Working,
) -> Finding:
    load_a = tap.upstream.present_load_a
    assert load_a is not None
    present = f"present load {load_a.upper:g} A at {case.harness.system_v:g} V, all consumers on"
    return Finding(
        check=NAME,
        subject=tap.name,
        result=judged(worst.current_a, limit_a),
        quantity=f"{QUANTITY}, through the {of}",
        reason=WHY,
        position=worst.position,
        coil_state=worst.coil_state,
        value=worst.current_a,
        limit=limit_a,
        unit="A",
        conditions=(*worst.conditions, present, *words),
        sources=sources,
        gap=worst.gap_a,
        working=worst.working(*steps),
    )


def _not_judged(tap: SupplyTap, reason: str) -> Finding:
    return Finding(NAME, tap.name, NOT_JUDGED, QUANTITY, reason, sources=SOURCES)


CHECK = Check(
    name=NAME,
    judges="present load plus add-on, against what the machine's fuse, wire and key contact carry",
    why=WHY,
    does_not_cover="a key contact whose rating is not given",
    sources=SOURCES,
    judge=judge,
)
