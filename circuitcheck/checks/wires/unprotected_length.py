"""Unprotected length.

Finds       wire so long, for the fuse ahead of it, that a short near its far end may never open
            any fuse and goes on with more than the wire carries
Source      iec-60364-4-43, 434.5 (a short at any point must be cleared); iso-8820-3 (opening)
Formula     I(x) = 1 / (1 / I_k - (R / V) (1 - x / l)); unprotected from where I(x) < I_2 to the far
            end: (V l / R) (1 / I_k - 1 / I_2), at most l
Worst case  weakest short (battery empty, cold and aged, joints aged, wires hot, frame bonds and
            other ways back of their highest resistance), fuse in its coldest air. No load is taken
            to hold the source down, so that the length errs long.
Not covered a short with resistance of its own; how fast the fuse opens where it does (see dead
            short cleared); what leaves that check not judged is not repeated here
Result      one finding per feed wire behind a fuse: metres from its far end, 0 m passes
"""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, Finding, Term, Working, judged
from circuitcheck.checks.fuses.fuse_ahead import FittedFuse, read_fuses_ahead
from circuitcheck.checks.wires.dead_short import (
    ShortAgainstFuse,
    opens_working,
    short_against_fuse,
    short_conditions,
    short_guesses,
)
from circuitcheck.checks.wires.wire_limit import UPSTREAM, laid_wire
from circuitcheck.errors import CircuitcheckError
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.units import text

NAME = "unprotected length"
WHY = "A short there may never open a fuse: the wire goes on heating until the battery is flat."
QUANTITY = "length from its far end on which a short may never open a fuse"
SOURCES = ("iec-60364-4-43", "iso-8820-3")


def judge(case: Case) -> list[Finding]:
    """Return one finding per feed wire behind a fuse that is known."""
    ahead = read_fuses_ahead(case.harness)
    findings = []
    for wire in case.shorts.feed_wires():
        fuses = ahead.of_wire(case.harness, wire)
        try:
            tried = _tried(case, wire, fuses)
        except CircuitcheckError:
            continue  # dead short cleared says of this wire what is missing
        if tried:
            findings.append(_finding(case, tried))
    return findings


def _tried(case: Case, wire: str, fuses: tuple[FittedFuse, ...]) -> list[ShortAgainstFuse]:
    known = [(fuse, fuse.row) for fuse in fuses if fuse.row is not None]
    short = case.shorts.at_far_end(wire) if known else None
    if short is None:
        return []
    laid = laid_wire(case, wire)
    return [short_against_fuse(case, laid, short, fuse, row) for fuse, row in known]


def _finding(case: Case, tried: list[ShortAgainstFuse]) -> Finding:
    lengths = [_unprotected_m(case, at) if at.leaves_it_feeding else 0.0 for at in tried]
    # Of two equal fuses the add-on's is named: it is the one that its owner can change.
    best = min(
        range(len(tried)), key=lambda n: (lengths[n], tried[n].opens_a, not tried[n].fuse.inline)
    )
    at, length_m = tried[best], lengths[best]
    limit = case.library.limit("unprotected_length_m")
    finding = Finding(
        check=NAME,
        subject=at.wire.name,
        result=judged(length_m, limit.value),
        quantity=QUANTITY,
        reason=_reason(at, length_m),
        position=at.short.position,
        value=length_m,
        limit=limit.value,
        unit="m",
        conditions=short_conditions(at),
        sources=(limit.source, *SOURCES[1:]),
        working=_working(case, at, length_m),
    )
    guesses = short_guesses(case, at.wire)
    if finding.result == FAIL and guesses:
        missing = f"would fail as assumed: {'; '.join(guesses)}"
        return replace(finding, result=NOT_JUDGED, reason=missing)
    return finding


def _reason(at: ShortAgainstFuse, length_m: float) -> str:
    if length_m > 0.0:
        return f"{WHY} {at.fuse.words} must open at {text(at.opens_a, 'A')}, not below."
    if not at.may_never_open:
        return "Wherever it touches metal, a fuse is sure to open."
    if at.nearest_a <= at.carried_a:
        return (
            "No fuse has to open: what lies ahead of it lets no more through than the "
            f"{text(at.carried_a, 'A')} that it carries for good."
        )
    return f"What does not open a fuse it carries for good: {text(at.carried_a, 'A')}."


def _length_m(case: Case, wire: str) -> float:
    if wire in case.harness.wires:
        return case.harness.wires[wire].length_m.upper
    tap = case.harness.parts[wire.removesuffix(UPSTREAM)]
    assert isinstance(tap, SupplyTap)
    return tap.upstream.length_m.upper


def _unprotected_m(case: Case, at: ShortAgainstFuse) -> float:
    """Return the length from the far end on which the weakest short is below what opens it."""
    short, length_m = at.short, _length_m(case, at.wire.name)
    missing = 1.0 / short.weakest_a - 1.0 / at.opens_a if short.weakest_a > 0.0 else float("inf")
    return min(length_m, short.weakest_source_v * length_m / short.wire_ohm * missing)


def _working(case: Case, at: ShortAgainstFuse, length_m: float) -> Working:
    whole_m = _length_m(case, at.wire.name)
    whole = Term("l", whole_m, "m", f"length of {at.wire.name}")
    protected = Term("l_p", whole_m - length_m, "m", "of it, from its near end, protected")
    result = Term("l_u", length_m, "m", QUANTITY)
    opens = opens_working(at)
    if not 0.0 < length_m < whole_m:
        return Working("l - l_p", (whole, protected), result, steps=(opens,))
    terms = (
        whole,
        Term("V_s", at.short.weakest_source_v, "V", "open battery, discharged"),
        Term("R", at.short.wire_ohm, "ohm", f"{at.wire.name} hot, whole length"),
        Term("I_k", at.short.weakest_a, "A", "weakest short at its far end"),
        opens.result,
    )
    return Working("V_s * l / R * (1 / I_k - 1 / I_2)", terms, result, steps=(opens,))


CHECK = Check(
    name=NAME,
    judges="length of each feed wire on which a short may never open the fuse ahead",
    why=WHY,
    does_not_cover="faults with resistance of their own; wires ahead of the first fuse",
    sources=SOURCES,
    judge=judge,
)
