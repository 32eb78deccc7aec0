"""The readings that come with an example, each a story; and the session at a terminal."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path

import pytest

from circuitcheck.cli.main import main

FOLDER = Path(__file__).parents[2] / "examples" / "orchard_sprayer"
HARNESS = str(FOLDER / "harness.toml")
STORIES = {
    "shared_ground": ("GS1 ground high resistance", []),
    "click_without_movement": ("valve of VL stuck, or no pressure", []),
    "swapped_cavities": ("X1 cavities 1 and 2 swapped", ["F1.load"]),
}
"""The cause that the readings must lead to, and the points of readings that contradict the rest."""


def run(
    arguments: list[str], capsys: pytest.CaptureFixture[str], code: int | None = None
) -> tuple[str, str]:
    with pytest.raises(SystemExit) as left:
        main(["diagnose", *arguments])
    printed = capsys.readouterr()
    if code is not None:
        assert left.value.code == code, printed.err
    return printed.out, printed.err


def test_every_file_of_readings_is_told_of() -> None:
    assert {path.stem for path in (FOLDER / "readings").glob("*.toml")} == set(STORIES)


@pytest.mark.parametrize(("story", "wanted"), STORIES.items())
def test_a_story_leads_to_its_cause(
    story: str, wanted: tuple[str, list[str]], capsys: pytest.CaptureFixture[str]
) -> None:
    path = str(FOLDER / "readings" / f"{story}.toml")
    out, _ = run([HARNESS, path, "--json"], capsys, 1)
    record = json.loads(out)
    assert record["verdict"] == "found"
    leading = record["causes"][0]["members"][0]
    assert leading["name"] == wanted[0]
    assert all(fault["repair"] and fault["proof"] for fault in leading["faults"])
    contradicting = [r["plus"] for r in record["readings"] if r["contradicts_the_rest"]]
    assert contradicting == wanted[1]
    assert record["next_reading"] is None


def test_text_fits_a_telephone(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    out, _ = run([HARNESS, str(FOLDER / "readings" / "swapped_cavities.toml")], capsys, 1)
    assert max(map(len, out.splitlines())) <= 40
    said = " ".join(out.split())
    for words in (
        "Found: X1 cavities 1 and 2 swapped",
        "Contradicts the rest",
        "Repair:",
        "Proof:",
    ):
        assert words in said


def test_the_session_shown_is_the_one_held(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = (FOLDER / "session_answers.txt").read_text(encoding="utf-8")
    monkeypatch.setenv("COLUMNS", "40")
    monkeypatch.setattr("sys.stdin", io.StringIO(answers))
    out, _ = run([HARNESS, "--ask"], capsys, 1)
    assert out == (FOLDER / "session.txt").read_text(encoding="utf-8")


def ask(
    answers: str,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    *options: str,
    code: int = 3,
) -> str:
    monkeypatch.setattr("sys.stdin", io.StringIO(answers))
    complaint = ["--complaint", "VL does not click", "--complaint", "VR works"]
    return run([HARNESS, "--ask", *complaint, *options], capsys, code)[0]


def test_cautions_stand_where_a_step_is_asked_for(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    out = " ".join(ask("quit\n", capsys, monkeypatch).split())
    caution = out.index("lowered and blocked, pressure released, nobody in the path")
    assert caution < out.index("Position: key on, left") < out.index("Red probe")
    assert "engine off" in out


def test_a_bad_entry_is_named_and_nothing_is_lost(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    good = ask("6.44 V\nquit\n", capsys, monkeypatch)
    bad = ask("6.44 parsecs\n400 V\n\n6.44 V\nquit\n", capsys, monkeypatch)
    assert bad.count("Nothing is lost") == 3
    # each answer stands as a sentence
    assert re.search(r"^V > 6.44 parsecs\n[A-Z6]", bad, re.MULTILINE)
    assert "V > no\nGive one number" in ask("no\nquit\n", capsys, monkeypatch)
    assert bad.splitlines()[-12:] == good.splitlines()[-12:]


def test_back_takes_an_answer_back_and_skip_asks_for_another(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = ask("quit\n", capsys, monkeypatch)
    gone_back = ask("6.44 V\nback\nquit\n", capsys, monkeypatch)
    assert gone_back.splitlines()[-10:] == plain.splitlines()[-10:]
    skipped = ask("skip\nquit\n", capsys, monkeypatch)
    assert skipped.splitlines()[-10:] != plain.splitlines()[-10:]
    assert "no reading to go back from" in ask("back\nquit\n", capsys, monkeypatch)


def test_points_that_were_skipped_come_back_only_with_what_differs(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = ask("skip\n" * 12 + "quit\n", capsys, monkeypatch).split("Reading 1\n")[1:]
    seen: set[tuple[str, ...]] = set()
    again = 0
    for one in asked:
        # the last one is said once more at the end
        points = tuple(
            line.removesuffix(", in the plug pulled off")
            for line in one.partition("Likely causes")[0].splitlines()
            if line.startswith(("Red", "Black", "At"))
        )
        there = "The same points as in a reading that was skipped" in " ".join(one.split())
        assert there == (points in seen)
        again += there
        seen.add(points)
    assert again > 0


def test_the_end_of_the_input_is_said_with_what_is_known(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    ended = ask("6.44 V\n", capsys, monkeypatch)
    left = ask("6.44 V\nquit\n", capsys, monkeypatch)
    assert "The answers ended here, after 1 reading. What is known so far:" in ended
    assert "--record PATH" in ended
    assert "The answers ended" not in left
    assert left[left.rindex("Likely causes") :] in ended


def test_what_was_kept_at_the_end_of_the_input_is_gone_on_from(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    record = str(tmp_path / "record.toml")
    ended = ask("6.44 V\n150 mV\n", capsys, monkeypatch, "--record", record)
    # the lines of a long path are broken
    assert f"diagnose{HARNESS}{record}--ask" in "".join(ended.split())
    monkeypatch.setattr("sys.stdin", io.StringIO("quit\n"))
    again, _ = run([HARNESS, record, "--ask"], capsys, 3)
    assert "Reading 3" in again


def test_the_end_of_the_input_has_the_code_of_what_is_known(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    ask("", capsys, monkeypatch, code=3)
    answers = (FOLDER / "session_answers.txt").read_text(encoding="utf-8")
    monkeypatch.setattr("sys.stdin", io.StringIO(answers))
    found, _ = run([HARNESS, "--ask"], capsys, 1)
    assert "The answers ended" not in found


def test_the_record_can_be_read_again(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    record = tmp_path / "record.toml"
    asked = ask("6.44 V\n150 mV\nquit\n", capsys, monkeypatch, "--record", str(record))
    out, _ = run([HARNESS, str(record)], capsys, 3)
    assert out.splitlines()[:5] == asked[asked.rindex("Likely causes") :].splitlines()[:5]
    again = tmp_path / "again.toml"
    run([HARNESS, str(record), "--record", str(again)], capsys, 3)
    assert again.read_text(encoding="utf-8") == record.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--complaint", "VX does not click"], 'no coil "VX"'),
        (["--complaint", "it is broken"], "say for example: VL does not click"),
        (["--complaint", "VL does not click in the rain"], 'no switch position "the rain"'),
        ([], "starts from a complaint"),
    ],
)
def test_wrong_input_is_named(
    arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    _, err = run([HARNESS, *arguments], capsys, 2)
    assert words in err


def test_priors_are_changed_by_a_file_of_ones_own(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    rows = tmp_path / "rows.toml"
    rows.write_text(
        '[[fault_priors]]\nname = "solenoid coil: open"\nweight_ratio = 400\n', encoding="utf-8"
    )
    complaint = ["--complaint", "VL does not click", "--json"]
    usual, _ = run([HARNESS, *complaint], capsys, 3)
    own, _ = run([HARNESS, *complaint, "--library", str(rows)], capsys)
    name = "VL winding open"
    assert json.loads(usual)["causes"][0]["members"][0]["name"] != name
    assert json.loads(own)["causes"][0]["members"][0]["name"] == name


def test_a_coil_that_can_hurt_is_not_tried_out(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    text = (FOLDER / "harness.toml").read_text(encoding="utf-8")
    path = tmp_path / "steering.toml"
    path.write_text(text.replace('hazard = "spray"', 'hazard = "steering"', 1), encoding="utf-8")
    with pytest.raises(SystemExit) as left:
        main(["diagnose", str(path), "--complaint", "VL does not click"])
    assert left.value.code == 1
    out = capsys.readouterr().out
    assert "functional-safety assessment" in out
    assert "probe" not in out


def test_a_point_behind_a_cover_is_said_to_be(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    out = ask("6.44 V\n6 V\n12.2 V\nquit\n", capsys, monkeypatch)
    said = " ".join(out.split())
    assert "is behind a cover" in said
    # wires are pierced only where nothing else is left
    assert "seal the hole again" not in said


SOUND = {
    ("click", "VL", ""): ("key on, left", "yes"),
    ("valve moves", "VL", ""): ("key on, left", "yes"),
    ("click", "VR", ""): ("key on, right", "yes"),
    ("valve moves", "VR", ""): ("key on, right", "yes"),
    ("digital voltmeter", "VL.1", "VL.2"): ("key on, left", "12.1 V"),
    ("digital voltmeter", "VR.1", "VR.2"): ("key on, right", "12.1 V"),
    ("clamp ammeter", "W5", ""): ("key on, left", "1.3 A"),
    ("clamp ammeter", "W6", ""): ("key on, right", "1.3 A"),
    ("digital voltmeter", "VL.2", "BAT.-"): ("key on, left", "70 mV"),
    ("digital voltmeter", "VR.2", "BAT.-"): ("key on, right", "75 mV"),
    ("digital voltmeter", "BAT.+", "VL.1"): ("key on, left", "250 mV"),
    ("digital voltmeter", "BAT.+", "VR.1"): ("key on, right", "250 mV"),
    ("digital voltmeter", "TAP", "BAT.-"): ("key off", "0 V"),
    ("digital voltmeter", "F1.load", "BAT.-"): ("key on", "12.4 V"),
}
"""A machine on which all is as it should be, read with one button held after the other."""


def test_a_sound_machine_is_not_found_faulty(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    blocks = ["format = 1"]
    for (instrument, at, minus), (position, value) in SOUND.items():
        ends = f'plus = "{at}"\nminus = "{minus}"' if minus else f'at = "{at}"'
        head = f'[[reading]]\ninstrument = "{instrument}"\nposition = "{position}"'
        blocks.append(f'{head}\n{ends}\nvalue = "{value}"')
    path = tmp_path / "sound.toml"
    path.write_text("\n".join(blocks), encoding="utf-8")
    out, _ = run([HARNESS, str(path)], capsys, 0)
    assert "Nothing wrong shows" in out
    assert "Repair:" not in out
    assert "VL suppressor open. Sound: with VL unplugged" in " ".join(out.split())
    told, _ = run([HARNESS, str(path), "--json"], capsys, 0)
    assert json.loads(told)["verdict"] == "nothing wrong"


def test_a_record_is_not_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record = tmp_path / "record.toml"
    first = ["--complaint", "VL does not click", "--record", str(record)]
    run([HARNESS, *first], capsys, 3)
    before = record.read_text(encoding="utf-8")
    _, err = run([HARNESS, *first], capsys, 2)
    assert "there is such a file already" in " ".join(err.split())
    assert record.read_text(encoding="utf-8") == before
    run([HARNESS, str(record), "--record", str(record)], capsys, 3)
    assert record.read_text(encoding="utf-8") == before


def test_questions_are_not_asked_in_json(capsys: pytest.CaptureFixture[str]) -> None:
    out, err = run([HARNESS, "--ask", "--json"], capsys, 2)
    assert not out
    assert "--json belongs to readings from a file" in err
