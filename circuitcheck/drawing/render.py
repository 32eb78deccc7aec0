"""The one place where matplotlib draws: sheets to SVG, PDF or PNG."""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, cast

from circuitcheck.drawing.geometry import Lettering, Point, Stroke
from circuitcheck.drawing.sheet import Item, Sheet, suffix_of
from circuitcheck.drawing.strokes import PAPER
from circuitcheck.drawing.text_size import em_mm

PNG_DPI = 200
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


def render(sheets: Sequence[Sheet], path: str | Path, dpi: int = PNG_DPI) -> None:
    """Write the sheets; the suffix of `path` chooses SVG, PDF or PNG. `dpi` is the PNG's.

    Several sheets are pages of one PDF; SVG and PNG take one, and `files_for` spreads more over
    files. The same sheets give the same SVG and PDF, byte for byte. Raises ValueError for another
    suffix, and for several sheets where the file takes one.
    """
    target = Path(path)
    suffix = suffix_of(target)
    if len(sheets) != 1 and suffix != ".pdf":
        raise ValueError(f"{target.name}: one sheet a file, got {len(sheets)}")
    import matplotlib as mpl

    with mpl.rc_context(), warnings.catch_warnings():
        mpl.rcdefaults()
        mpl.rcParams.update(cast("Any", _SETTINGS))
        # A sign that DejaVu Sans lacks is drawn as an empty box; the text stays in the SVG.
        warnings.filterwarnings("ignore", message="Glyph .* missing from font")
        if suffix == ".pdf":
            _write_pdf(sheets, target)
        else:
            _write_one(sheets[0], target, suffix, dpi)


def _write_one(sheet: Sheet, target: Path, suffix: str, dpi: int) -> None:
    pen = _Pen(sheet)
    metadata: dict[str, str | None] = {"Title": sheet.title}
    metadata |= {"Date": None, "Creator": None} if suffix == ".svg" else {"Software": None}
    pen.canvas.savefig(target, format=suffix[1:], dpi=dpi, metadata=metadata)
    if suffix == ".svg":
        drawn = target.read_text(encoding="utf-8")
        titled = _with_titles(drawn, sheet.title, pen.titles)
        target.write_text(titled, encoding="utf-8", newline="\n")


def _write_pdf(sheets: Sequence[Sheet], target: Path) -> None:
    from matplotlib.backends.backend_pdf import PdfPages

    metadata = {"CreationDate": None, "Producer": None, "Creator": None}
    title = {"Title": sheets[0].title} if sheets else {}
    with PdfPages(target, metadata=cast("Any", metadata | title)) as pages:
        for sheet in sheets:
            pages.savefig(_Pen(sheet).canvas)


def _with_titles(svg: str, heading: str, titles: Mapping[str, str]) -> str:
    """Give the drawing, its parts and wires a title each.

    A screen reader says it, a pointer brings it up.
    """
    from xml.sax.saxutils import escape

    def titled(group: re.Match[str]) -> str:
        return f"{group[0]}<title>{escape(titles[group[1]])}</title>"

    drawn = re.sub(r'<g id="(item-[0-9]+)">', titled, svg)
    return re.sub(
        r"<svg [^>]*>", lambda tag: f"{tag[0]}\n <title>{escape(heading)}</title>", drawn, count=1
    )


class _Pen:
    """Puts strokes and text on a matplotlib figure in millimetres from the upper left corner."""

    def __init__(self, sheet: Sheet):
        from matplotlib.figure import Figure as Canvas
        from matplotlib.transforms import Affine2D

        size = sheet.width_mm / 25.4, sheet.height_mm / 25.4
        self.canvas: Any = Canvas(figsize=size, facecolor=PAPER)
        turn = Affine2D().scale(1.0 / 25.4, -1.0 / 25.4).translate(0.0, size[1])
        self.transform = turn + self.canvas.dpi_scale_trans
        self.layer = 0
        self.titles: dict[str, str] = {}
        for item in sheet.items:
            self.item(item)

    def item(self, item: Item) -> None:
        """Draw one thing; its title goes with its strokes, or with its text where it has none."""
        self.strokes(item.strokes, item.title)
        self.letterings(item.letterings, "" if item.strokes else item.title)

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
