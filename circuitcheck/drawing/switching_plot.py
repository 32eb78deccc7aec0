"""What a picture of one action shows: currents at a fuse and in coils, voltages, on one time axis.

Time runs in decades from a tenth of a millisecond to the end of the press, so that the surge, the
rise of the coils and the fuse's opening band fit on one page. Solid lines are cold coils on the
highest supply, dashed ones hot coils on the lowest.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from circuitcheck.errors import LibraryError
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import FuseOpeningBand
from circuitcheck.record import record
from circuitcheck.solve.worst_case import Solution
from circuitcheck.transient.heat.fuse_rating import rerated_a
from circuitcheck.transient.switching_on.coil_states import HELD, NOTHING_A, ON
from circuitcheck.transient.switching_on.switching_figures import (
    CoilFigures,
    FuseFigures,
    fitted_fuses,
    held_press,
)
from circuitcheck.transient.switching_on.switching_on import Switching
from circuitcheck.transient.switching_on.switching_report import ActionReport, fuse_name
from circuitcheck.transient.waveform import FloatArray, Waveform
from circuitcheck.units import text

FIRST_S = 1e-4
LEAST_END_S, MOST_END_S = 10.0, 1000.0
POINTS = 600


@record
class Trace:
    """One line: `label` names it at its end; dashed for the weakest corner."""

    label: str
    times_s: FloatArray
    values: FloatArray
    is_dashed: bool


@record
class Level:
    """A level that a trace is held against, with what it is."""

    label: str
    value: float


@record
class OpeningArea:
    """The currents between which a fuse opens within each time, in its air."""

    times_s: FloatArray
    fast_a: FloatArray
    slow_a: FloatArray


@record
class Panel:
    """One diagram: its traces, levels and notes; `opening` for that of a fuse."""

    title: str
    unit: str
    traces: tuple[Trace, ...]
    levels: tuple[Level, ...] = ()
    notes: tuple[str, ...] = ()
    opening: OpeningArea | None = None


@record
class SwitchingPlot:
    """All diagrams of one action over one time axis, with what they hold for."""

    heading: str
    action: str
    panels: tuple[Panel, ...]
    end_s: float
    footnotes: tuple[str, ...]


def switching_plot(solution: Solution, report: ActionReport, fuse: str = "") -> SwitchingPlot:
    """Return the picture of an action; `fuse` chooses a fuse by its branch, else the busiest."""
    harness = solution.harness
    press_s = harness.use.longest_press_s
    end_s = min(max(press_s or LEAST_END_S, LEAST_END_S), MOST_END_S)
    chosen = _chosen(report, fuse)
    panels = [] if chosen is None else [_fuse_panel(solution, report, chosen, end_s)]
    panels += _coil_panels(report, end_s)
    return SwitchingPlot(
        harness.circuit,
        report.action.name,
        tuple(panels),
        end_s,
        tuple(_footnotes(harness, report, press_s)),
    )


def _chosen(report: ActionReport, fuse: str) -> FuseFigures | None:
    fuses = [f for f in report.strongest_figures.fuses if f.branch == fuse or not fuse]
    inline = [f for f in fuses if not f.branch.endswith("/fuse")]
    return max(inline or fuses, key=lambda f: f.peak_a, default=None)


def _fuse_panel(
    solution: Solution, report: ActionReport, chosen: FuseFigures, end_s: float
) -> Panel:
    name = chosen.branch
    notes = [f"peak {text(chosen.peak_a, 'A')}, settled {text(chosen.settled_a, 'A')}"]
    if chosen.heat_share is not None:
        opens = chosen.heat_share >= 1.0
        held = "held without pause" if chosen.press_s is None else "in a press"
        share = f"{100.0 * chosen.heat_share:.0f} % of its opening {held}"
        notes.append(f"OPENS {held}" if opens else share)
    elif chosen.row is not None:
        notes.append("its opening: not judged")
    return Panel(
        f"Current at {fuse_name(solution.harness, chosen)}",
        "A",
        tuple(_traces(report, name, end_s)),
        notes=tuple(notes),
        opening=_opening(solution, chosen, end_s),
    )


def _opening(solution: Solution, chosen: FuseFigures, end_s: float) -> OpeningArea | None:
    if chosen.row is None:
        return None
    row, hottest_c = fitted_fuses(solution)[chosen.branch]
    assert row is not None
    try:
        band = solution.library.fuse_opening_band(row.style)
        worth = [rerated_a(solution.library, row, hottest_c), row.rating_a]
        worth[1] = max(worth[1], rerated_a(solution.library, row, _coldest_c(solution, chosen)))
    except LibraryError:
        return None
    times = np.geomspace(FIRST_S, end_s, POINTS)
    fast = _edge(band, band.min_s, times) * worth[0] / 100.0
    slow = _edge(band, band.max_s, times) * worth[1] / 100.0
    is_known = np.isfinite(fast) & np.isfinite(slow)
    return OpeningArea(times[is_known], fast[is_known], slow[is_known])


def _coldest_c(solution: Solution, chosen: FuseFigures) -> float:
    part = solution.harness.parts[chosen.branch.removesuffix("/fuse")]
    return solution.harness.zone_of(part.zone).ambient_c.lower


def _edge(band: FuseOpeningBand, edge_s: tuple[float, ...], times: FloatArray) -> FloatArray:
    """Return the percent of rating on one edge at times; NaN outside the listed points."""
    listed = zip(edge_s, band.percents, strict=True)
    points = sorted((t, p) for t, p in listed if np.isfinite(t) and t > 0.0)
    seconds, percents = np.array(points).T
    found = np.interp(np.log(times), np.log(seconds), np.log(percents))
    outside = (times < seconds[0]) | (times > seconds[-1])
    return np.where(outside, np.nan, np.exp(found))


def _coil_panels(report: ActionReport, end_s: float) -> Iterator[Panel]:
    weak = {coil.branch: coil for coil in report.weakest_figures.coils}
    pairs = [
        (coil, weak[coil.branch])
        for coil in report.strongest_figures.coils
        if coil.branch in weak and coil.state in (ON, HELD) and coil.settled_a > NOTHING_A
    ]
    if not pairs:
        return
    names = [coil.branch for coil, _ in pairs]
    needed = {c.pull_in_a for c, _ in pairs if c.state == ON and c.pull_in_a is not None}
    holds = {w.holds_a for _, w in pairs if w.state == HELD and w.holds_a is not None}
    levels = [Level(f"pull-in {text(level, 'A')}", level) for level in sorted(needed)]
    levels += [Level(f"stays in from {text(level, 'A')}", level) for level in sorted(holds)]
    yield Panel(
        f"Current in {', '.join(names)}",
        "A",
        tuple(t for name in names for t in _traces(report, name, end_s)),
        tuple(levels),
        tuple(_reached(coil, other) for coil, other in pairs if coil.state == ON),
    )
    yield Panel(
        f"Voltage at {', '.join(names)}",
        "V",
        tuple(t for name in names for t in _traces(report, name, end_s, volts=True)),
        notes=tuple(
            f"{w.branch}, already on: at lowest {text(w.lowest_v, 'V')}, {text(w.lowest_a, 'A')}"
            for _, w in pairs
            if w.state == HELD
        ),
    )


def _reached(strong: CoilFigures, weak: CoilFigures) -> str:
    if strong.pull_in_a is None:
        settled = f"{text(strong.settled_a, 'A')} to {text(weak.settled_a, 'A')}"
        return f"{strong.branch}: {settled} when settled"
    ends = [
        "never" if end is None else text(end, "s", digits=2)
        for end in (strong.reaches_s, weak.reaches_s)
    ]
    return f"{strong.branch}: pull-in current after {ends[0]} to {ends[1]}"


def _traces(
    report: ActionReport, name: str, end_s: float, *, volts: bool = False
) -> Iterator[Trace]:
    for switching, is_dashed in ((report.strongest, False), (report.weakest, True)):
        waves = switching.voltages if volts else switching.currents
        if name in waves:
            wave = _shown(waves[name], switching, end_s)
            yield Trace(name, wave.times_s, wave.values, is_dashed)


def _shown(wave: Waveform, switching: Switching, end_s: float) -> Waveform:
    """Return a waveform from FIRST_S to the end of the page, held where it has settled."""
    held = held_press(wave, end_s)
    start = held.at(FIRST_S)
    later = held.times_s > FIRST_S
    return Waveform(
        wave.name,
        wave.unit,
        np.concatenate([[FIRST_S], held.times_s[later]]),
        np.abs(np.concatenate([[start], held.values[later]])),
    )


def _footnotes(harness: Harness, report: ActionReport, press_s: float | None) -> Iterator[str]:
    yield f"solid: {'; '.join(report.strongest.conditions)}"
    yield f"dashed: {'; '.join(report.weakest.conditions)}"
    if press_s is None:
        yield "[use] gives no longest press: drawn as held on"
    yield (
        "Times to pull in are worked out from the coil's current; no open measurement was found "
        "to hold them against."
    )
