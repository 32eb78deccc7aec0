"""Selectivity of every two fuses in series, all the way to the battery.

Finds       a short whose fuse takes a fuse nearer the battery with it
Source      common-practice: the fuse ahead of at least twice the rating; iso-8820-3: bands
Formula     I_rated,ahead / I_rated,behind >= 2. Beside it, what the bands prove: up to current
            I_s the slowest fuse behind is faster than the fastest fuse ahead.
Worst case  the fuse behind in its coldest air, the one ahead in its hottest and with its other
            loads on. Above 600 % of the fuse ahead nothing is listed and nothing can be proved:
            two blade fuses may then both open, which the ratio of ratings makes unlikely.
Not covered fuses of two add-ons on one tap; fuses of the machine that the file does not describe
Result      one finding per pair: fail where the rating behind is not the smaller, not judged
            (both may open) below twice
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding, Term, Working
from circuitcheck.checks.fuses.fuse_ahead import FittedFuse, FusesAhead, read_fuses_ahead
from circuitcheck.checks.fuses.opening_order import loads_beside_a, proved_up_to_a
from circuitcheck.errors import CircuitcheckError
from circuitcheck.model.library import FuseRow
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.units import text

NAME = "selectivity of fuses in series"
WHY = "A short behind one fuse should not stop what else hangs on the fuse ahead of it."
QUANTITY = "rating of the fuse ahead over the one behind"
SOURCES = ("common-practice", "iso-8820-3")


def judge(case: Case) -> list[Finding]:
    """Return one finding per pair of fuses in series."""
    ahead = read_fuses_ahead(case.harness)
    return [_finding(case, ahead, behind, other) for behind, other in _pairs(case, ahead)]


def _pairs(case: Case, ahead: FusesAhead) -> Iterator[tuple[FittedFuse, FittedFuse]]:
    """Yield each fuse with each one between it and the battery."""
    for behind in ahead.fuses.values():
        terminal = f"{behind.owner}.line"
        tap = case.harness.parts[behind.owner]
        if isinstance(tap, SupplyTap):
            terminal = str(tap.upstream.source)
        for other in ahead.of(terminal):
            if other.owner != behind.owner:
                yield behind, other


def _finding(case: Case, ahead: FusesAhead, behind: FittedFuse, other: FittedFuse) -> Finding:
    for fuse in (behind, other):
        if fuse.row is None:
            reason = (
                f"the machine's fuse before {fuse.owner} is not known: pull fuses until the tap "
                "goes dead and read the number on that fuse"
            )
            return Finding(NAME, behind.owner, NOT_JUDGED, QUANTITY, reason, sources=SOURCES)
    assert behind.row is not None
    assert other.row is not None
    ratio = other.row.rating_a / behind.row.rating_a
    limit = case.library.limit("selectivity_rating_ratio")
    result = PASS if ratio >= limit.value else FAIL if ratio <= 1.0 else NOT_JUDGED
    reason = WHY
    if result == NOT_JUDGED:
        reason = f"both fuses may open: choose ratings at least {limit.value:g} to 1. {WHY}"
    return Finding(
        check=NAME,
        subject=behind.owner,
        result=result,
        quantity=f"{QUANTITY} ({_named(other)} over {_named(behind)})",
        reason=reason,
        value=ratio,
        limit=limit.value,
        unit="to 1",
        at_most=False,
        conditions=_proved_words(case, ahead, (behind, behind.row), (other, other.row)),
        sources=(limit.source, *SOURCES[1:]),
        working=Working(
            "I_a / I_n",
            (
                Term("I_a", other.row.rating_a, "A", f"rated current of {other.words}"),
                Term("I_n", behind.row.rating_a, "A", f"rated current of {behind.words}"),
            ),
            Term("r", ratio, "1", "ratio of ratings"),
        ),
    )


def _named(fuse: FittedFuse) -> str:
    return fuse.owner if fuse.inline else f"the machine's before {fuse.owner}"


def _proved_words(
    case: Case,
    ahead: FusesAhead,
    behind: tuple[FittedFuse, FuseRow],
    other: tuple[FittedFuse, FuseRow],
) -> tuple[str, ...]:
    """Return up to which current the bands prove it, and which shorts there can be."""
    try:
        beside_a = loads_beside_a(case, other[0])
        proved_a = proved_up_to_a(case.library, behind, other, beside_a)
        shorts = [
            case.shorts.at_far_end(wire)
            for wire in case.shorts.feed_wires()
            if behind[0] in ahead.of_wire(case.harness, wire)
        ]
        weakest_a = min((short.weakest_a for short in shorts if short), default=0.0)
        strongest_a = case.shorts.at_fuse_load(behind[0].owner).strongest_a
    except CircuitcheckError as error:
        return (f"the opening bands could not be compared: {error}",)
    return (
        f"the opening bands alone prove it up to {text(proved_a, 'A')}, with "
        f"{text(beside_a, 'A')} of other loads; above, they overlap",
        f"shorts behind {_named(behind[0])}: {text(weakest_a, 'A')} at the farthest wire end to "
        f"{text(strongest_a, 'A')} at the fuse",
    )


CHECK = Check(
    name=NAME,
    judges="rating of every fuse over each one behind it, with what the opening bands prove",
    why=WHY,
    does_not_cover="fuses of two add-ons on one tap; fuses of the machine that the file leaves out",
    sources=SOURCES,
    judge=judge,
)
