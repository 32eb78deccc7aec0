"""Overload region.

Finds       a wire that gets too hot under a current just too small for the fuse ahead to open
Source      iso-8820-3 (below 135 % no opening is demanded); iso-6722 (overload: 6 h at 50 K above
            the class of the insulation, from memory); churchill-chu, iec-60287 (how a wire sheds
            heat)
Formula     I_2 <= sqrt(q(T) / r(T)), T = class + 50 K; q what a metre sheds at T, r its resistance
Worst case  fuse in its coldest air, wire in the hottest air of its way and in its bundle, thin
            wall, highest resistance
Not covered loads and fuses above the ampacity by the tables (see wire ampacity, fuse protects
            wire); wires ahead of every fuse. Checked against an independent model and ampacity
            tables, not measured.
Result      one finding per feed wire behind a fuse, by the fuse that must open soonest; for a wire
            within the permitted distance of its source the one fuse at its end counts too, which
            limits its load (iec-60364-4-43, 433.2)
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, Finding, judged
from circuitcheck.checks.fuses.fuse_ahead import FittedFuse, FusesAhead, air_words, read_fuses_ahead
from circuitcheck.checks.fuses.unfused_run import permitted_length, unfused_runs
from circuitcheck.checks.wires.dead_short import short_guesses
from circuitcheck.checks.wires.laid_heat import holding_working, laid_heat
from circuitcheck.checks.wires.wire_limit import LaidWire, laid_wire
from circuitcheck.checks.worst_current import worst_current
from circuitcheck.errors import CircuitcheckError
from circuitcheck.formulas.fuse_clearing import guaranteed_opening_a
from circuitcheck.model.library import FuseRow
from circuitcheck.transient.heat.fuse_rating import rerated_a
from circuitcheck.transient.heat.wire_heat import WireHeat
from circuitcheck.units import text

NAME = "overload region"
WHY = "Shorted turns or a wet connector can draw for hours what no fuse is sure to open."
QUANTITY = "current at which the first fuse ahead is sure to open"
SOURCES = ("iso-8820-3", "iso-6722", "churchill-chu")


def judge(case: Case) -> list[Finding]:
    """Return one finding per feed wire behind a known fuse."""
    ahead = read_fuses_ahead(case.harness)
    findings = []
    for wire in case.shorts.feed_wires():
        known = [(f, f.row) for f in ahead.of_wire(case.harness, wire) if f.row is not None]
        if known:
            try:
                findings += _findings(case, ahead, wire, known)
            except CircuitcheckError as error:
                findings.append(
                    Finding(NAME, wire, NOT_JUDGED, QUANTITY, str(error), sources=SOURCES)
                )
    return findings


def _findings(
    case: Case, ahead: FusesAhead, wire: str, known: list[tuple[FittedFuse, FuseRow]]
) -> list[Finding]:
    laid = laid_wire(case, wire)
    heat = laid_heat(case, laid)
    running = worst_current(case, wire)
    most_a = running.current_a if running is not None else 0.0
    known = [*known, *_only_fuse_at_end(case, ahead, wire)]
    opening = [(_opens_a(case, fuse, row), not fuse.inline, fuse, row) for fuse, row in known]
    opens_a, _, fuse, row = min(opening, key=lambda entry: entry[:2])
    finding = _finding(case, laid, heat, (fuse, row, opens_a), most_a)
    guesses = short_guesses(case, laid)
    if finding.result == FAIL and guesses:
        missing = f"would fail as assumed: {'; '.join(guesses)}"
        return [Finding(NAME, wire, NOT_JUDGED, finding.quantity, missing, sources=SOURCES)]
    return [finding]


def _only_fuse_at_end(case: Case, ahead: FusesAhead, wire: str) -> list[tuple[FittedFuse, FuseRow]]:
    """Return the one fuse at the end of a wire close to its source: all its load flows in it."""
    for run in unfused_runs(case.harness):
        close = run.length_m <= permitted_length(case.library, run).value
        if wire in run.wires and close and len(run.fuses) == 1:
            fuse = ahead.fuses[run.fuses[0]]
            return [(fuse, fuse.row)] if fuse.row is not None else []
    return []


def _opens_a(case: Case, fuse: FittedFuse, row: FuseRow) -> float:
    band = case.library.fuse_opening_band(row.style)
    worth_a = rerated_a(case.library, row, fuse.ambient_c.lower)
    return guaranteed_opening_a(worth_a, band.percents, band.max_s)


def _finding(
    case: Case,
    wire: LaidWire,
    heat: WireHeat,
    by: tuple[FittedFuse, FuseRow, float],
    most_a: float,
) -> Finding:
    fuse, row, opens_a = by
    limit_a, settled_c = heat.carries_a(heat.overload_c), heat.steady_c(opens_a)
    settles = f"settles at {settled_c:.0f} degC" if settled_c < 400.0 else "goes above 400 degC"
    loads = "No load here draws that much." if most_a < opens_a else "Loads here draw that much."
    return Finding(
        check=NAME,
        subject=wire.name,
        result=judged(opens_a, limit_a),
        quantity=QUANTITY,
        reason=(
            f"Just below it the wire {settles}. {loads} {WHY} {wire.insulation.name} is made for "
            f"{heat.class_c:g} degC for good and stands {heat.overload_c:g} degC for some hours."
        ),
        value=opens_a,
        limit=limit_a,
        unit="A",
        conditions=(
            air_words(
                fuse, fuse.ambient_c.lower, rerated_a(case.library, row, fuse.ambient_c.lower)
            ),
            f"wire {wire.conductor.name} in air of {heat.air_c:g} degC, {wire.bundled} in the "
            f"bundle; at {heat.class_c:g} degC it carries "
            f"{text(heat.carries_a(heat.class_c), 'A')}",
            "heat of the wire worked out, not measured",
        ),
        sources=SOURCES,
        working=holding_working(heat, heat.overload_c),
    )


CHECK = Check(
    name=NAME,
    judges="heat of each feed wire under a current just too small to open its fuse",
    why=WHY,
    does_not_cover="loads that draw more than the ampacity, judged by wire ampacity",
    sources=SOURCES,
    judge=judge,
)
