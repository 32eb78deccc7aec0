"""Selectivity with the machine's fuse.

Finds       an add-on whose short takes the machine's fuse with it
Source      common-practice: the machine's fuse of at least twice the rating; iso-8820-3: bands
Formula     I_rated,machine / I_rated,add-on >= 2. Beside it, what the bands prove: up to current
            I_s the slowest add-on fuse is faster than the fastest machine's fuse.
Worst case  add-on fuse in its coldest air, the machine's in its hottest and with its present load
            on. Above 600 % of the machine's fuse nothing is listed and nothing can be proved: two
            blade fuses may then both open, which the ratio of ratings makes unlikely.
Not covered fuses of two add-ons on one tap
Result      one finding per add-on fuse and tap ahead of it: fail where the add-on's rating is not
            the smaller, not judged (both may open) below twice
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding, Term, Working
from circuitcheck.checks.fuse_ahead import FittedFuse, FusesAhead, read_fuses_ahead, rerated_a
from circuitcheck.errors import CircuitcheckError
from circuitcheck.formulas.fuse_clearing import clearing_time_s
from circuitcheck.model.library import FuseRow
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.units import text

NAME = "selectivity with the machine's fuse"
WHY = "A short in the add-on should not stop what else hangs on the machine's fuse."
QUANTITY = "rating of the machine's fuse over the add-on's"
SOURCES = ("common-practice", "iso-8820-3")


def judge(case: Case) -> list[Finding]:
    """Return one finding per add-on fuse and tap ahead of it."""
    ahead = read_fuses_ahead(case.harness)
    return [
        _finding(case, ahead, own, machine)
        for own in ahead.fuses.values()
        if own.inline
        for machine in ahead.of(f"{own.owner}.line")
        if not machine.inline
    ]


def _finding(case: Case, ahead: FusesAhead, own: FittedFuse, machine: FittedFuse) -> Finding:
    assert own.row is not None
    if machine.row is None:
        reason = (
            f"the machine's fuse before {machine.owner} is not known: pull fuses until the tap "
            "goes dead and read the number on that fuse"
        )
        return Finding(NAME, own.owner, NOT_JUDGED, QUANTITY, reason, sources=SOURCES)
    ratio, limit = (
        machine.row.rating_a / own.row.rating_a,
        case.library.limit("selectivity_rating_ratio"),
    )
    result = PASS if ratio >= limit.value else FAIL if ratio <= 1.0 else NOT_JUDGED
    proved = _proved_words(case, ahead, (own, own.row), (machine, machine.row))
    if result == NOT_JUDGED:
        reason = f"both fuses may open: choose ratings at least {limit.value:g} to 1. {WHY}"
    else:
        reason = WHY
    return Finding(
        check=NAME,
        subject=own.owner,
        result=result,
        quantity=f"{QUANTITY} ({machine.owner})",
        reason=reason,
        value=ratio,
        limit=limit.value,
        unit="to 1",
        at_most=False,
        conditions=proved,
        sources=(limit.source, *SOURCES[1:]),
        working=Working(
            "I_m / I_n",
            (
                Term("I_m", machine.row.rating_a, "A", "rated current of the machine's fuse"),
                Term("I_n", own.row.rating_a, "A", f"rated current of {own.owner}"),
            ),
            Term("r", ratio, "1", "ratio of ratings"),
        ),
    )


def _proved_words(
    case: Case,
    ahead: FusesAhead,
    own: tuple[FittedFuse, FuseRow],
    machine: tuple[FittedFuse, FuseRow],
) -> tuple[str, ...]:
    """Return up to which current the bands prove it, and which shorts there can be."""
    try:
        proved_a = _proved_up_to_a(case, own, machine)
        shorts = [
            case.shorts.at_far_end(wire)
            for wire in case.shorts.feed_wires()
            if own[0] in ahead.of_wire(case.harness, wire)
        ]
        weakest_a = min((short.weakest_a for short in shorts if short), default=0.0)
        strongest_a = case.shorts.at_fuse_load(own[0].owner).strongest_a
    except CircuitcheckError as error:
        return (f"the opening bands could not be compared: {error}",)
    return (
        f"the opening bands alone prove it up to {text(proved_a, 'A')}; above, they overlap",
        f"shorts behind {own[0].owner}: {text(weakest_a, 'A')} at the farthest wire end to "
        f"{text(strongest_a, 'A')} at the fuse",
    )


def _proved_up_to_a(
    case: Case, own: tuple[FittedFuse, FuseRow], machine: tuple[FittedFuse, FuseRow]
) -> float:
    """Return the highest short up to which the machine's fuse is sure to hold longer.

    The sure holding time falls at the listed points only and the add-on's clearing time falls all
    the way: just above a listed point is where it can first go wrong.
    """
    library, tap = case.library, case.harness.parts[machine[0].owner]
    assert isinstance(tap, SupplyTap)
    band, slow = (library.fuse_opening_band(row.style) for row in (machine[1], own[1]))
    hot_a = rerated_a(library, machine[1], machine[0].ambient_c.upper)
    cold_a = rerated_a(library, own[1], own[0].ambient_c.lower)
    load_a = tap.upstream.present_load_a
    loaded_a = load_a.upper if load_a is not None else 0.0
    held_above = (*band.min_s[1:], 0.0)
    for percent, held_s in zip(band.percents, held_above, strict=True):
        short_a = hot_a * percent / 100.0 - loaded_a
        if short_a <= 0.0 or clearing_time_s(short_a, cold_a, slow.percents, slow.max_s) >= held_s:
            return max(short_a, 0.0)
    raise AssertionError("nothing is held above the last listed point")


CHECK = Check(
    name=NAME,
    judges="rating of the machine's fuse over the add-on's, with what the opening bands prove",
    why=WHY,
    does_not_cover="fuses of two add-ons on one tap",
    sources=SOURCES,
    judge=judge,
)
