"""The one place where matplotlib draws: a page of the layout to SVG, PDF or PNG."""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, cast

from circuitcheck.drawing.geometry import (
    CONDUCTOR_MM,
    FRAME_MM,
    HEAVY_MM,
    THIN_MM,
    Figure,
    Lettering,
    Point,
    Stroke,
)
from circuitcheck.drawing.layout.page import METAL, Line, Outline, Page
from circuitcheck.drawing.strokes import INK, PAPER
from circuitcheck.drawing.symbols.feeding import DARK_RED, joint
from circuitcheck.drawing.text_size import em_mm

SUFFIXES = (".svg", ".pdf", ".png")
PNG_DPI = 200
_METAL_INK = "#9a9a9a"
_POINTS_PER_MM = 72.0 / 25.4

_SETTINGS: dict[str, Any] = {
    "svg.fonttype": "none",
    "svg.hashsalt": "circuitcheck",
    "pdf.fonttype": 42,
    "font.family": ["DejaVu Sans", "sans-serif"],
    "font.sans-serif": ["DejaVu Sans"],
    "text.usetex": False,
    "text.parse_math": False,
    "path.simplify": False,
    "path.sketch": None,
    "path.effects": [],
    "axes.unicode_minus": False,
}


def render(page: Page, path: str | Path) -> None:
    """Write the page; the suffix of `path` chooses SVG, PDF or PNG.

    The same page gives the same SVG, byte for byte. Raises ValueError for another suffix.
    """
    target = Path(path)
    suffix = target.suffix.lower()
    if suffix not in SUFFIXES:
        raise ValueError(f"{target.name}: a drawing ends in {', '.join(SUFFIXES)}")
    import matplotlib as mpl
    from matplotlib.figure import Figure as Canvas

    with mpl.rc_context(), warnings.catch_warnings():
        mpl.rcdefaults()
        mpl.rcParams.update(cast("Any", _SETTINGS))
        # A sign that DejaVu Sans lacks is drawn as an empty box; the text stays in the SVG.
        warnings.filterwarnings("ignore", message="Glyph .* missing from font")
        canvas = Canvas(figsize=(page.width_mm / 25.4, page.height_mm / 25.4), facecolor=PAPER)
        pen = _Pen(canvas, page.height_mm)
        pen.page(page)
        metadata = {
            ".svg": {"Date": None, "Creator": None, "Title": page.title},
            ".pdf": {"CreationDate": None, "Producer": None, "Creator": None, "Title": page.title},
            ".png": {"Software": None, "Title": page.title},
        }[suffix]
        canvas.savefig(target, format=suffix[1:], dpi=PNG_DPI, metadata=metadata)
    if suffix == ".svg":
        drawn = target.read_text(encoding="utf-8")
        target.write_text(_with_titles(drawn, pen.titles), encoding="utf-8", newline="\n")


def _with_titles(svg: str, titles: Mapping[str, str]) -> str:
    """Give parts and wires a title each, which a screen reader says and a pointer brings up."""
    from xml.sax.saxutils import escape

    def titled(group: re.Match[str]) -> str:
        return f"{group[0]}<title>{escape(titles[group[1]])}</title>"

    return re.sub(r'<g id="(item-[0-9]+)">', titled, svg)


class _Pen:
    """Puts strokes and text on a matplotlib figure in millimetres from the upper left corner."""

    def __init__(self, canvas: Any, height_mm: float):
        from matplotlib.transforms import Affine2D

        self.canvas = canvas
        turn = Affine2D().scale(1.0 / 25.4, -1.0 / 25.4).translate(0.0, height_mm / 25.4)
        self.transform = turn + canvas.dpi_scale_trans
        self.layer = 0
        self.titles: dict[str, str] = {}

    def page(self, page: Page) -> None:
        """Draw everything, the metal of the frame first, lettering last."""
        for line in sorted(page.lines, key=lambda line: (line.kind != METAL, line.fails)):
            self.line(line)
        for outline in page.outlines:
            self.outline(outline)
        for figure in (*page.figures, *page.loops):
            self.figure(figure)
        self.strokes(dot.moved(x, y) for x, y in page.dots for dot in joint().strokes)
        self.strokes(page.margin_strokes)
        self.letterings(page.margin_letterings)

    def line(self, line: Line) -> None:
        """Draw one conductor; one that fails is darker red and heavier, as well as signed."""
        width = FRAME_MM if line.kind == METAL else CONDUCTOR_MM
        ink = _METAL_INK if line.kind == METAL else INK
        if line.fails:
            width, ink = HEAVY_MM, DARK_RED
        self.strokes([Stroke(line.points, width, ink=ink)], line.title)

    def outline(self, outline: Outline) -> None:
        """Draw the thin line round what belongs together, and its name."""
        box = outline.box
        corners = (
            (box.left, box.top),
            (box.right, box.top),
            (box.right, box.bottom),
            (box.left, box.bottom),
        )
        self.strokes([Stroke(corners, THIN_MM, dashed=outline.dashed, closed=True)])
        self.strokes(outline.strokes)
        self.letterings(outline.letterings)

    def figure(self, figure: Figure) -> None:
        """Draw a symbol with its lettering."""
        self.strokes(figure.strokes, figure.title)
        self.letterings(figure.letterings, "" if figure.strokes else figure.title)

    def strokes(self, strokes: Iterable[Stroke], title: str = "") -> None:
        """Draw strokes in their order; neighbours that look alike become one path."""
        from matplotlib.patches import PathPatch
        from matplotlib.path import Path as Outline_

        for alike in _runs(strokes):
            first = alike[0]
            path = Outline_.make_compound_path(
                *(
                    Outline_(_closed(s.points) if s.closed else s.points, closed=s.closed)
                    for s in alike
                )
            )
            self.layer += 1
            patch = PathPatch(
                path,
                fill=first.fill is not None,
                facecolor=first.fill or "none",
                edgecolor=first.ink,
                linewidth=first.width_mm * _POINTS_PER_MM,
                linestyle=(0, (6.0, 4.0)) if first.dashed else "solid",
                capstyle="butt" if first.dashed else "projecting",
                joinstyle="miter",
                transform=self.transform,
                zorder=self.layer,
            )
            self.entitle(patch, title)
            self.canvas.add_artist(patch)

    def letterings(self, letterings: Iterable[Lettering], title: str = "") -> None:
        """Write text as it stands; a dollar sign is a dollar sign."""
        for text in letterings:
            self.layer += 1
            written = self.canvas.text(
                text.x,
                text.y,
                text.text,
                ha={"start": "left", "middle": "center", "end": "right"}[text.anchor],
                va="baseline",
                fontsize=em_mm(text.height_mm) * _POINTS_PER_MM,
                fontweight="bold" if text.bold else "normal",
                color=text.ink,
                transform=self.transform,
                parse_math=False,
                zorder=self.layer,
            )
            self.entitle(written, title)

    def entitle(self, artist: Any, title: str) -> None:
        """Remember the title of one drawn thing, by the name of its group in the SVG."""
        if title:
            name = f"item-{len(self.titles) + 1}"
            self.titles[name] = title
            artist.set_gid(name)


def _closed(points: tuple[Point, ...]) -> list[Point]:
    return [*points, points[0]]


def _runs(strokes: Iterable[Stroke]) -> Iterator[list[Stroke]]:
    """Group neighbouring strokes without fill that share width, ink and dash."""
    run: list[Stroke] = []
    for stroke in strokes:
        if run and (stroke.fill or run[0].fill or _look(stroke) != _look(run[0])):
            yield run
            run = []
        run.append(stroke)
    if run:
        yield run


def _look(stroke: Stroke) -> tuple[float, str, bool]:
    return stroke.width_mm, stroke.ink, stroke.dashed
