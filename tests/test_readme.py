"""README shows what the command really prints, and names commands and options that exist."""

from __future__ import annotations

import re
from pathlib import Path

import click
import pytest

from circuitcheck import check_file, verdict_text
from circuitcheck.cli.main import COMMANDS, circuitcheck

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
VERDICT = re.compile(r"<!-- verdict of (examples/\w+) -->\n```\n(.*?)```", re.DOTALL)
USUAL_LINES = 26
IN_CODE = re.compile(r"`circuitcheck ([^`]*)`")
OPTION = re.compile(r"--[a-z][a-z-]+")


def options_of(command: str) -> set[str]:
    found = circuitcheck.get_command(click.Context(circuitcheck), command)
    assert found is not None
    return {name for given in found.params for name in (*given.opts, *given.secondary_opts)}


def rows() -> list[tuple[str, str]]:
    """Command and whole text of each row of the table of commands."""
    found = re.findall(r"^\| `circuitcheck ([a-z-]+).*$", README, flags=re.MULTILINE)
    lines = [line for line in README.splitlines() if line.startswith("| `circuitcheck ")]
    return list(zip(found, lines, strict=True))


def test_the_verdict_shown_is_the_one_printed(monkeypatch: pytest.MonkeyPatch) -> None:
    # Run where README says; a block that is out of date is answered with the right one.
    monkeypatch.chdir(ROOT)
    (shown,) = VERDICT.findall(README)
    example, block = shown
    lines = block.splitlines()
    printed = verdict_text(check_file(f"{example}/harness.toml"), width=80).splitlines()
    right = "\n".join(printed[: max(USUAL_LINES, len(lines))])
    assert len(lines) > 1, f"put this into README's block:\n\n{right}\n"
    assert lines == printed[: len(lines)], f"README's block should begin:\n\n{right}\n"


def test_the_session_shown_is_the_example_s() -> None:
    (found,) = re.findall(
        r"<!-- session of (examples/\w+) -->\n```\n(.*?)```", README, flags=re.DOTALL
    )
    example, block = found
    session = (ROOT / example / "session.txt").read_text(encoding="utf-8")
    parts = block.split("[...]\n")
    assert len(parts) == 2
    assert all(len(part.splitlines()) > 10 and part in session for part in parts)


@pytest.mark.parametrize(("command", "row"), rows())
def test_commands_and_options_of_the_table_exist(command: str, row: str) -> None:
    assert command in COMMANDS
    assert set(OPTION.findall(row)) <= options_of(command)


def test_the_table_names_every_command() -> None:
    assert {command for command, _ in rows()} == set(COMMANDS)


def test_every_command_named_elsewhere_exists_with_its_options() -> None:
    named = [words.split() for words in IN_CODE.findall(README)]
    assert len(named) > len(COMMANDS)
    for command, *words in named:
        assert command in COMMANDS, command
        options = {option for word in words for option in OPTION.findall(word)}
        assert options <= options_of(command), words


def test_the_exit_codes_are_those_of_the_command() -> None:
    said = re.search(r"^Exit codes: (.*)$", README, flags=re.MULTILINE)
    assert said is not None
    for code in ("1 something fails", "3 something could not be judged", "else 0", "2 "):
        assert code in said[1]
