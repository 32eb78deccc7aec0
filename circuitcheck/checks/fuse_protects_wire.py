"""Fuse protects wire.

Finds       a wire that the fuse ahead of it lets run hotter than its insulation stands
Source      iec-60364-4-43, 433.1: I_n <= I_z, and I_2 <= 1.45 I_z
Formula     I_z = I_table * f_air * f_bundle; I_2 = lowest current at which the fuse must open
Worst case  air of the hottest zone on the wire's way and the engine-space factor; I_2 of the fuse
            in the coldest air of its zone. Where several fuses stand ahead, the smallest counts.
Not covered wires between the source and the first fuse (see fuse near source); the return, which
            carries no more than its feed. 33-cfr-183-455 would allow a fuse of 150 % of the
            ampacity: shown, not used.
Result      one finding per wire on the feed side that lies behind a fuse
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, Finding, Term, Working, judged
from circuitcheck.checks.fuse_ahead import FittedFuse, FusesAhead, read_fuses_ahead, rerated_a
from circuitcheck.checks.wire_limit import WireLimit, wire_limit
from circuitcheck.errors import LibraryError
from circuitcheck.formulas.fuse_clearing import guaranteed_opening_a
from circuitcheck.units import text

NAME = "fuse protects wire"
WHY = "Too large a fuse lets the wire overheat before it opens."
QUANTITY = "rated current of the fuse"
SOURCES = ("iec-60364-4-43", "iso-8820-3")


def judge(case: Case) -> list[Finding]:
    """Return one finding per feed wire behind a fuse."""
    ahead = read_fuses_ahead(case.harness)
    return [
        _finding(case, wire, ahead)
        for wire in case.shorts.feed_wires()
        if ahead.of_wire(case.harness, wire)
    ]


def _finding(case: Case, wire: str, ahead: FusesAhead) -> Finding:
    fuses = ahead.of_wire(case.harness, wire)
    known = [fuse for fuse in fuses if fuse.row is not None]
    if not known:
        reason = (
            f"the machine's fuse before {fuses[0].owner} is not known: pull fuses until the tap "
            "goes dead and read the number on that fuse"
        )
        return Finding(NAME, wire, NOT_JUDGED, QUANTITY, reason, sources=SOURCES)
    fuse = min(known, key=lambda f: f.row.rating_a if f.row else 0.0)
    try:
        limit = wire_limit(case, wire)
        return _judged(case, wire, fuse, limit)
    except LibraryError as error:
        return Finding(NAME, wire, NOT_JUDGED, QUANTITY, str(error), sources=SOURCES)


def _judged(case: Case, wire: str, fuse: FittedFuse, limit: WireLimit) -> Finding:
    assert fuse.row is not None
    library, row = case.library, fuse.row
    band = library.fuse_opening_band(row.style)
    cold_a = rerated_a(library, row, fuse.ambient_c.lower)
    opens_a = guaranteed_opening_a(cold_a, band.percents, band.max_s)
    rated_limit_a = library.limit("fuse_to_ampacity_share").value * limit.ampacity_a
    opens_limit_a = library.limit("fuse_conventional_share").value * limit.ampacity_a
    # Both conditions must hold; the one with less to spare is the finding's number.
    tighter = opens_a * rated_limit_a > row.rating_a * opens_limit_a
    value_a, limit_a = (opens_a, opens_limit_a) if tighter else (row.rating_a, rated_limit_a)
    result, reason = judged(value_a, limit_a), WHY
    if result == FAIL and limit.wire.guesses:
        result, reason = NOT_JUDGED, f"would fail as assumed: {'; '.join(limit.wire.guesses)}"
    boats = library.limit("fuse_to_ampacity_share_boats")
    return Finding(
        check=NAME,
        subject=wire,
        result=result,
        quantity=f"{'opening' if tighter else 'rated'} current of {fuse.words}",
        reason=reason,
        value=value_a,
        limit=limit_a,
        unit="A",
        conditions=(
            *limit.conditions(),
            f"rated {text(row.rating_a, 'A')} against {text(rated_limit_a, 'A')}",
            f"must open at {text(opens_a, 'A')} (air {fuse.ambient_c.lower:g} degC) against "
            f"1.45 x {text(limit.ampacity_a, 'A')} = {text(opens_limit_a, 'A')}",
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
