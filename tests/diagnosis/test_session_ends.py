"""The end of a session: taken back, gone on with, kept; complaints taken back; own priors shown."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from circuitcheck.cli.main import main

HARNESS = str(Path(__file__).parents[2] / "examples" / "orchard_sprayer" / "harness.toml")
COMPLAINT = "VL does not click\nVR works\n\n"


def session(
    typed: str,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    *options: str,
) -> tuple[str, int]:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setattr("sys.stdin", io.StringIO(typed))
    with pytest.raises(SystemExit) as left:
        main(["diagnose", HARNESS, "--ask", *options])
    return capsys.readouterr().out, int(str(left.value.code))


def nothing_fits(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, last: str
) -> tuple[str, int]:
    """Readings with the probes swapped throughout, on a machine of which all works."""
    swapped = "VL works\nVR works\n\n-12 V\n-12 V\n-12 V\n"
    return session(f"{swapped}{last}", capsys, monkeypatch)


def test_the_last_answer_can_be_taken_back_when_nothing_fits(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    out, code = nothing_fits(capsys, monkeypatch, "back\nquit\n")
    assert out.count("NOTHING HERE FITS") == 1
    assert out.count("Reading 3") == 2
    assert code == 3


def test_one_can_go_on_when_nothing_fits(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    out, code = nothing_fits(capsys, monkeypatch, "on\nquit\n")
    assert "Reading 4" in out
    assert code == 3


@pytest.mark.parametrize("last", ["", "\n", "quit\n", "5 mV\n"])
def test_the_outcome_is_said_once(
    last: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    out, code = nothing_fits(capsys, monkeypatch, last)
    assert out.count("NOTHING HERE FITS") == 1
    assert "Reading 4" not in out
    assert "answers ended" not in out
    assert out.count("The readings are not kept") == 1
    assert code == 3


def test_a_found_cause_can_be_taken_back_too(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = (Path(HARNESS).parent / "session_answers.txt").read_text(encoding="utf-8")
    out, _ = session(answers, capsys, monkeypatch)
    again, code = session(f"{answers.rstrip()}\nback\nquit\n", capsys, monkeypatch)
    assert out.count("Found:") == 1
    assert "The readings are not kept: --record PATH keeps them" in " ".join(out.split())
    assert again.count("Found:") == 1
    assert again.count("Reading ") == out.count("Reading ") + 1
    assert code == 3


def test_it_is_said_from_the_start_that_readings_are_not_kept(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    out, _ = session(f"{COMPLAINT}quit\n", capsys, monkeypatch)
    assert "kept only with --record PATH" in out
    assert "The readings are not kept" in out
    kept, _ = session(f"{COMPLAINT}quit\n", capsys, monkeypatch, "--record", str(tmp_path / "r"))
    assert "kept only with --record" not in kept
    assert "All readings are kept in" in kept


def test_a_complaint_takes_the_place_of_its_opposite(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    record = tmp_path / "r.toml"
    typed = "VL works\nVL does not click\nVR works\n\nquit\n"
    out, _ = session(typed, capsys, monkeypatch, "--record", str(record))
    assert "Taken in place of what was said before (Does VL click?: yes;" in out
    plain, _ = session(f"{COMPLAINT}quit\n", capsys, monkeypatch, "--record", str(tmp_path / "s"))
    assert "Taken in place" not in plain
    assert record.read_text(encoding="utf-8") == (tmp_path / "s").read_text(encoding="utf-8")


def test_going_on_once_is_not_going_on_for_good(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    out, _ = nothing_fits(capsys, monkeypatch, "on\nback\nback\n-12 V\n-12 V\nquit\n")
    assert out.count("It ends here.") == 2


def test_less_than_battery_minus_asks_whether_the_probes_are_swapped(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    works = "VL works\nVR works\n\n"
    for typed, is_asked in (("-12 V\nquit\n", True), ("-0.001 V\nquit\n", False)):
        out, _ = session(works + typed, capsys, monkeypatch)
        assert ("are red and black swapped?" in out) == is_asked


def test_opposite_complaints_of_the_command_are_refused(
    capsys: pytest.CaptureFixture[str],
) -> None:
    _, said = diagnosed(capsys, "--complaint", "VL works", code=2)
    assert '"VL works" and "VL does not click" contradict each other' in said


def own_rows(folder: Path, *names: str) -> str:
    path = folder / "own.toml"
    rows = [f'[[fault_priors]]\nname = "{name}"\nweight_ratio = 30\n' for name in names]
    path.write_text("\n".join(rows), encoding="utf-8")
    return str(path)


def diagnosed(capsys: pytest.CaptureFixture[str], *options: str, code: int) -> tuple[str, str]:
    with pytest.raises(SystemExit) as left:
        main(["diagnose", HARNESS, "--complaint", "VL does not click", *options])
    assert left.value.code == code
    printed = capsys.readouterr()
    return printed.out, printed.err


def test_own_priors_of_what_does_not_exist_are_refused(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    rows = own_rows(tmp_path, "Fuse: Blown", "fuse: blwn", "flux capacitor: open")
    _, said = diagnosed(capsys, "--library", rows, code=2)
    assert ':1: fault_priors, Fuse: Blown: name: no kind of part is called "Fuse"' in said
    assert 'no failure mode is called "Blown". Did you mean "blown"?' in said
    assert ":5: fault_priors, fuse: blwn" in said
    assert 'no kind of part is called "flux capacitor"' in said


def test_priors_are_shown_and_own_ones_named(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    rows = own_rows(tmp_path, "solenoid coil: seized", "fuse: seized")
    out, _ = diagnosed(capsys, "--library", rows, code=3)
    assert "How likely they are by your own rows: solenoid coil: seized." in out
    assert "Your own rows that no fault of this file has: fuse: seized." in out
    record = json.loads(diagnosed(capsys, "--library", rows, "--json", code=3)[0])
    plain = json.loads(diagnosed(capsys, "--json", code=3)[0])
    assert record["own_prior_rows"] == {
        "used": ["solenoid coil: seized"], "of_no_fault_here": ["fuse: seized"],
    }  # fmt: skip
    assert plain["own_prior_rows"] == {"used": [], "of_no_fault_here": []}
    before = [
        next(m["before_any_reading"] for group in one["causes"] for m in group["members"]
             if m["name"] == "VL seized")
        for one in (record, plain)
    ]  # fmt: skip
    # the weight times 15 in a sum of all weights: its odds grow nearly so much
    assert before[0] > 5.0 * before[1] > 0.0
    typed, _ = session("VL does not click\n\nwhy\nquit\n", capsys, monkeypatch)
    assert "Before any reading: " in typed
