"""Fuse protects wire.

Finds       a wire that the fuse ahead of it lets run hotter than its insulation stands
Source      iec-60364-4-43, 433.1: I_n <= I_z, and I_2 <= 1.45 I_z
Formula     I_z = I_table * f_air * f_bundle; I_2 = lowest current at which the fuse must open
Worst case  air of the hottest zone on the wire's way and the engine-space factor; I_2 of the fuse
            in the coldest air of its zone. Where several fuses stand ahead, the smallest counts.
Second ground: a wire within the permitted distance of its source (33-cfr-183-455) may rely on the
            add-on's fuse at its end, which limits its load (iec-60364-4-43, 433.2); the short in
            it is judged by dead short cleared.
Not covered wires ahead of every fuse (see fuse near source); the return, which carries no more than
            its feed. Boats may fuse up to 150 % of the ampacity: shown, not used.
Result      one finding per wire on the feed side that lies behind a fuse
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding, Term, Working, judged
from circuitcheck.checks.fuses.fuse_ahead import FittedFuse, FusesAhead, read_fuses_ahead
from circuitcheck.checks.fuses.unfused_run import permitted_length, unfused_runs
from circuitcheck.checks.wires.wire_limit import WireLimit, wire_limit
from circuitcheck.errors import LibraryError
from circuitcheck.formulas.fuse_clearing import guaranteed_opening_a
from circuitcheck.model.library import FuseRow
from circuitcheck.transient.heat.fuse_rating import rerated_a
from circuitcheck.units import text

NAME = "fuse protects wire"
WHY = "Too large a fuse lets the wire overheat before it opens."
QUANTITY = "rated current of the fuse"
SOURCES = ("iec-60364-4-43", "iso-8820-3")


def judge(case: Case) -> list[Finding]:
    """Return one finding per feed wire behind a fuse."""
    ahead = read_fuses_ahead(case.harness)
    at_end = _fuses_at_end(case, ahead)
    return [
        _finding(case, wire, ahead.of_wire(case.harness, wire), at_end.get(wire, ()))
        for wire in case.shorts.feed_wires()
        if ahead.of_wire(case.harness, wire)
    ]


def _fuses_at_end(case: Case, ahead: FusesAhead) -> dict[str, tuple[FittedFuse, ...]]:
    """Return the fuses at the end of each wire that lies within the permitted distance."""
    return {
        wire: tuple(ahead.fuses[name] for name in run.fuses)
        for run in unfused_runs(case.harness)
        if run.length_m <= permitted_length(case.library, run).value
        for wire in run.wires
    }


def _finding(
    case: Case, wire: str, ahead: tuple[FittedFuse, ...], at_end: tuple[FittedFuse, ...]
) -> Finding:
    known = [(fuse.row.rating_a, not fuse.inline, fuse) for fuse in ahead if fuse.row is not None]
    # Of two equal fuses the add-on's is named: it is the one that its owner can change.
    smallest = [fuse for *_, fuse in sorted(known, key=lambda entry: entry[:2])][:1]
    try:
        limit, found = wire_limit(case, wire), None
        if smallest:
            found = _judged(case, limit, tuple(smallest), ())
        if at_end and (found is None or found.result != PASS):
            words = ("close to its source: the fuse at its end limits its load",)
            by_end = _judged(case, limit, at_end, words)
            found = by_end if by_end.result == PASS else found
    except LibraryError as error:
        return Finding(NAME, wire, NOT_JUDGED, QUANTITY, str(error), sources=SOURCES)
    if found is not None:
        return found
    reason = (
        f"the machine's fuse before {ahead[0].owner} is not known: pull fuses until the tap goes "
        "dead and read the number on that fuse"
    )
    return Finding(NAME, wire, NOT_JUDGED, QUANTITY, reason, sources=SOURCES)


def _opens_a(case: Case, fuse: FittedFuse, row: FuseRow) -> float:
    band = case.library.fuse_opening_band(row.style)
    cold_a = rerated_a(case.library, row, fuse.ambient_c.lower)
    return guaranteed_opening_a(cold_a, band.percents, band.max_s)


def _judged(
    case: Case, limit: WireLimit, fuses: tuple[FittedFuse, ...], words: tuple[str, ...]
) -> Finding:
    """Judge a wire by one fuse ahead of it, or by all the fuses at its end together."""
    rows = [(fuse, fuse.row) for fuse in fuses if fuse.row is not None]
    rated_a = sum(row.rating_a for _, row in rows)
    opens_a = sum(_opens_a(case, fuse, row) for fuse, row in rows)
    named, library = " + ".join(fuse.words for fuse in fuses), case.library
    rated_limit_a = library.limit("fuse_to_ampacity_share").value * limit.ampacity_a
    opens_limit_a = library.limit("fuse_conventional_share").value * limit.ampacity_a
    # Both conditions must hold; the one with less to spare is the finding's number.
    tighter = opens_a * rated_limit_a > rated_a * opens_limit_a
    value_a, limit_a = (opens_a, opens_limit_a) if tighter else (rated_a, rated_limit_a)
    result, reason = judged(value_a, limit_a), WHY
    if result == FAIL and limit.wire.guesses:
        result, reason = NOT_JUDGED, f"would fail as assumed: {'; '.join(limit.wire.guesses)}"
    boats = library.limit("fuse_to_ampacity_share_boats")
    return Finding(
        check=NAME,
        subject=limit.wire.name,
        result=result,
        quantity=f"{'opening' if tighter else 'rated'} current of {named}",
        reason=reason,
        value=value_a,
        limit=limit_a,
        unit="A",
        conditions=(
            *words,
            *limit.conditions(),
            f"rated {text(rated_a, 'A')} against {text(rated_limit_a, 'A')}; must open at "
            f"{text(opens_a, 'A')} in the coldest air against {text(opens_limit_a, 'A')}",
            f"boats may fuse up to {text(boats.value * limit.ampacity_a, 'A')}, not used here",
        ),
        sources=(*SOURCES, *limit.sources),
        working=_opening_working(opens_limit_a, limit) if tighter else limit.working(),
    )


def _opening_working(opens_limit_a: float, limit: WireLimit) -> Working:
    share = Term("s", opens_limit_a / limit.ampacity_a, "1", "I_2 over I_z")
    carried = Term("I_z", limit.ampacity_a, "A", f"ampacity of {limit.wire.name} where it lies")
    highest = Term("I_2", opens_limit_a, "A", "highest opening current that protects it")
    return Working("s * I_z", (share, carried), highest)


CHECK = Check(
    name=NAME,
    judges="rated and opening current of the fuse ahead, against the ampacity of each feed wire",
    why=WHY,
    does_not_cover="wires ahead of the first fuse, judged by their length",
    sources=SOURCES,
    judge=judge,
)
