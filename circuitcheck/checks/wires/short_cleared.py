"""Dead short cleared.

Finds       a wire that burns before the fuse ahead of it clears a dead short at the wire's far end
Source      iec-60364-4-43, 434.5; iec-60364-5-54 (adiabatic limit); iso-8820-3 (slow edge);
            iso-6722 (overload)
Formula     t_fuse(I) <= t_wire(I): up to 5 s (k A / I)^2, k = k_0 sqrt(ln((Z + T_final) /
            (Z + T_start))); above, by the wire's heating curve up to 50 K above its class
Worst case  every current from the weakest (battery empty, cold and aged, joints aged, wires hot)
            to the strongest (battery full, alternator, joints new, wires cold) at which the fuse
            is sure to open; fuse at its slowest, in the coldest air; wire of least area, from its
            hottest running temperature.
Not covered a fault with resistance of its own (arc, rub-through); wires ahead of the first fuse;
            wires on which a short may be too weak to open a fuse (see unprotected length). The
            heating curve is checked against an independent model and ampacity tables, not measured.
Result      one finding per feed wire behind a fuse that opens wherever the short is, by the fuse
            ahead of it that does best
"""

from __future__ import annotations

import math

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding, judged
from circuitcheck.checks.fuses.fuse_ahead import FittedFuse, read_fuses_ahead
from circuitcheck.checks.wires.dead_short import (
    ShortAgainstFuse,
    short_against_fuse,
    short_conditions,
    short_guesses,
)
from circuitcheck.checks.wires.laid_heat import holding_working, stands_working
from circuitcheck.checks.wires.wire_limit import laid_wire
from circuitcheck.errors import CircuitcheckError
from circuitcheck.units import text

NAME = "dead short cleared"
WHY = "A chafed wire that touches metal must be cut off before it burns."
QUANTITY = "longest clearing time"
SOURCES = ("iec-60364-4-43", "iec-60364-5-54", "iso-8820-3", "iso-6722")


def judge(case: Case) -> list[Finding]:
    """Return one finding per feed wire behind a fuse that its short opens."""
    ahead = read_fuses_ahead(case.harness)
    findings = []
    for wire in case.shorts.feed_wires():
        fuses = ahead.of_wire(case.harness, wire)
        if fuses:
            try:
                findings.extend(_finding(case, wire, fuses))
            except CircuitcheckError as error:
                findings.append(_not_judged(wire, str(error)))
    return findings


def _finding(case: Case, wire: str, fuses: tuple[FittedFuse, ...]) -> list[Finding]:
    if all(fuse.row is None for fuse in fuses):
        return [_not_judged(wire, "the machine's fuse is not known: read the number on it")]
    short, laid = case.shorts.at_far_end(wire), laid_wire(case, wire)
    if short is None:
        return [_not_judged(wire, "no short can be worked out at its far end")]
    known = [(fuse, fuse.row) for fuse in fuses if fuse.row is not None]
    tried = [short_against_fuse(case, laid, short, fuse, row) for fuse, row in known]
    opening = [at for at in tried if at.opens_somewhere and not at.leaves_it_feeding]
    if not opening:
        return []
    finding = _timed(max(opening, key=lambda at: at.rank))
    guesses = short_guesses(case, laid)
    if finding.result == FAIL and guesses:
        return [_not_judged(wire, f"would fail as assumed: {'; '.join(guesses)}")]
    return [finding]


def _timed(at: ShortAgainstFuse) -> Finding:
    point = at.worst
    if at.carried_for_good or math.isinf(point.withstand_s):
        return _carried(at)
    by_curve = "" if point.is_short else " Later than 5 s by its heating curve, not measured."
    return Finding(
        check=NAME,
        subject=at.wire.name,
        result=judged(point.clearing_s, point.withstand_s),
        quantity=f"{QUANTITY} of {at.fuse.words}, short of {text(point.current_a, 'A')}",
        reason=f"{WHY}{by_curve}",
        position=at.short.position,
        value=point.clearing_s,
        limit=point.withstand_s,
        unit="s",
        conditions=short_conditions(at),
        sources=SOURCES,
        working=stands_working(at.heat, at.wire, point, at.start_c),
    )


def _carried(at: ShortAgainstFuse) -> Finding:
    """Return the pass of a wire that carries its strongest short for good."""
    return Finding(
        check=NAME,
        subject=at.wire.name,
        result=PASS,
        quantity="strongest short, against what the wire carries for good",
        reason=f"{WHY} This one carries its short until the fuse opens, however late.",
        position=at.short.position,
        value=at.short.strongest_a,
        limit=at.heat.carries_a(at.heat.class_c),
        unit="A",
        conditions=short_conditions(at),
        sources=SOURCES,
        working=holding_working(at.heat, at.heat.class_c),
    )


def _not_judged(wire: str, reason: str) -> Finding:
    return Finding(NAME, wire, NOT_JUDGED, QUANTITY, reason, sources=SOURCES)


CHECK = Check(
    name=NAME,
    judges="clearing time of the fuse in a dead short, against what each wire stands",
    why=WHY,
    does_not_cover="faults with resistance of their own, which a fuse may feed for long",
    sources=SOURCES,
    judge=judge,
)
