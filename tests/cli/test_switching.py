"""The command switching: text for any width, JSON, pictures; hostile names stay text."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from circuitcheck.cli import main as cli

EXAMPLES = Path(__file__).parents[2] / "examples"
TRAILER = str(EXAMPLES / "tipping_trailer_shared_return" / "harness.toml")
ORCHARD = EXAMPLES / "orchard_sprayer" / "harness.toml"
CHIPPER = str(EXAMPLES / "wood_chipper_pull_hold" / "harness.toml")


@pytest.fixture
def run(capsys, monkeypatch):
    def call(*arguments: str, columns: int = 80) -> tuple[int, str, str]:
        monkeypatch.setenv("COLUMNS", str(columns))
        with pytest.raises(SystemExit) as leaving:
            cli.main(("switching", *arguments))
        shown = capsys.readouterr()
        return int(leaving.value.code or 0), shown.out, shown.err

    return call


@pytest.mark.parametrize("columns", [40, 80])
def test_text_fits_and_begins_with_the_worst(run, columns: int) -> None:
    code, out, _ = run(TRAILER, columns=columns)
    assert code == 0
    assert max(len(line) for line in out.splitlines()) <= columns
    plain = " ".join(out.split())
    assert plain.index("press SWL + SWT") < plain.index("press SWL the same")
    assert "at once" in plain
    assert "YT, already on: at lowest" in plain
    assert "No open measurement was found" in plain
    assert "the same: key on with" in plain


def test_one_action_alone(run) -> None:
    code, out, _ = run(TRAILER, "--action", "release SWT, SWL held")
    assert code == 0
    assert "release SWT, SWL held" in out
    assert "YT, switched off" in out
    assert "key on" not in out


def test_an_unknown_action_is_answered_with_those_there_are(run) -> None:
    code, out, err = run(TRAILER, "--action", "push it")
    assert (code, out) == (2, "")
    assert '"press SWT, SWL held"' in err


def test_json_has_both_corners_and_nulls_for_what_is_not_known(run) -> None:
    code, out, _ = run(CHIPPER, "--json")
    assert code == 0
    found = json.loads(out)
    press = next(one for one in found["actions"] if one["name"] == "press SW1")
    assert [corner["corner"] for corner in press["corners"]] == [
        "cold coils, highest supply",
        "hot coils, lowest supply",
    ]
    strong = press["corners"][0]
    fuse = next(one for one in strong["fuses"] if one["branch"] == "F1")
    assert fuse["rating_a"] == 30.0
    assert fuse["peak_a"] > 10.0
    coil = next(one for one in strong["coils"] if one["branch"] == "YC/pull")
    assert coil["pull_in_a"] is None
    assert coil["reaches_s"] is None
    assert any("inductance not known" in words for words in found["not_modelled"])


@pytest.mark.slow
@pytest.mark.parametrize("suffix", [".svg", ".pdf", ".png"])
def test_pictures_are_written_whole(run, tmp_path: Path, suffix: str) -> None:
    target = tmp_path / f"picture{suffix}"
    code, _, err = run(TRAILER, "--plot", str(target))
    assert (code, err) == (0, "")
    begins = {".svg": b"<?xml", ".pdf": b"%PDF", ".png": b"\x89PNG"}[suffix]
    assert target.read_bytes().startswith(begins)
    assert list(tmp_path.iterdir()) == [target]


@pytest.mark.slow
def test_names_of_the_file_stay_text_in_the_picture(run, tmp_path: Path) -> None:
    text = Path(TRAILER).read_text(encoding="utf-8")
    hostile = "$\\\\frac{1}{0}$ <b>&"
    changed = text.replace(
        'circuit = "Tailgate lock on a tipping trailer"', f'circuit = "{hostile}"'
    )
    assert changed != text
    file = tmp_path / "harness.toml"
    file.write_text(changed, encoding="utf-8")
    target = tmp_path / "p.svg"
    code, _, _ = run(str(file), "--plot", str(target))
    assert code == 0
    drawn = target.read_text(encoding="utf-8")
    assert "$\\frac{1}{0}$ &lt;b&gt;&amp;" in drawn
    assert "<b>" not in drawn


def test_a_picture_needs_a_known_ending_and_a_known_fuse(run, tmp_path: Path) -> None:
    assert run(TRAILER, "--plot", str(tmp_path / "p.gif"))[0] == 2
    code, _, err = run(TRAILER, "--plot", str(tmp_path / "p.svg"), "--fuse", "F9")
    assert code == 2
    assert "there are" in err
    assert run(TRAILER, "--fuse", "F1")[0] == 2
    assert not list(tmp_path.iterdir())


def changed(tmp_path: Path, source: Path, *changes: tuple[str, str]) -> str:
    """Return a copy of a harness file with some of its text changed."""
    text = source.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    file = tmp_path / "harness.toml"
    file.write_text(text, encoding="utf-8")
    return str(file)


@pytest.mark.parametrize(("spring", "is_in"), [("5 N", True), ("60 N", False), ("600 N", False)])
def test_a_plunger_that_does_not_get_in_is_said(run, tmp_path: Path, spring: str, is_in) -> None:
    """1.6 A at the most over 12.25 H/m pull with 16 N."""
    plunger = (
        f'plunger = {{ stroke = "4 mm", mass = "20 g", spring = ["3 N", "{spring}"], '
        'inductance = ["65 mH", "114 mH"] }'
    )
    kind = 'kind = "solenoid coil"'
    file = changed(tmp_path, ORCHARD, (kind, f"{plunger}\n{kind}"))
    code, out, _ = run(file)
    plain = " ".join(out.split())
    assert code == 0
    assert ("plunger NOT IN: spring and load hold it back" in plain) != is_in
    assert ("plunger in after" in plain) == is_in
