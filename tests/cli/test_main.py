"""The command as a whole: exit codes, errors in words, nothing loaded that was not asked for."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import click
import pytest

from circuitcheck.cli import main as cli

EXAMPLES = Path(__file__).parents[2] / "examples"
EXAMPLE = str(EXAMPLES / "orchard_sprayer" / "harness.toml")


@pytest.fixture
def run(capsys):
    def call(*arguments: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as leaving:
            cli.main(arguments)
        shown = capsys.readouterr()
        return int(leaving.value.code or 0), shown.out, shown.err

    return call


def python(*arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *arguments],
        capture_output=True,
        text=True,
        check=False,
        encoding="utf-8",
        errors="replace",
        env={**os.environ, **environment},
    )


def test_help_lists_every_command(run):
    code, out, _ = run("--help")
    assert code == 0
    for command in cli.COMMANDS:
        assert command in out
    assert "Exit codes" in out


def test_every_command_in_the_list_exists_and_has_help(run):
    for command in cli.COMMANDS:
        code, out, _ = run(command, "--help")
        assert code == 0
        assert f"circuitcheck {command}" in out


def test_nothing_asked_for_is_wrong_usage(run):
    code, out, err = run()
    assert (code, out) == (2, "")
    assert "Usage" in err


@pytest.mark.parametrize(
    "arguments",
    [("chek",), ("check",), ("check", EXAMPLE, "--jso"), ("check", EXAMPLE, "--working", "x"),
     ("library",)],
)  # fmt: skip
def test_wrong_usage_is_2(run, arguments):
    code, out, err = run(*arguments)
    assert (code, out) == (2, "")
    assert "circuitcheck: " in err
    assert "Traceback" not in err


@pytest.mark.parametrize("place", ["missing.toml", ".", "no/such/folder/x.toml"])
def test_a_file_that_cannot_be_opened_is_2_with_its_name(run, tmp_path, monkeypatch, place):
    monkeypatch.chdir(tmp_path)
    code, out, err = run("check", place)
    assert (code, out) == (2, "")
    assert place in err


def test_all_problems_of_a_file_are_printed_each_with_its_line(run, tmp_path):
    bad = tmp_path / "bad.toml"
    text = Path(EXAMPLE).read_text(encoding="utf-8")
    text, count = re.subn(r'^rating = "[0-9.]+ A"$', 'rating = "5"', text, flags=re.MULTILINE)
    assert count == 1
    bad.write_text(text.replace("[use]", "[usage]"), encoding="utf-8")
    code, out, err = run("check", str(bad))
    assert (code, out) == (2, "")
    lines = err.splitlines()
    assert len(lines) >= 2
    assert all(line.startswith(f"{bad}:") for line in lines)
    assert any("part F1, rating" in line for line in lines)


def test_escape_sequences_in_names_are_not_acted_on(run):
    for arguments in (("check", "x\x1b[31m.toml"), ("\x1b[2Jcheck",), ("check", "--\x1b[1m")):
        code, out, err = run(*arguments)
        assert code == 2
        assert "\x1b" not in out + err
        assert "\\x1b" in err


def test_a_name_that_is_no_text_is_refused_in_words():
    done = python("-m", "circuitcheck", "check", os.fsdecode(b"\xff\xfe.toml"))
    assert done.returncode == 2
    assert "Traceback" not in done.stderr


def test_a_stop_from_the_keyboard_is_no_verdict(run, monkeypatch):
    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(cli.circuitcheck, "main", stop)
    code, out, err = run("check", EXAMPLE)
    assert (code, out) == (130, "")
    assert err == "stopped\n"


def test_a_fault_of_the_program_is_2_and_never_looks_like_a_verdict(run, monkeypatch):
    def break_down(*_: object, **__: object) -> None:
        raise ZeroDivisionError("boom")

    monkeypatch.setattr(cli.circuitcheck, "main", break_down)
    code, out, err = run("check", EXAMPLE)
    assert (code, out) == (2, "")
    assert "a fault in circuitcheck itself" in err
    assert "ZeroDivisionError: boom" in err


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
def test_a_terminal_of_another_character_set_is_no_obstacle(tmp_path, encoding):
    file = tmp_path / "harness.toml"
    text = Path(EXAMPLE).read_text(encoding="utf-8")
    file.write_text(text.replace("orchard sprayer", "Obstsprühgerät №7 水"), encoding="utf-8")
    done = python("-m", "circuitcheck", "check", str(file), PYTHONIOENCODING=encoding)
    assert done.returncode in (0, 1, 3)
    assert "Traceback" not in done.stderr
    assert done.stderr == ""


def test_python_m_circuitcheck_is_the_command():
    done = python("-m", "circuitcheck", "--help")
    assert done.returncode == 0
    assert "Usage: circuitcheck" in done.stdout


def test_a_reader_that_goes_away_leaves_no_traceback():
    command = f"{sys.executable} -m circuitcheck check '{EXAMPLE}' --json | head -c 1"
    done = subprocess.run(["sh", "-c", command], capture_output=True, text=True, check=False)
    assert done.stderr == ""


HEAVY = ("numpy", "pint", "matplotlib", "lcapy", "sympy", "scipy")


@pytest.mark.parametrize(
    ("arguments", "unwanted"),
    [
        (["--help"], HEAVY),
        (["check", "--help"], HEAVY),
        (["library", "16", "AWG"], HEAVY[1:]),
        (["check", EXAMPLE], HEAVY[1:]),
        (["check", EXAMPLE, "--json"], HEAVY[1:]),
    ],
)
def test_nothing_heavy_is_loaded_unless_asked_for(arguments, unwanted):
    script = (
        "import sys\n"
        "from circuitcheck.cli.main import main\n"
        "try:\n    main(sys.argv[2:])\n"
        "except SystemExit:\n    pass\n"
        "print('LOADED', [m for m in sys.argv[1].split() if m in sys.modules])"
    )
    done = python("-c", script, " ".join(unwanted), *arguments)
    assert "LOADED []" in done.stdout


@pytest.mark.parametrize(
    ("misspelt", "meant"),
    [("chek", "check"), ("wirelist", "wire-list"), ("Draw", "draw"), ("libary", "library")],
)
def test_a_misspelt_command_is_answered_with_the_nearest(run, misspelt, meant):
    code, out, err = run(misspelt, EXAMPLE)
    assert (code, out) == (2, "")
    assert f'Did you mean "{meant}"' in err


def test_a_file_in_the_place_of_a_command_is_answered_with_the_command(run):
    code, _, err = run(EXAMPLE)
    assert code == 2
    assert f"To judge that file: circuitcheck check {EXAMPLE}" in err


def test_a_word_that_is_no_command_at_all_is_answered_with_the_list(run):
    _, _, err = run("frobnicate")
    assert f"Commands: {', '.join(cli.COMMANDS)}." in err


@pytest.mark.parametrize(
    ("misspelt", "meant"), [("--jso", "--json"), ("--untis", "--units"), ("--no-color", "colour")]
)
def test_a_misspelt_option_is_answered_with_the_nearest(run, misspelt, meant):
    code, _, err = run("check", EXAMPLE, misspelt)
    assert code == 2
    assert "Did you mean" in err
    assert meant in err


def test_every_option_of_every_command_says_what_it_does():
    context = click.Context(cli.circuitcheck)
    for name in cli.COMMANDS:
        for given in cli.circuitcheck.get_command(context, name).params:
            if isinstance(given, click.Option):
                assert given.help, (name, given.name)
                assert given.help.endswith((".", "`.")), (name, given.name)
