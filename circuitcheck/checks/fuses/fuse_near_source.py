"""Fuse near source.

Finds       wire between the place where power is taken and the first fuse of the add-on that is
            longer than may go without one
Source      33-cfr-183-455: 7 in, or 40 in sheathed all the way; abyc-e-11: 72 in sheathed, straight
            from a battery post
Formula     length along the wires from the tap or post to the far end of each wire ahead of the
            add-on's fuse <= limit
Worst case  upper length of every wire
Second ground: a machine's fuse upstream whose rated current is no more than the ampacity of every
            such wire protects it already (iec-60364-4-43); the length then does not count.
Not covered the machine's own wire from battery to its fuse, where it has one
Result      one finding per tap or battery post that feeds wires of the add-on
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import NOT_JUDGED, PASS, Finding, Term, Working, judged
from circuitcheck.checks.fuses.fuse_ahead import read_fuses_ahead
from circuitcheck.checks.fuses.unfused_run import UnfusedRun, permitted_length, unfused_runs
from circuitcheck.checks.wires.wire_limit import WireLimit, wire_limit
from circuitcheck.errors import LibraryError
from circuitcheck.units import text

NAME = "fuse near source"
WHY = "A chafed wire ahead of the first fuse burns until the battery is flat."
QUANTITY = "length of wire ahead of the first fuse of the add-on"
RATED = "rated current of the fuse before the tap"
SOURCES = ("33-cfr-183-455", "abyc-e-11")


def judge(case: Case) -> list[Finding]:
    """Return one finding per place where the add-on takes power."""
    return [_finding(case, run) for run in unfused_runs(case.harness)]


def _finding(case: Case, run: UnfusedRun) -> Finding:
    by_length = _by_length(case, run)
    ahead = [] if run.at_battery else read_fuses_ahead(case.harness).of(run.source)
    if by_length.result == PASS or not ahead:
        return by_length
    ratings = [fuse.row.rating_a for fuse in ahead if fuse.row is not None]
    if not ratings:
        return _not_judged(
            run,
            f"{text(run.length_m, 'm')} is too long by itself, and the machine's fuse is not "
            "known: pull fuses until the tap goes dead and read the number on that fuse",
        )
    try:
        limits = [wire_limit(case, wire) for wire in run.wires]
    except LibraryError as error:
        return _not_judged(run, str(error))
    weakest = min(limits, key=lambda limit: limit.ampacity_a)
    if min(ratings) <= weakest.ampacity_a:
        return _by_upstream_fuse(run, min(ratings), weakest)
    return by_length


def _not_judged(run: UnfusedRun, reason: str) -> Finding:
    return Finding(NAME, run.source, NOT_JUDGED, QUANTITY, reason, sources=SOURCES)


def _by_length(case: Case, run: UnfusedRun) -> Finding:
    limit = permitted_length(case.library, run)
    guessed = [
        f"{a.subject}, {a.key}: look at {a.measure}"
        for a in case.harness.assumptions
        if a.key in ("length", "sheathed") and _concerns(case, a.subject, run)
    ]
    result, reason = judged(run.length_m, limit.value), WHY
    if result != PASS and guessed:
        result, reason = NOT_JUDGED, f"would fail as assumed: {'; '.join(guessed)}"
    return Finding(
        check=NAME,
        subject=run.source,
        result=result,
        quantity=QUANTITY,
        reason=reason,
        value=run.length_m,
        limit=limit.value,
        unit="m",
        conditions=(
            f"from {_from(run)} along {', '.join(run.wires) or 'no wire'}",
            f"{limit.name}: {limit.note}",
        ),
        sources=(limit.source,),
        working=_length_working(case, run),
    )


def _length_working(case: Case, run: UnfusedRun) -> Working:
    on_way = [(name, case.harness.wires[name].length_m.upper) for name in run.longest_way]
    terms = [
        Term(f"l_{number}", metres, "m", f"{name}, upper length")
        for number, (name, metres) in enumerate(on_way, start=1)
    ] or [Term("l_1", 0.0, "m", "no wire lies between")]
    if run.upstream_m:
        terms.append(Term("l_u", run.upstream_m, "m", "the machine's own wire, without a fuse"))
    formula = " + ".join(term.symbol for term in terms)
    return Working(formula, tuple(terms), Term("l", run.length_m, "m", "wire without a fuse"))


def _from(run: UnfusedRun) -> str:
    return f"the battery through {run.source}" if run.upstream_m else run.source


def _concerns(case: Case, subject: str, run: UnfusedRun) -> bool:
    return any(subject in (name, case.harness.wires[name].cable) for name in run.wires)


def _by_upstream_fuse(run: UnfusedRun, rating_a: float, weakest: WireLimit) -> Finding:
    return Finding(
        check=NAME,
        subject=run.source,
        result=PASS,
        quantity=RATED,
        reason=f"{text(run.length_m, 'm')} of wire lies ahead of the first fuse of the add-on; "
        "the fuse before the tap protects it already.",
        value=rating_a,
        limit=weakest.ampacity_a,
        unit="A",
        conditions=weakest.conditions(),
        sources=("iec-60364-4-43", *weakest.sources),
        working=weakest.working(),
    )


CHECK = Check(
    name=NAME,
    judges="length of wire ahead of the add-on's first fuse, against 7, 40 or 72 inches",
    why=WHY,
    does_not_cover="the machine's own wire from battery to its fuse, where it has one",
    sources=SOURCES,
    judge=judge,
)
