"""`circuitcheck check`: exit codes, the forms of its output, files whole or not there."""

from __future__ import annotations

import dataclasses
import json
import os
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from circuitcheck import check_file, open_case, read_harness, read_library, run_checks, verdict_text
from circuitcheck.checks.finding import FAIL
from circuitcheck.cli import check as module
from circuitcheck.cli.check import check
from circuitcheck.cli.draw import draw
from circuitcheck.cli.output import write_whole
from circuitcheck.documents.plain_text import columns
from circuitcheck.documents.verdict.verdict import Verdict
from circuitcheck.errors import CircuitcheckError

EXAMPLES = Path(__file__).parents[2] / "examples"
PASSES = EXAMPLES / "orchard_sprayer" / "harness.toml"
WRONG_FUSE = EXAMPLES / "hay_rake_wrong_fuse" / "harness.toml"


def call(*arguments: object, width: int = 40, **environment: str):
    runner = CliRunner(env={"COLUMNS": str(width), **environment})
    done = runner.invoke(check, [str(argument) for argument in arguments])
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        raise done.exception
    return done


def edited(tmp_path: Path, *changes: tuple[str, str]) -> Path:
    """Write the passing example with patterns replaced, each of which it must hold."""
    text = PASSES.read_text(encoding="utf-8")
    for old, new in changes:
        text, count = re.subn(old, new, text, flags=re.MULTILINE)
        assert count
    file = tmp_path / "harness.toml"
    file.write_text(text, encoding="utf-8")
    return file


NO_RATING = (r"^rating = \[.*\]$", 'rating = "unknown"')
LARGE_FUSE = (r'^rating = "[0-9.]+ A"$', 'rating = "30 A"')


def test_nothing_fails_is_0_and_something_fails_is_1():
    done = call(PASSES)
    assert done.exit_code == 0
    assert done.output.startswith("no failure in the checks run\n")
    done = call(WRONG_FUSE)
    assert done.exit_code == 1
    assert done.output.startswith("FAILS: ")


def test_something_not_judged_is_3(tmp_path):
    done = call(edited(tmp_path, NO_RATING))
    assert done.exit_code == 3
    assert done.output.startswith("no failure in the checks run\n")
    assert "not judged, see below" in done.output


def test_a_failure_wins_over_not_judged(tmp_path):
    done = call(edited(tmp_path, NO_RATING, LARGE_FUSE))
    assert done.exit_code == 1
    assert "NOT JUDGED" in done.output


def test_a_wire_left_out_is_a_finding_not_a_refusal(tmp_path):
    done = call(edited(tmp_path, (r"^\[wire\.W7\]\n(?:[^\[\n].*\n)*", "")))
    assert done.exit_code == 1
    assert "open end" in done.output


@pytest.mark.parametrize("example", sorted(p.name for p in EXAMPLES.iterdir() if p.is_dir()))
def test_no_example_is_wider_than_the_screen(example):
    verdict = check_file(EXAMPLES / example / "harness.toml")
    for width in (24, 40, 60, 80):
        for every in (False, True):
            lines = verdict_text(verdict, width=width, every=every).splitlines()
            assert max(columns(line) for line in lines) <= width


@pytest.mark.parametrize("example", ["orchard_sprayer", "road_sweeper_24v"])
def test_each_wire_left_out_in_turn_fails_in_words(example):
    library = read_library()
    harness = read_harness(EXAMPLES / example / "harness.toml", library)
    for name in harness.wires:
        wires = {key: wire for key, wire in harness.wires.items() if key != name}
        case = open_case(dataclasses.replace(harness, wires=wires), library)
        verdict = Verdict(harness, library, (), run_checks(case), case.solution)
        text = verdict_text(verdict, every=True)
        assert "wiring complete" in text
        assert "not a number" not in text


def test_json_alone_is_on_the_output():
    record = json.loads(call(WRONG_FUSE, "--json").stdout)
    assert record["verdict"] == "fail"
    assert record["positions"]
    assert any(finding["fix"] for finding in record["findings"] if finding["result"] == "fail")


def test_the_verdict_word_and_the_exit_code_agree():
    for file in (PASSES, WRONG_FUSE):
        done = call(file, "--json")
        word = json.loads(done.stdout)["verdict"]
        assert {"fail": 1, "not judged": 3, "pass": 0}[word] == done.exit_code


def test_the_working_of_a_finding_shows_both_results():
    text = re.sub(r"\s+", " ", call(WRONG_FUSE, "--working", "1").output)
    assert "WORKING of finding 1" in text
    assert "WORKING of finding 2" not in text


@pytest.mark.parametrize("number", ["0", "9999"])
def test_the_working_of_no_finding_is_wrong_usage(number):
    assert call(WRONG_FUSE, "--working", number).exit_code == 2


def test_colour_only_on_a_terminal_that_wants_it(monkeypatch):
    assert "\x1b" not in call(WRONG_FUSE).output
    monkeypatch.setattr(module, "colour_wanted", lambda no_colour: not no_colour)
    assert "\x1b[31m" in call(WRONG_FUSE).output
    assert "\x1b" not in call(WRONG_FUSE, "--no-colour").output


def test_no_color_of_the_environment_is_respected(monkeypatch):
    from circuitcheck.cli.output import colour_wanted

    monkeypatch.setattr("sys.stdout.isatty", lambda: True, raising=False)
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert colour_wanted(False)
    assert not colour_wanted(True)
    monkeypatch.setenv("NO_COLOR", "1")
    assert not colour_wanted(False)


def test_a_diagram_is_drawn_beside_the_verdict(tmp_path):
    picture = tmp_path / "diagram.svg"
    done = call(WRONG_FUSE, "--draw", picture)
    assert done.exit_code == 1
    assert picture.read_text(encoding="utf-8").lstrip().startswith("<?xml")
    assert os.listdir(tmp_path) == ["diagram.svg"]


def test_the_signs_of_a_diagram_bear_the_numbers_of_the_verdict(tmp_path):
    call(WRONG_FUSE, "--draw", tmp_path / "checked.svg")
    done = CliRunner().invoke(draw, [str(WRONG_FUSE), "--output", str(tmp_path / "drawn.svg")])
    assert done.exit_code == 0
    drawn = (tmp_path / "drawn.svg").read_text(encoding="utf-8")
    assert (tmp_path / "checked.svg").read_text(encoding="utf-8") == drawn
    texts = re.findall(r"<text[^>]*>([^<]*)", drawn)
    for entry in check_file(WRONG_FUSE).of_result(FAIL):
        at = [n for n, text in enumerate(texts) if text.startswith(f"{entry.worst.subject}: ")]
        assert str(entry.number) in [texts[n - 1] for n in at]


def test_a_diagram_of_an_unknown_kind_is_refused_before_anything_is_written(tmp_path):
    with pytest.raises(CircuitcheckError):
        call(WRONG_FUSE, "--draw", tmp_path / "diagram.bmp")
    assert not os.listdir(tmp_path)


def test_a_file_is_whole_or_not_there(tmp_path):
    target = tmp_path / "out.txt"
    target.write_text("old")

    def break_off(path: Path) -> None:
        path.write_text("half")
        raise RuntimeError

    with pytest.raises(RuntimeError):
        write_whole(target, break_off)
    assert target.read_text() == "old"
    write_whole(target, lambda path: path.write_text("new") and None)
    assert target.read_text() == "new"
    assert os.listdir(tmp_path) == ["out.txt"]


def test_what_a_pass_still_asks_of_the_person_is_printed():
    chipper = EXAMPLES / "wood_chipper_pull_hold" / "harness.toml"
    said = " ".join(call(chipper).output.split())
    assert "! YC: After a reversed battery renew diode and fuse" in said
