"""`circuitcheck check` on files and folders: one table, worst first; no bad file stops the rest."""

from __future__ import annotations

import json
import os
import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

import circuitcheck
from circuitcheck import check_file, verdict_json
from circuitcheck.cli import check_many as module
from circuitcheck.cli.check import check
from circuitcheck.cli.harness_files import harness_files
from circuitcheck.cli.many_files import Order, judge_all
from circuitcheck.documents.plain_text import columns
from circuitcheck.documents.verdict.summary import BROKEN_DOWN, FileVerdict, summary_text
from circuitcheck.errors import InputError

EXAMPLES = Path(__file__).parents[2] / "examples"
PASSES = EXAMPLES / "orchard_sprayer" / "harness.toml"
FAILS = EXAMPLES / "hay_rake_wrong_fuse" / "harness.toml"


def call(*arguments: object, width: int = 200):
    runner = CliRunner(env={"COLUMNS": str(width)})
    done = runner.invoke(check, [str(argument) for argument in arguments])
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        raise done.exception
    return done


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A passing, a failing, a not judged and a wrong file, two of them in a folder below."""
    text = PASSES.read_text(encoding="utf-8")
    shutil.copy(PASSES, tmp_path / "passes.toml")
    open_one, count = re.subn(r"^rating = \[.*\]$", 'rating = "unknown"', text, flags=re.MULTILINE)
    assert count == 1
    (tmp_path / "not_judged.toml").write_text(open_one, encoding="utf-8")
    below = tmp_path / "below"
    below.mkdir()
    shutil.copy(FAILS, below / "fails.toml")
    (below / "wrong.toml").write_text(text.replace("[use]", "[usage]"), encoding="utf-8")
    return tmp_path


def lines_of(output: str) -> list[str]:
    """The lines of the table, without the wrapped rest of them."""
    return [line for line in output.split("\n\n")[1].splitlines() if not line.startswith(" ")]


def test_one_line_per_file_the_worst_first(folder):
    done = call(folder, width=80)
    assert done.exit_code == 2
    assert done.output.startswith("4 files, worst first\n1 wrong input\n1 FAIL\n1 not judged")
    marks = [line.split()[0] for line in lines_of(done.output)]
    assert marks == ["!", "FAIL", "?", "+"]
    told = re.sub(r"\s+", " ", done.output)
    assert re.search(r"unprotected length: W3 \([^)]*\), and 9 more", told)


def test_what_is_wrong_with_a_file_is_shown_with_its_line(folder):
    assert re.search(r"wrong\.toml:\d+:.*usage", re.sub(r"\s+", "", call(folder).output))


@pytest.mark.parametrize(
    ("names", "code"),
    [
        (["passes", "passes"], 0),
        (["passes", "not_judged"], 3),
        (["passes", "not_judged", "below/fails"], 1),
        (["below/fails", "below/wrong"], 2),
        (["passes", "missing"], 2),
    ],
)
def test_the_exit_code_is_the_worst_of_all_files(folder, names, code):
    # A copy, so that the same file named twice is not taken for one.
    shutil.copy(folder / "passes.toml", folder / "again.toml")
    files = [folder / f"{name}.toml" for name in names]
    assert call(*files, folder / "again.toml").exit_code == code


def test_json_is_a_list_in_the_order_of_the_files(folder):
    done = call(folder, "--json")
    records = json.loads(done.stdout)
    assert done.exit_code == 2
    assert [Path(record["file"]).name for record in records] == [
        "not_judged.toml",
        "passes.toml",
        "fails.toml",
        "wrong.toml",
    ]
    assert [record["verdict"] for record in records] == [
        "not judged",
        "pass",
        "fail",
        "wrong input",
    ]
    assert any("usage" in problem for problem in records[3]["problems"])
    alone = json.loads(verdict_json(check_file(folder / "below" / "fails.toml", changes=False)))
    assert records[2] == alone


def test_a_single_file_is_told_as_before_also_in_json():
    assert json.loads(call(FAILS, "--json").stdout) == json.loads(verdict_json(check_file(FAILS)))
    assert call(FAILS).output.startswith("FAILS: ")


@pytest.mark.slow
def test_several_processes_find_what_one_finds(tmp_path):
    for number in range(9):
        shutil.copy(FAILS if number % 2 else PASSES, tmp_path / f"{number}.toml")
    assert call(tmp_path, "--jobs", "2").output == call(tmp_path, "--jobs", "1").output


def test_changes_are_left_out_unless_asked_for_and_that_is_said(folder):
    said = "No change that would pass was looked for"
    assert said in call(folder).output
    assert said not in call(folder, "--changes").output
    assert said not in call(folder / "passes.toml", folder / "not_judged.toml").output
    assert said not in call(FAILS).output
    alone = call(FAILS, "--no-changes").output
    assert said in alone
    assert "change:" not in alone


def test_other_toml_files_and_hidden_folders_are_passed_over(tmp_path):
    shutil.copy(PASSES, tmp_path / "a.toml")
    (tmp_path / "a.txt").write_text("[part.X]\n")
    (tmp_path / "settings.toml").write_text("[tool.part]\n")
    os.mkfifo(tmp_path / "pipe.toml")
    (tmp_path / ".hidden").mkdir()
    shutil.copy(PASSES, tmp_path / ".hidden" / "b.toml")
    found = harness_files([tmp_path])
    assert ([file.name for file in found.files], found.left_out) == (["a.toml"], 1)


def test_a_file_met_twice_is_judged_once(tmp_path):
    shutil.copy(PASSES, tmp_path / "a.toml")
    os.symlink(tmp_path / "a.toml", tmp_path / "b.toml")
    os.symlink(tmp_path, tmp_path / "round")
    assert len(harness_files([tmp_path, tmp_path / "a.toml"]).files) == 1


def test_a_folder_without_a_harness_file_is_wrong_input(tmp_path):
    with pytest.raises(InputError, match="no harness file in this folder"):
        harness_files([tmp_path])


@pytest.mark.parametrize("option", [("--draw", "x.svg"), ("--working", "1")])
def test_what_is_made_for_one_file_is_refused_for_many(folder, option):
    done = call(folder, *option)
    assert done.exit_code == 2
    assert "take a single file" in done.output


def test_a_fault_of_the_program_in_one_file_is_said_and_does_not_stop_the_rest(folder, monkeypatch):
    real = circuitcheck.check_file

    def faulty(path, *given, **named):
        if Path(path).name == "fails.toml":
            raise ZeroDivisionError("boom")
        return real(path, *given, **named)

    monkeypatch.setattr(circuitcheck, "check_file", faulty)
    done = call(folder, "--jobs", "1")
    assert done.exit_code == 2
    assert lines_of(done.output)[0].startswith("!! ")
    assert "ZeroDivisionError: boom" in done.output
    assert len(lines_of(done.output)) == 4


def test_no_line_is_wider_than_the_screen_and_nothing_acts_on_the_terminal(tmp_path):
    file = tmp_path / "a\x1b[31m_file_with_a_long_name.toml"
    file.write_text(FAILS.read_text(encoding="utf-8"), encoding="utf-8")
    shutil.copy(PASSES, tmp_path / "b.toml")
    for arguments in ((), ("--wide",)):
        output = call(tmp_path, *arguments, width=40).output
        assert "\x1b" not in output
        assert max(columns(line) for line in output.splitlines()) <= 40


def test_on_request_every_failing_finding_is_a_line(folder):
    output = re.sub(r"\s+", " ", call(folder, "--wide").output)
    for subject in ("W2", "W3", "W4"):
        assert f"fuse protects wire: {subject}" in output


def test_danger_goes_before_margin_between_files_too():
    drop = FileVerdict("a.toml", "fail", ("voltage drop: VL",), 1, danger=3, margin=-5.0)
    short = FileVerdict("b.toml", "fail", ("dead short cleared: W1",), 1, danger=0, margin=-0.1)
    assert [line.split()[1] for line in lines_of(summary_text([drop, short]))] == [
        "b.toml:",
        "a.toml:",
    ]


def test_progress_goes_to_a_terminal_only_and_is_wiped_out(monkeypatch, capsys):
    verdicts = [FileVerdict("a.toml", "pass"), FileVerdict("b.toml", "pass")]
    assert list(module._with_progress(verdicts, 2)) == verdicts
    assert capsys.readouterr().err == ""
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    assert list(module._with_progress(verdicts, 2)) == verdicts
    shown = capsys.readouterr().err
    assert "\r2 of 2 files" in shown
    assert shown.endswith(f"\r{' ' * len('2 of 2 files')}\r")


@pytest.mark.slow
def test_a_process_that_dies_is_said_of_its_files(tmp_path, monkeypatch):
    # Sixteen files make two turns for two processes.
    files = [tmp_path / f"{number}.toml" for number in range(16)]
    for file in files:
        file.write_text("", encoding="utf-8")
    monkeypatch.setattr("circuitcheck.cli.many_files._judge_turn", _end_of_process, raising=True)
    words = {verdict.word for verdict in judge_all(files, Order(), 2)}
    assert words == {BROKEN_DOWN}


def _end_of_process(*_: object) -> None:
    os._exit(9)
