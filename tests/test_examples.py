"""Every example gives the verdict that its expected.toml states: public calls and command."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import tomllib
from functools import lru_cache
from pathlib import Path

import pytest

from circuitcheck import Verdict, check_file
from circuitcheck.checks.finding import FAIL, NOT_JUDGED
from circuitcheck.checks.register import CHECKS
from circuitcheck.cli.main import main

EXAMPLES = Path(__file__).parents[1] / "examples"
NAMES = sorted(path.name for path in EXAMPLES.iterdir() if path.is_dir())


@lru_cache(maxsize=len(NAMES))
def verdict(name: str) -> Verdict:
    return check_file(EXAMPLES / name / "harness.toml")


def expected(name: str) -> dict:
    return tomllib.loads((EXAMPLES / name / "expected.toml").read_text(encoding="utf-8"))


def by_check(pairs: set[tuple[str, str]]) -> dict[str, list[str]]:
    return {
        check: sorted(subject for name, subject in pairs if name == check)
        for check in {name for name, _ in pairs}
    }


def of_result(name: str, result: str) -> set[tuple[str, str]]:
    return {(f.check, f.subject) for f in verdict(name).findings if f.result == result}


def test_there_are_at_least_four_and_each_has_its_files() -> None:
    assert len(NAMES) >= 4
    for name in NAMES:
        files = {path.name for path in (EXAMPLES / name).iterdir()}
        assert {"harness.toml", "expected.toml", "README.md"} <= files, name


@pytest.mark.parametrize("name", NAMES)
def test_verdict_by_the_public_call(name: str) -> None:
    wanted = expected(name)
    assert set(wanted) == {"verdict", "exit_code", "not_judged", "failing"}
    assert verdict(name).word == wanted["verdict"]
    assert by_check(of_result(name, FAIL)) == wanted["failing"]
    assert sorted(map(list, of_result(name, NOT_JUDGED))) == wanted["not_judged"]
    assert not verdict(name).is_stopped


@pytest.mark.parametrize("name", NAMES)
def test_verdict_by_the_command(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    wanted = expected(name)
    with pytest.raises(SystemExit) as left:
        main(["check", str(EXAMPLES / name / "harness.toml"), "--json"])
    assert left.value.code == wanted["exit_code"]
    printed = capsys.readouterr()
    assert printed.err == ""
    record = json.loads(printed.out)
    assert record["verdict"] == wanted["verdict"]
    failing = {(f["check"], f["part"]) for f in record["findings"] if f["result"] == FAIL}
    assert by_check(failing) == wanted["failing"]
    told = {f["check"] for f in record["findings"]}
    assert told <= {check.name for check in CHECKS}
    # a check that applies to no part of an example says nothing
    assert len(told) > 15
    assert record["positions"]


def test_the_command_as_a_process_of_its_own() -> None:
    path = EXAMPLES / "hay_rake_wrong_fuse" / "harness.toml"
    done = subprocess.run(
        [sys.executable, "-m", "circuitcheck", "check", str(path)],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert done.returncode == 1
    assert done.stdout.startswith("FAILS")
    assert done.stderr == ""


@pytest.mark.parametrize("name", NAMES)
def test_a_failing_example_is_told_what_would_pass(name: str) -> None:
    failing = [f for f in verdict(name).findings if f.result == FAIL]
    assert not failing or any("no single change" not in finding.fix for finding in failing)


@pytest.mark.parametrize("name", NAMES)
def test_readme_tells_a_story_and_what_to_expect(name: str) -> None:
    text = (EXAMPLES / name / "README.md").read_text(encoding="utf-8")
    title, story, expect, *more = text.strip().split("\n\n")
    assert title.startswith("# ")
    assert len(story.splitlines()) == 3
    assert expect.startswith("**Expect:**")
    assert re.findall(r"exit code (\d)", expect) == [str(expected(name)["exit_code"])]
    for file in re.findall(r"`([\w/]+\.(?:toml|txt))`", " ".join(more)):
        assert (EXAMPLES / name / file).is_file(), file


@pytest.mark.parametrize("name", NAMES)
def test_harness_file_opens_with_its_story(name: str) -> None:
    lines = (EXAMPLES / name / "harness.toml").read_text(encoding="utf-8").splitlines()
    story = [line for line in lines[: lines.index("")] if line.startswith("# ")]
    assert 2 <= len(story) <= 4
    assert all(len(line) <= 100 for line in lines[: len(story)])


@pytest.mark.parametrize("name", NAMES)
def test_the_diagram_is_drawn(name: str, tmp_path: Path) -> None:
    from circuitcheck.drawing import draw

    path = tmp_path / "diagram.svg"
    draw(verdict(name).harness, path, verdict(name).findings)
    svg = path.read_text(encoding="utf-8")
    assert svg.lstrip().startswith("<?xml")
    assert svg.rstrip().endswith("</svg>")
    assert len(svg) > 10_000
