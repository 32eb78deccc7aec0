"""Dead short cleared.

Finds       a wire that burns before the fuse ahead of it clears a dead short at the wire's far end
Source      iec-60364-4-43, 434.5; iec-60364-5-54 (adiabatic limit); iso-8820-3 (slow edge)
Formula     t_fuse(I) <= (k A / I)^2, k = k_0 sqrt(ln((Z + T_final) / (Z + T_start)))
Worst case  every current from the weakest (battery empty, cold and aged, joints aged, wires hot)
            to the strongest (battery full, alternator, joints new, wires cold); fuse at its
            slowest, in the coldest air; wire of least area, from its hottest running temperature.
            Above 5 s heat leaves the wire: the adiabatic limit is then too strict.
Not covered a fault with resistance of its own (arc, rub-through); wires ahead of the first fuse
Result      one finding per feed wire behind a fuse, by the fuse ahead of it that does best
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.dead_short import (
    ShortAgainstFuse,
    opens_working,
    short_against_fuse,
    short_conditions,
    short_guesses,
    withstand_working,
)
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding, judged
from circuitcheck.checks.fuse_ahead import FittedFuse, read_fuses_ahead
from circuitcheck.checks.wire_limit import laid_wire, wire_limit
from circuitcheck.errors import CircuitcheckError
from circuitcheck.units import text

NAME = "dead short cleared"
WHY = "A chafed wire that touches metal must be cut off before it burns."
QUANTITY = "longest clearing time"
SOURCES = ("iec-60364-4-43", "iec-60364-5-54", "iso-8820-3")


def judge(case: Case) -> list[Finding]:
    """Return one finding per feed wire behind a fuse."""
    ahead = read_fuses_ahead(case.harness)
    findings = []
    for wire in case.shorts.feed_wires():
        fuses = ahead.of_wire(case.harness, wire)
        if fuses:
            try:
                findings.append(_finding(case, wire, fuses))
            except CircuitcheckError as error:
                findings.append(_not_judged(wire, str(error)))
    return findings


def _finding(case: Case, wire: str, fuses: tuple[FittedFuse, ...]) -> Finding:
    if all(fuse.row is None for fuse in fuses):
        return _not_judged(wire, "the machine's fuse is not known: read the number on it")
    short, laid = case.shorts.at_far_end(wire), laid_wire(case, wire)
    if short is None:
        return _not_judged(wire, "no short can be worked out at its far end")
    known = [(fuse, fuse.row) for fuse in fuses if fuse.row is not None]
    tried = [short_against_fuse(case, laid, short, fuse, row) for fuse, row in known]
    best = max(tried, key=lambda at: at.rank)
    if best.may_never_open and best.carried_for_good:
        return _carried(case, best)
    finding = _never_opens(best) if best.may_never_open else _timed(case, best)
    guesses = short_guesses(case, laid)
    if finding.result == FAIL and guesses:
        return _not_judged(wire, f"would fail as assumed: {'; '.join(guesses)}")
    return finding


def _never_opens(at: ShortAgainstFuse) -> Finding:
    return Finding(
        check=NAME,
        subject=at.wire.name,
        result=FAIL,
        quantity=f"weakest short, against the current at which {at.fuse.words} must open",
        reason=f"The fuse may never open and the short goes on feeding. {WHY}",
        position=at.short.position,
        value=at.short.weakest_a,
        limit=at.opens_a,
        unit="A",
        at_most=False,
        conditions=short_conditions(at),
        sources=SOURCES,
        working=opens_working(at),
    )


def _carried(case: Case, at: ShortAgainstFuse) -> Finding:
    """Return the pass of a wire whose short a resistor ahead of it keeps small."""
    return Finding(
        check=NAME,
        subject=at.wire.name,
        result=PASS,
        quantity="strongest short, against what the wire carries for good",
        reason="No fuse has to open: what lies ahead of it lets no more through.",
        position=at.short.position,
        value=at.short.strongest_a,
        limit=at.carried_a,
        unit="A",
        conditions=short_conditions(at),
        sources=SOURCES,
        working=wire_limit(case, at.wire.name).working(),
    )


def _timed(case: Case, at: ShortAgainstFuse) -> Finding:
    point, result, reason = at.worst, PASS, WHY
    if at.carried_for_good:
        reason += f" The wire carries {text(at.carried_a, 'A')} for good, more than the short."
    else:
        result = judged(point.clearing_s, point.withstand_s)
    if point.clearing_s > case.library.limit("adiabatic_longest_s").value:
        reason += " Above 5 s heat leaves the wire, so that the limit is too strict."
    return Finding(
        check=NAME,
        subject=at.wire.name,
        result=result,
        quantity=f"{QUANTITY} of {at.fuse.words}, short of {text(point.current_a, 'A')}",
        reason=reason,
        position=at.short.position,
        value=point.clearing_s,
        # A wire that carries the short for good has no limit in time.
        limit=None if at.carried_for_good else point.withstand_s,
        unit="s",
        conditions=short_conditions(at),
        sources=SOURCES,
        working=withstand_working(at),
    )


def _not_judged(wire: str, reason: str) -> Finding:
    return Finding(NAME, wire, NOT_JUDGED, QUANTITY, reason, sources=SOURCES)


CHECK = Check(
    name=NAME,
    judges="clearing time of the fuse in a dead short, against the adiabatic limit of each wire",
    why=WHY,
    does_not_cover="faults with resistance of their own, which a fuse may feed for long",
    sources=SOURCES,
    judge=judge,
)
