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
from circuitcheck.checks.dead_short import ShortAgainstFuse, short_against_fuse, short_guesses
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding, Term, Working, judged
from circuitcheck.checks.fuse_ahead import FittedFuse, air_words, read_fuses_ahead
from circuitcheck.checks.wire_limit import laid_wire
from circuitcheck.errors import CircuitcheckError
from circuitcheck.formulas.adiabatic import adiabatic_k
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
        conditions=_conditions(at),
        sources=SOURCES,
        working=_opens_working(at),
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
        conditions=_conditions(at),
        sources=SOURCES,
        working=_working(at),
    )


def _conditions(at: ShortAgainstFuse) -> tuple[str, ...]:
    short, wire, air_c = at.short, at.wire, at.fuse.ambient_c.lower
    at_strongest = not at.may_never_open and at.worst.current_a >= short.strongest_a
    words = short.conditions_strongest if at_strongest else short.conditions_weakest
    return (
        f"short at {short.far_terminal} to {short.target}, "
        f"{text(short.weakest_a, 'A')} to {text(short.strongest_a, 'A')}",
        *words,
        air_words(at.fuse, air_c, at.worth_a),
        f"wire {wire.conductor.name} from {at.start_c:.0f} degC to "
        f"{wire.insulation.short_circuit_c:g} degC ({wire.insulation.name})",
    )


def _working(at: ShortAgainstFuse) -> Working:
    final_c = at.wire.insulation.short_circuit_c
    k, metal = adiabatic_k(at.start_c, final_c, at.wire.metal), at.wire.material.name
    terms = (
        Term("k", k, "A*s**0.5/mm2", f"{metal}, {at.start_c:.0f} degC to {final_c:g} degC"),
        Term("A", at.wire.conductor.area_min_mm2, "mm2", "least area of the conductor"),
        Term("I", at.worst.current_a, "A", "current of the short, the worst of its range"),
    )
    result = Term("t_wire", at.worst.withstand_s, "s", "time that the wire stands it")
    return Working("(k * A / I) ** 2", terms, result)


def _opens_working(at: ShortAgainstFuse) -> Working:
    terms = (
        Term("p", at.opens_a / at.worth_a, "1", "share of its rating at which a fuse must open"),
        Term("I_n", at.worth_a, "A", "the fuse in its coldest air"),
    )
    return Working("p * I_n", terms, Term("I_2", at.opens_a, "A", "lowest opening current"))


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
