"""Draws a coil's release with matplotlib: SVG, PDF or PNG, as wide as a phone, clear in grey."""

from __future__ import annotations

import textwrap
from pathlib import Path
from typing import Any, cast

from circuitcheck.drawing.release_plot import ReleasePlot
from circuitcheck.drawing.sheet import suffix_of

WIDTH_IN, HEIGHT_IN, PNG_DPI = 4.4, 6.0, 200
INK, GREY = "#111111", "#6a6a6a"
STYLES: tuple[tuple[str, float, Any], ...] = (
    (INK, 2.2, "solid"),
    (INK, 1.1, (0, (6.0, 2.0))),
    (GREY, 1.4, "solid"),
    (INK, 1.3, (0, (1.0, 1.4))),
    (GREY, 1.4, (0, (5.0, 1.5, 1.0, 1.5))),
)
_SETTINGS: dict[str, Any] = {
    "svg.fonttype": "none", "svg.hashsalt": "circuitcheck", "pdf.fonttype": 42,
    "font.family": ["DejaVu Sans"], "font.size": 8.0, "text.usetex": False,
    "text.parse_math": False, "axes.unicode_minus": False,
}  # fmt: skip


def render_release(plot: ReleasePlot, path: str | Path) -> None:
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
        figure = Figure(figsize=(WIDTH_IN, HEIGHT_IN), facecolor="white")
        heading = textwrap.shorten(plot.heading, 58, placeholder=" ...")
        figure.text(0.03, 0.972, heading, fontsize=9, color=INK, parse_math=False)
        figure.text(
            0.03, 0.94, f"{plot.coil} switched off", fontsize=10, fontweight="bold",
            parse_math=False,
        )  # fmt: skip
        _currents(figure.add_axes((0.13, 0.575, 0.83, 0.32)), plot)
        _voltages(figure.add_axes((0.13, 0.19, 0.83, 0.28)), plot)
        figure.text(
            0.03, 0.105, "\n".join(textwrap.wrap(plot.footnote, 82)), fontsize=6.5, color=INK,
            va="top", linespacing=1.25, parse_math=False,
        )  # fmt: skip
        dates = {".svg": "Date", ".pdf": "CreationDate"}
        metadata: dict[str, Any] = {"Title": f"{plot.heading}: {plot.coil} switched off"}
        if suffix in dates:
            metadata[dates[suffix]] = None
        figure.savefig(target, format=suffix[1:], dpi=PNG_DPI, metadata=metadata)


def _currents(axes: Any, plot: ReleasePlot) -> None:
    for curve, (ink, width, dash) in zip(plot.curves, STYLES, strict=False):
        axes.plot(
            1e3 * curve.current.times_s, curve.current.values, color=ink, linewidth=width,
            linestyle=dash, label=curve.label,
        )  # fmt: skip
    if plot.drop_out_a is not None:
        axes.axhline(plot.drop_out_a, color=INK, linewidth=0.7, linestyle=(0, (1.0, 1.6)))
        axes.annotate(
            "lets go below", (1e3 * plot.end_s, plot.drop_out_a), xytext=(-2, 2),
            textcoords="offset points", ha="right", fontsize=7, parse_math=False,
        )  # fmt: skip
    axes.set_ylim(bottom=0.0)
    axes.legend(loc="upper right", fontsize=6.5, frameon=True, edgecolor="none", handlelength=3.2)
    _dress(axes, plot, "Current of the coil [A]; after how long it lets go")


def _voltages(axes: Any, plot: ReleasePlot) -> None:
    for curve, (ink, width, dash) in zip(plot.curves, STYLES, strict=False):
        shown = curve.voltage.values > 0.0
        axes.plot(
            1e3 * curve.voltage.times_s[shown], curve.voltage.values[shown], color=ink,
            linewidth=width, linestyle=dash,
        )  # fmt: skip
    axes.set_yscale("log")
    highest = max(float(curve.voltage.values.max()) for curve in plot.curves)
    axes.set_ylim(0.5, max(20.0, 2.0 * highest))
    ticks = [value for value in (1.0, 3.0, 10.0, 30.0, 100.0, 300.0) if value < 2.0 * highest]
    axes.set_yticks(ticks, [f"{value:g}" for value in ticks])
    axes.tick_params(which="minor", left=False, labelleft=False)
    axes.set_xlabel("time after the contact opens [ms]", fontsize=7, labelpad=2)
    _dress(axes, plot, "Voltage across the coil, reversed [V]")


def _dress(axes: Any, plot: ReleasePlot, title: str) -> None:
    axes.set_title(title, fontsize=8, fontweight="bold", loc="left", pad=3, parse_math=False)
    axes.set_xlim(0.0, 1e3 * plot.end_s)
    axes.tick_params(labelsize=7)
    axes.grid(visible=True, which="major", color="#e6e6e6", linewidth=0.5)
    axes.set_axisbelow(True)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
