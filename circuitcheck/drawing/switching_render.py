"""Draws the picture of one action with matplotlib: SVG, PDF or PNG, as wide as a phone."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import Any, cast

import numpy as np

from circuitcheck.drawing.sheet import suffix_of
from circuitcheck.drawing.switching_labels import CLOSE, line_labels
from circuitcheck.drawing.switching_plot import FIRST_S, OpeningArea, Panel, SwitchingPlot, Trace

WIDTH_IN, PANEL_IN, HEAD_IN, FOOT_IN = 4.4, 2.1, 0.62, 1.15
PNG_DPI = 200
INK, GREY, AREA = "#111111", "#6a6a6a", "#d9d9d9"
WIDTHS = (1.7, 1.0, 2.4, 0.7)
_SETTINGS: dict[str, Any] = {
    "svg.fonttype": "none",
    "svg.hashsalt": "circuitcheck",
    "pdf.fonttype": 42,
    "font.family": ["DejaVu Sans"],
    "font.size": 8.0,
    "text.usetex": False,
    "text.parse_math": False,
    "axes.unicode_minus": False,
}


def render_switching(plot: SwitchingPlot, path: str | Path) -> None:
    """Write the picture; the suffix of `path` chooses SVG, PDF or PNG.

    Raises ValueError for another suffix.
    """
    target = Path(path)
    suffix = suffix_of(target)
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context():
        mpl.rcdefaults()
        mpl.rcParams.update(cast("Any", _SETTINGS))
        height = HEAD_IN + FOOT_IN + PANEL_IN * max(len(plot.panels), 1)
        figure = Figure(figsize=(WIDTH_IN, height), facecolor="white")
        _head(figure, plot, height)
        for number, panel in enumerate(plot.panels):
            bottom = FOOT_IN + PANEL_IN * (len(plot.panels) - 1 - number) + 0.28
            box = (0.13, bottom / height, 0.72, (PANEL_IN - 0.62) / height)
            _panel(figure.add_axes(box), panel, plot, is_last=number == len(plot.panels) - 1)
        _foot(figure, plot, height)
        dates = {".svg": "Date", ".pdf": "CreationDate"}
        metadata: dict[str, Any] = {"Title": f"{plot.heading}: {plot.action}"}
        if suffix in dates:
            metadata[dates[suffix]] = None
        figure.savefig(target, format=suffix[1:], dpi=PNG_DPI, metadata=metadata)


def _head(figure: Any, plot: SwitchingPlot, height: float) -> None:
    heading = textwrap.shorten(plot.heading, 58, placeholder=" ...")
    figure.text(0.03, 1.0 - 0.2 / height, heading, fontsize=9, color=INK, parse_math=False)
    action = textwrap.shorten(plot.action, 50, placeholder=" ...")
    figure.text(
        0.03, 1.0 - 0.42 / height, action, fontsize=10, fontweight="bold", parse_math=False
    )  # fmt: skip


def _foot(figure: Any, plot: SwitchingPlot, height: float) -> None:
    lines = [line for note in plot.footnotes for line in textwrap.wrap(note, 80)]
    figure.text(
        0.03, (FOOT_IN - 0.32) / height, "\n".join(lines), fontsize=6.5, color=INK, va="top",
        linespacing=1.25, parse_math=False,
    )  # fmt: skip


def _panel(axes: Any, panel: Panel, plot: SwitchingPlot, *, is_last: bool) -> None:
    axes.set_xscale("log")
    axes.set_xlim(FIRST_S, plot.end_s)
    top = _top(panel)
    axes.set_ylim(0.0, top)
    if panel.opening is not None:
        _area(axes, panel.opening, top)
    names = list(dict.fromkeys(trace.label for trace in panel.traces))
    for trace in panel.traces:
        width = WIDTHS[names.index(trace.label) % len(WIDTHS)]
        style = (0, (4.0, 2.0)) if trace.is_dashed else "solid"
        ink = GREY if trace.is_dashed else INK
        axes.plot(trace.times_s, trace.values, color=ink, linewidth=width, linestyle=style)
    for level in panel.levels:
        axes.axhline(level.value, color=INK, linewidth=0.7, linestyle=(0, (1.0, 1.6)))
        axes.annotate(
            level.label, (plot.end_s, level.value), xytext=(-3, -2.5), textcoords="offset points",
            ha="right", va="top", fontsize=7, color=INK, parse_math=False,
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.5, "alpha": 0.85},
        )  # fmt: skip
    _labels(axes, panel.traces, top, plot.end_s)
    _dress(axes, panel, plot.end_s, is_last=is_last)


def _dress(axes: Any, panel: Panel, end_s: float, *, is_last: bool) -> None:
    title = textwrap.shorten(f"{panel.title} [{panel.unit}]", 62, placeholder=" ...")
    axes.set_title(title, fontsize=8, fontweight="bold", loc="left", pad=3, parse_math=False)
    ticks = [10.0**k for k in range(-4, 4) if FIRST_S <= 10.0**k <= end_s]
    axes.set_xticks(ticks, [_time(t) for t in ticks])
    axes.tick_params(which="minor", bottom=False)
    axes.tick_params(labelsize=7)
    axes.grid(visible=True, which="major", color="#e6e6e6", linewidth=0.5)
    axes.set_axisbelow(True)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    if is_last:
        axes.set_xlabel("time after the action", fontsize=7, labelpad=2)
    axes.text(
        0.015, 0.97, "\n".join(panel.notes), transform=axes.transAxes, fontsize=7, va="top",
        color=INK, linespacing=1.3, parse_math=False,
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0, "alpha": 0.85},
    )  # fmt: skip


def _top(panel: Panel) -> float:
    """Return the top of a diagram: room for its notes above the traces, levels and fuse."""
    highest = max(
        [float(trace.values.max()) for trace in panel.traces]
        + [level.value for level in panel.levels],
        default=1.0,
    )
    if panel.opening is not None and panel.opening.times_s.size:
        highest = max(highest, 1.6 * float(panel.opening.fast_a.min()))
    return max(highest, 1e-3) * (1.25 + 0.11 * len(panel.notes))


def _area(axes: Any, opening: OpeningArea, top: float) -> None:
    if not opening.times_s.size:
        return
    axes.fill_between(
        opening.times_s, opening.fast_a, opening.slow_a, facecolor=AREA, edgecolor=GREY,
        linewidth=0.6, hatch="////", zorder=0.5,
    )  # fmt: skip
    inside = opening.fast_a < 0.95 * top
    if inside.any():
        k = int(np.flatnonzero(inside)[inside.sum() // 2])
        middle = min((opening.fast_a[k] + min(opening.slow_a[k], top)) / 2.0, 0.9 * top)
        axes.text(
            opening.times_s[k], middle, "opens in here", fontsize=7, ha="center", va="center",
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0},
        )  # fmt: skip


def _labels(axes: Any, traces: Sequence[Trace], top: float, end_s: float) -> None:
    """Name the lines: at their right ends, or on themselves where those fall together."""
    last = -np.inf
    for label in line_labels(traces, top, end_s):
        if label.time_s is not None:
            axes.annotate(
                label.words, (label.time_s, label.height), fontsize=7, ha="center", va="center",
                color=INK, parse_math=False,
                bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8, "alpha": 0.85},
            )  # fmt: skip
            continue
        last = max(label.height, last + 1.6 * CLOSE * top)
        axes.annotate(
            label.words, (end_s, last), xytext=(4, 0), textcoords="offset points", fontsize=7,
            va="center", annotation_clip=False, parse_math=False,
        )  # fmt: skip


def _time(seconds: float) -> str:
    if seconds < 0.1:
        return f"{1e3 * seconds:g} ms"
    return f"{seconds:g} s"
