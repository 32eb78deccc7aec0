"""`circuitcheck prove-tap`: from options, from a file, asked one by one; exit codes; JSON."""

from __future__ import annotations

import json
import tomllib
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
    ("changed", "code"),
    [
        ({"--feeds": "brake"}, 1),
        ({"--fuse": "none", "--fuse-drop": "", "--present-load": "2 A"}, 1),
        ({"--cranking": ""}, 3),
        ({"--key-off": "12.5 V"}, 3),
        ({"--load": "LED tester"}, 3),
        ({"--engine-space": "true"}, 0),
        ({"--engine-space": "no"}, 0),
        ({"--open": "x"}, 2),
    ],
)
def test_exit_codes(changed: dict[str, str], code: int) -> None:
    pairs = {**dict(zip(GOOD[::2], GOOD[1::2], strict=True)), **changed}
    done = run(*(word for pair in pairs.items() if pair[1] for word in pair))
    if code == 2:
        assert done.exception is not None
        assert 'got "x"' in str(done.exception)
    else:
        assert done.exit_code == code, done.output


@pytest.mark.parametrize(
    ("changed", "first"),
    [
        (
            {"--fuse": "none", "--fuse-drop": "", "--present-load": "2 A"},
            "Tap TAP must not be used as it is: no fuse is ahead of it; fit one at its source "
            "first.",
        ),
        (
            {"--key-off": "12.5 V"},
            "Tap TAP may be used only for what springs back by itself and moves no machine part, "
            "as far as measured: live with the key off.",
        ),
        (
            {"--key-off": "12.5 V", "--cranking": ""},
            "Tap TAP is not proved yet; at most for what springs back by itself and moves no "
            "machine part: live with the key off.",
        ),
        ({"--feeds": "brake"}, "Tap TAP must not be used: it shares its circuit with the brake."),
        (
            {"--loaded": "0.5 V", "--wanted": "12 A"},
            "Tap TAP must not be used as it is: it does not carry the load; no room for 12 A.",
        ),
    ],
)
@pytest.mark.parametrize("width", [40, 80])
def test_the_first_sentence_has_the_condition(
    changed: dict[str, str], first: str, width: int
) -> None:
    pairs = {**dict(zip(GOOD[::2], GOOD[1::2], strict=True)), **changed}
    done = run(*(word for pair in pairs.items() if pair[1] for word in pair), width=width)
    assert " ".join(done.stdout.split("\n\n")[0].split()) == first
    found = json.loads(
        run(*(word for pair in pairs.items() if pair[1] for word in pair), "--json").stdout
    )
    assert found["headline"] == first
    assert found["verdict"] == {1: "fail", 3: "not judged"}[done.exit_code]


def test_a_circuit_that_never_may_be_tapped_is_not_measured_further() -> None:
    done = run(answers="12 V\n4 A\nairbag\n")
    assert done.exit_code == 1
    assert "not judged" not in done.stdout
    assert "Known load" not in done.stderr


def test_at_the_prompt_nothing_is_lost() -> None:
    """Without a fuse no millivolts are asked for; what does not fit is asked again; `back`."""
    answers = [
        "12", "40 A", "back", "4 A", "wiper", "none", "", "60 degC", "24.6 V", "12.60 V",
        "LED tester", "21 W bulb", "12.50 V", "", "0 V", "0 V", "2 A",
    ]  # fmt: skip
    done = run(answers="\n".join(answers) + "\n", width=40)
    assert done.exit_code == 1, done.output
    said = " ".join(done.stderr.split())
    assert "24.6 V cannot be on a 12 V machine" in said
    assert "The LED tester is no load" in said
    assert "Millivolts" not in said
    assert "lost at 4 A" in done.stdout.replace("\n  ", " ")


def test_many_consumers_are_pasted_in_short_lines() -> None:
    feeds = "wiper, radio, auxiliary socket, lighting"
    pairs = {**dict(zip(GOOD[::2], GOOD[1::2], strict=True)), "--feeds": feeds}
    done = run(*(word for pair in pairs.items() for word in pair), width=40)
    assert max(columns(line) for line in done.stdout.splitlines()) <= 40
    pasted = tomllib.loads(done.stdout[done.stdout.index("[part.TAP]") :])
    assert pasted["part"]["TAP"]["also_feeds"] == feeds.split(", ")


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


def test_a_file_that_is_not_there_is_not_taken_for_a_harness_file() -> None:
    done = run("nowhere.toml")
    assert "there is no such file" in str(done.exception)
    assert "circuitcheck new" not in str(done.exception)


def test_a_harness_file_is_refused_in_one_line() -> None:
    example = Path(__file__).parents[2] / "examples" / "orchard_sprayer" / "harness.toml"
    said = str(run(str(example)).exception)
    assert said.endswith(
        "this is a harness file. Give the readings at the tap in a file of their own, or no file."
    )
    assert "\n" not in said


def test_help_says_how_readings_are_written() -> None:
    said = " ".join(run("--help").stdout.split())
    assert "engine space: yes or no. Left out: yes." in said
    assert "The machine's own fuse; none where there is none (15 A blade)." in said
    assert "seat switch" in said


def test_help_names_every_reading() -> None:
    said = run("--help").stdout
    for option in ("--open", "--loaded", "--posts-open", "--fuse-drop", "--key-contact", "--json"):
        assert option in said
