"""Pictures as files: real text, the same bytes every time, user text that stays text."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import warnings
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from sample_harnesses import handle_and_cable, hostile, two_coils

from circuitcheck.drawing import draw
from circuitcheck.drawing.layout.layout import layout
from circuitcheck.drawing.painted import painted
from circuitcheck.drawing.render import PNG_DPI, render
from circuitcheck.drawing.sheet import files_for

SVG = "{http://www.w3.org/2000/svg}"
EXAMPLE = Path(__file__).parents[2] / "examples" / "orchard_sprayer" / "harness.toml"


def svg_of(given, tmp_path: Path) -> tuple[str, ET.Element]:
    path = tmp_path / "picture.svg"
    draw(given, path)
    text = path.read_text(encoding="utf-8")
    return text, ET.fromstring(text)


def test_svg_holds_every_word_of_the_page_as_text(tmp_path: Path):
    page = layout(handle_and_cable())
    _, root = svg_of(handle_and_cable(), tmp_path)
    written = sorted("".join(e.itertext()) for e in root.iter(f"{SVG}text"))
    texts = [t.text for f in (*page.figures, *page.loops) for t in f.letterings]
    texts += [t.text for o in page.outlines for t in o.letterings]
    texts += [t.text for t in page.margin_letterings]
    assert written == sorted(texts)


def test_svg_is_as_large_as_the_sheet_and_names_a_font_to_fall_back_on(tmp_path: Path):
    text, root = svg_of(two_coils(), tmp_path)
    page = layout(two_coils())
    assert float(root.get("width").removesuffix("pt")) / 72 * 25.4 == pytest.approx(page.width_mm)
    assert set(re.findall(r"font-family: ([^;]*);", text)) == {"'DejaVu Sans', sans-serif"}


def test_lettering_in_the_file_is_as_high_as_on_the_page(tmp_path: Path):
    """Capitals of DejaVu Sans are 1493/2048 of the font size, from the font file."""
    text, _ = svg_of(two_coils(), tmp_path)
    sizes = {float(size) for size in re.findall(r"font-size: ([\d.]+)px", text)}
    heights_mm = sorted(size / 72 * 25.4 * 1493 / 2048 for size in sizes)
    assert heights_mm == pytest.approx([2.5, 3.5], rel=1e-4)


def test_same_file_same_bytes_in_another_process(tmp_path: Path):
    made = []
    for seed in ("1", "2"):
        path = tmp_path / f"{seed}.svg"
        command = [sys.executable, "-m", "circuitcheck", "draw", str(EXAMPLE), "--unchecked"]
        command += ["--output", path]
        environment = {**os.environ, "PYTHONHASHSEED": seed, "TZ": "UTC"}
        subprocess.run(command, check=True, capture_output=True, env=environment)
        made.append(path.read_bytes())
    assert made[0] == made[1]
    assert b"<dc:date>" not in made[0]


def test_hostile_names_stay_text(tmp_path: Path):
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        text, root = svg_of(hostile(), tmp_path)
    tags = {e.tag.removeprefix(SVG) for e in root.iter()}
    assert not tags & {"script", "b", "image", "a", "foreignObject"}
    written = ["".join(e.itertext()) for e in root.iter(f"{SVG}text")]
    assert "$x^2$" in written
    assert any("$\\alpha$" in line for line in written)
    assert "\x00" not in text
    assert "\x1b" not in text


def test_settings_of_the_user_change_nothing(tmp_path: Path):
    import matplotlib as mpl

    before, _ = svg_of(two_coils(), tmp_path)
    changed = {"font.size": 30.0, "lines.linewidth": 9.0, "svg.fonttype": "path",
               "font.family": ["serif"], "savefig.transparent": True, "savefig.bbox": "tight",
               "figure.facecolor": "red", "patch.antialiased": False}  # fmt: skip
    with mpl.rc_context(changed):
        after, _ = svg_of(two_coils(), tmp_path)
        assert mpl.rcParams["font.size"] == 30.0
    assert after == before


def test_pdf_has_one_sheet_of_the_right_size(tmp_path: Path):
    path = tmp_path / "picture.pdf"
    page = layout(two_coils())
    render([painted(page)], path)
    data = path.read_bytes()
    assert data.startswith(b"%PDF-")
    box = re.search(rb"/MediaBox \[ ?0 0 ([\d.]+) ([\d.]+) ?\]", data)
    assert box is not None
    sides_mm = [float(side) / 72 * 25.4 for side in box.groups()]
    assert sides_mm == pytest.approx([page.width_mm, page.height_mm], abs=0.1)
    assert b"CreationDate" not in data


def test_png_shows_ink_where_the_page_has_it(tmp_path: Path):
    from matplotlib.image import imread

    path = tmp_path / "picture.png"
    page = layout(two_coils())
    render([painted(page)], path)
    pixels = imread(path)[:, :, :3].mean(axis=2)
    per_mm = PNG_DPI / 25.4
    assert pixels.shape == pytest.approx((page.height_mm * per_mm, page.width_mm * per_mm), abs=1)
    for line in page.lines:
        (x0, y0), (x1, y1) = line.points[:2]
        x, y = (x0 + x1) / 2.0, (y0 + y1) / 2.0
        spot = pixels[round(y * per_mm) - 2 : round(y * per_mm) + 3, round(x * per_mm)]
        upright = pixels[round(y * per_mm), round(x * per_mm) - 2 : round(x * per_mm) + 3]
        assert min(spot.min(), upright.min()) < 0.7, line


def test_another_ending_is_refused(tmp_path: Path):
    with pytest.raises(ValueError, match=r"ends in \.svg, \.pdf, \.png"):
        draw(two_coils(), tmp_path / "picture.jpg")


def test_parts_and_wires_have_titles_for_a_screen_reader(tmp_path: Path):
    given = handle_and_cable()
    _, root = svg_of(given, tmp_path)
    titles = ["".join(e.itertext()) for e in root.iter(f"{SVG}title")]
    assert "wire W3: GRIP.out_left to X1.plug.1" in titles
    assert "switch handle GRIP, button left" in titles
    assert "connector X1, cavity 3" in titles
    for name, part in given.parts.items():
        assert any(title.startswith(f"{part.kind} {name}") for title in titles), name
    for name in given.wires:
        assert any(title.startswith(f"wire {name}: ") for title in titles), name


def test_a_pdf_takes_several_sheets_and_is_the_same_every_time(tmp_path: Path):
    sheets = [painted(layout(two_coils())), painted(layout(handle_and_cable()))]
    made = []
    for name in ("a.pdf", "b.pdf"):
        render(sheets, tmp_path / name)
        made.append((tmp_path / name).read_bytes())
    assert made[0] == made[1]
    assert len(re.findall(rb"/Type /Page\b", made[0])) == 2
    assert b"CreationDate" not in made[0]


def test_svg_and_png_take_one_sheet(tmp_path: Path):
    sheets = [painted(layout(two_coils()))] * 2
    for ending in (".svg", ".png"):
        with pytest.raises(ValueError, match="one sheet a file, got 2"):
            render(sheets, tmp_path / f"picture{ending}")


def test_files_are_numbered_with_as_many_digits_as_the_last_needs():
    sheet = painted(layout(two_coils()))
    assert [path.name for path, _ in files_for(Path("a/x.svg"), [sheet])] == ["x.svg"]
    found = [path.name for path, _ in files_for(Path("a/x.png"), [sheet] * 11)]
    assert found[:2] + found[-1:] == ["x-01.png", "x-02.png", "x-11.png"]
    ((path, sheets),) = files_for(Path("a/x.pdf"), [sheet] * 3)
    assert (path.name, len(sheets)) == ("x.pdf", 3)
    with pytest.raises(ValueError, match="no sheet"):
        files_for(Path("x.svg"), [])


def test_the_drawing_itself_has_a_title(tmp_path: Path):
    given = two_coils()
    _, root = svg_of(given, tmp_path)
    first = next(iter(root))
    assert (first.tag, first.text) == (f"{SVG}title", given.circuit)
