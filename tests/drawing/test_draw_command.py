"""`circuitcheck draw`: where it draws, what it marks, what it refuses."""

from __future__ import annotations

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
