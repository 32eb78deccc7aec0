"""`circuitcheck draw`: where it draws, what it marks, what it refuses."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from circuitcheck import InputError
from circuitcheck.cli.draw import draw

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture
def failing(tmp_path: Path) -> Path:
    path = tmp_path / "harness.toml"
    shutil.copy(EXAMPLES / "hay_rake_wrong_fuse" / "harness.toml", path)
    return path


def test_draws_beside_the_file_and_marks_what_fails(failing: Path):
    result = CliRunner().invoke(draw, [str(failing)], catch_exceptions=False)
    assert result.exit_code == 0
    assert "is drawn" in result.output
    assert "Failing, by the number" in failing.with_suffix(".svg").read_text(encoding="utf-8")


def test_unchecked_marks_nothing_and_says_so(failing: Path):
    CliRunner().invoke(draw, [str(failing), "--unchecked"], catch_exceptions=False)
    text = failing.with_suffix(".svg").read_text(encoding="utf-8")
    assert "Failing" not in text
    assert "Not judged: nothing is marked." in text


def test_lengths_in_feet_and_inches_for_who_wants_them(failing: Path):
    """0.15 m over 0.0254 m/in is 5.91 in, 0.80 m is 31.5 in."""
    plain = ["--unchecked", "--units", "metric"]
    CliRunner().invoke(draw, [str(failing), *plain], catch_exceptions=False)
    metric = failing.with_suffix(".svg").read_text(encoding="utf-8")
    american = ["--units", "american"]
    CliRunner().invoke(draw, [str(failing), *american], catch_exceptions=False)
    text = failing.with_suffix(".svg").read_text(encoding="utf-8")
    assert "0.15 m" in metric
    assert "0.15 m" not in text
    assert "5.91 in" in text


@pytest.mark.parametrize("ending", [".pdf", ".png", ".SVG"])
def test_the_ending_chooses_the_kind(failing: Path, ending: str):
    target = failing.with_name(f"picture{ending}")
    arguments = [str(failing), "--unchecked", "--output", str(target)]
    CliRunner().invoke(draw, arguments, catch_exceptions=False)
    starts = {".pdf": b"%PDF", ".png": b"\x89PNG", ".SVG": b"<?xml"}
    assert target.read_bytes().startswith(starts[ending])
    assert {path.name for path in failing.parent.iterdir()} == {failing.name, target.name}


@pytest.mark.parametrize(
    ("output", "said"), [("picture.jpg", "ending"), ("none/picture.svg", "no such folder")]
)
def test_refuses_in_words(failing: Path, output: str, said: str):
    target = failing.parent / output
    with pytest.raises(InputError, match=said):
        CliRunner().invoke(draw, [str(failing), "--output", str(target)], catch_exceptions=False)
    assert not target.exists()


def test_never_draws_over_the_harness_file(tmp_path: Path):
    path = tmp_path / "harness.svg"
    shutil.copy(EXAMPLES / "hay_rake_wrong_fuse" / "harness.toml", path)
    before = path.read_bytes()
    with pytest.raises(InputError, match="take the place of the harness file"):
        CliRunner().invoke(draw, [str(path)], catch_exceptions=False)
    assert path.read_bytes() == before


def run(*arguments: str):
    return CliRunner().invoke(draw, list(arguments))


def names_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if path.suffix != ".toml")


@pytest.fixture
def relay(tmp_path: Path) -> Path:
    path = tmp_path / "harness.toml"
    shutil.copy(EXAMPLES / "salt_spreader_relay_lamp" / "harness.toml", path)
    return path


def test_several_sheets_go_to_numbered_files_or_to_one_pdf(relay: Path):
    done = run(str(relay), "--unchecked", "--paper", "A4")
    assert done.exit_code == 0, done.output
    assert names_in(relay.parent) == ["harness-1.svg", "harness-2.svg"]
    assert "harness-1.svg to" in done.output
    assert "2 sheets" in done.output
    done = run(
        str(relay), "--unchecked", "--paper", "Letter", "--output", str(relay.with_suffix(".pdf"))
    )
    assert done.output.endswith("harness.pdf is drawn, 2 sheets.\n")
    data = relay.with_suffix(".pdf").read_bytes()
    sides = re.findall(rb"/MediaBox \[ ?0 0 ([\d.]+) ([\d.]+) ?\]", data)
    # 8.5 in by 11 in are 612 by 792 points.
    assert [tuple(round(float(side)) for side in pair) for pair in sides] == [(792, 612)] * 2


def test_one_sheet_can_be_asked_for(relay: Path):
    target = relay.with_name("second.svg")
    done = run(str(relay), "--unchecked", "--paper", "A4", "--sheet", "2", "--output", str(target))
    assert done.exit_code == 0
    assert names_in(relay.parent) == ["second.svg"]
    assert "Sheet: 2 of 2" in target.read_text(encoding="utf-8")
    assert run(str(relay), "--unchecked", "--sheet", "9").exit_code == 2


def test_one_sheet_as_large_as_it_takes(relay: Path):
    assert run(str(relay), "--unchecked", "--paper", "one-sheet").exit_code == 0
    assert names_in(relay.parent) == ["harness.svg"]


def test_a_strip_for_the_telephone_is_twice_480_pixels_wide(relay: Path):
    from matplotlib.image import imread

    target = relay.with_name("phone.png")
    assert run(str(relay), "--unchecked", "--phone", "--output", str(target)).exit_code == 0
    assert imread(target).shape[1] == pytest.approx(960, abs=4)
    assert run(str(relay), "--phone", "--paper", "A4").exit_code == 2


def test_positions_are_drawn_with_their_values(relay: Path):
    done = run(str(relay), "--position", "key on, SW1", "--paper", "one-sheet")
    assert done.exit_code == 0, done.output
    text = relay.with_suffix(".svg").read_text(encoding="utf-8")
    assert "Position: key on, SW1" in text
    assert "Nominal values: supply" in text
    done = run(str(relay), "--position", "key on, SW1", "--worst", "--paper", "one-sheet")
    assert "Lowest to highest over all conditions" in relay.with_suffix(".svg").read_text(
        encoding="utf-8"
    )


def test_all_positions_leave_out_those_with_nothing_live(relay: Path):
    target = relay.with_suffix(".pdf")
    done = run(str(relay), "--all-positions", "--paper", "one-sheet", "--output", str(target))
    assert "4 positions with no live wire are left out." in done.output
    assert "2 sheets." in done.output


def test_a_position_that_there_is_not_is_answered_with_those_there_are(relay: Path):
    done = run(str(relay), "--position", "nonsense")
    assert done.exit_code == 2
    assert "key on, SW1" in done.output
    assert run(str(relay), "--worst").exit_code == 2


def test_date_and_revision_stand_in_the_title_block(relay: Path):
    text = relay.read_text(encoding="utf-8")
    relay.write_text(text.replace('revision = "A"', 'revision = "C"\ndate = "2031-05-06"'))
    run(str(relay), "--unchecked")
    drawn = relay.with_suffix(".svg").read_text(encoding="utf-8")
    assert "Revision: C" in drawn
    assert "Date: 2031-05-06" in drawn


def test_sheets_of_all_positions_are_counted_through(relay: Path):
    target = relay.with_name("all.svg")
    done = run(str(relay), "--all-positions", "--paper", "A4", "--output", str(target))
    assert done.exit_code == 0, done.output
    files = sorted(relay.parent.glob("all-*.svg"), key=lambda path: int(path.stem[4:]))
    texts = [path.read_text(encoding="utf-8") for path in files]
    for number, text in enumerate(texts, start=1):
        assert f"Sheet: {number} of {len(texts)}" in text
    # each reference names a sheet on which the same letter stands, with this one's number over it
    places = [set(re.findall(r"sheet (\d+), [A-Z]\d", text)) for text in texts]
    assert any(places)
    for number, named in enumerate(places, start=1):
        assert all(str(number) in places[int(other) - 1] for other in named)
