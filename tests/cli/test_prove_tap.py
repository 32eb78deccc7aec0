"""`circuitcheck prove-tap`: from options, from a file, asked one by one; exit codes; JSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from circuitcheck.cli.main import circuitcheck
from circuitcheck.documents.plain_text import columns

GOOD = (
    "--system", "12 V", "--wanted", "4 A", "--feeds", "wiper", "--fuse", "15 A blade",
    "--gauge", "14 AWG", "--insulation", "PVC 105", "--length", "1.8 m", "--air", "60 degC",
    "--open", "12.60 V", "--load", "21 W bulb", "--loaded", "12.52 V", "--key-off", "0.02 V",
    "--cranking", "0.01 V", "--fuse-drop", "12.0 mV",
)  # fmt: skip


def run(*arguments: str, answers: str | None = None, width: int = 80) -> Result:
    return CliRunner(env={"COLUMNS": str(width)}).invoke(
        circuitcheck, ["prove-tap", *arguments], input=answers
    )


def test_options_give_a_verdict_and_lines_to_paste() -> None:
    done = run(*GOOD)
    assert done.exit_code == 0, done.output
    assert done.stdout.startswith("Tap TAP may be used")
    assert '[part.TAP.upstream]\nfuse = "15 A blade"\ngauge = "14 AWG"' in done.stdout
    assert 'key = "on"' in done.stdout


@pytest.mark.parametrize(
    ("changed", "code"), [({"--feeds": "brake"}, 1), ({"--cranking": ""}, 3), ({"--open": "x"}, 2)]
)
def test_exit_codes(changed: dict[str, str], code: int) -> None:
    pairs = {**dict(zip(GOOD[::2], GOOD[1::2], strict=True)), **changed}
    done = run(*(word for pair in pairs.items() if pair[1] for word in pair))
    if code == 2:
        assert done.exception is not None
        assert 'got "x"' in str(done.exception)
    else:
        assert done.exit_code == code, done.output


def test_json_has_the_uncertainty_with_its_budget() -> None:
    found = json.loads(run(*GOOD, "--json").stdout)
    assert found["verdict"] == "pass"
    assert {one["answer"] for one in found["answers"]} == {"yes", "no"}
    budget = sum(part["standard_ohm"] ** 2 for part in found["source_resistance"]["budget"])
    assert budget**0.5 == pytest.approx(found["source_resistance"]["standard_uncertainty_ohm"])


def test_a_phone_shows_every_line_whole() -> None:
    for line in run(*GOOD, width=40).stdout.splitlines():
        assert columns(line) <= 40


def test_asked_one_by_one_a_wrong_answer_is_asked_again() -> None:
    answers = [
        "12 V", "4 A", "wiper", "15 A blade", "14 AWG", "PVC 105", "1.8 m", "60 degC", "no",
        "12,6 V", "12.60 V", "21 W bulb", "12.52 V", "", "", "", "", "12 mV",
    ]  # fmt: skip
    done = run(answers="\n".join(answers) + "\n")
    assert done.exit_code == 3, done.output
    assert "with a point, not a comma" in done.stderr
    assert "Implement lowered and blocked" in done.stderr.replace("\n  ", " ")
    assert "dead with the key off: not judged" in done.stdout


def test_a_file_and_an_option_that_stands_before_it(tmp_path: Path) -> None:
    path = tmp_path / "tap.toml"
    path.write_text('system = "12 V"\nfeeds = ["wiper"]\nopen = "12.6 V"\n', encoding="utf-8")
    assert "it feeds wiper" in run(str(path)).stdout
    done = run(str(path), "--feeds", "seat switch")
    assert done.exit_code == 1
    assert "seat switch" in done.stdout


def test_help_names_every_reading() -> None:
    said = run("--help").stdout
    for option in ("--open", "--loaded", "--posts-open", "--fuse-drop", "--key-contact", "--json"):
        assert option in said
