"""The verdict on a narrow screen: order, content, width, and nothing a terminal would act on."""

from __future__ import annotations

import dataclasses
import re

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding
from circuitcheck.documents.plain_text import columns
from circuitcheck.documents.verdict.verdict_text import verdict_text
from circuitcheck.model.assumption import Assumption


def one_line(text: str) -> str:
    return re.sub(r"\s+", " ", text)


def test_first_line_counts_failures_and_never_says_safe(verdict_of, findings):
    text = verdict_text(verdict_of(*findings))
    assert text.splitlines()[0] == "FAILS: 3 findings"
    assert not re.search(r"\b(safe|OK)\b", text)


def test_one_failure_is_singular(verdict_of, pull_in):
    assert verdict_text(verdict_of(pull_in)).splitlines()[0] == "FAILS: 1 finding"


def test_without_failure_the_first_line_speaks_of_the_checks_run(verdict_of, findings):
    passing = [f for f in findings if f.result == PASS]
    lines = verdict_text(verdict_of(*passing)).splitlines()
    assert lines[0] == "no failure in the checks run"
    assert "not judged" not in lines[1]


def test_what_is_not_judged_is_said_at_the_top_too(verdict_of, findings):
    not_failing = [f for f in findings if f.result != FAIL]
    lines = verdict_text(verdict_of(*not_failing)).splitlines()
    assert lines[:2] == ["no failure in the checks run", "2 not judged, see below"]


def test_failures_come_first_the_worst_margin_first(verdict_of, findings):
    text = verdict_text(verdict_of(*findings))
    order = [
        "wiring complete: X1",
        "coil pull-in: VL",
        "voltage drop: VR",
        "NOT JUDGED",
        "TAKEN",
        "PASSES",
        "NOT CHECKED",
        "CAUTIONS",
    ]
    places = [text.index(words) for words in order]
    assert places == sorted(places)


def test_a_failure_says_everything_a_mechanic_needs(verdict_of, pull_in):
    text = one_line(verdict_text(verdict_of(pull_in)))
    assert "voltage at the coil: 9.31 V" in text
    assert "must be at least 10.2 V (8.71 % short)" in text
    assert "in: key on, left + right, heat-soaked" in text
    assert "when: supply 11.9 V at the battery posts, the lowest; contacts aged" in text
    assert "why: The plunger may not move" in text
    assert "change: W4 and W7 in 12 AWG" in text
    assert "[valve-coil-ranges]" in text


def test_gap_is_printed_only_where_there_is_one(verdict_of, pull_in):
    assert "may be up to 4 mV milder" in one_line(verdict_text(verdict_of(pull_in)))
    closed = dataclasses.replace(pull_in, gap=0.0)
    assert "milder" not in verdict_text(verdict_of(closed))


def test_several_positions_of_one_failure_are_one_entry_the_worst_shown(verdict_of, pull_in):
    milder = dataclasses.replace(pull_in, value=9.9, position="key on, left")
    fine = dataclasses.replace(pull_in, value=10.4, position="key on, right", result=PASS)
    text = one_line(verdict_text(verdict_of(fine, milder, pull_in)))
    assert text.startswith("FAILS: 1 finding ")
    assert "9.31 V" in text
    assert "9.9 V" not in text
    assert "and in 1 more case" in text


def test_the_line_of_the_file_is_given_for_a_fault_of_the_wiring(verdict_of, findings, harness):
    line = harness.line_of["part X1"]
    fault = next(f for f in findings if f.place == "part X1")
    assert f"line: {line} of the file (part X1)" in one_line(verdict_text(verdict_of(fault)))


def test_the_same_missing_rating_of_two_parts_is_asked_for_once(verdict_of, findings):
    text = one_line(verdict_text(verdict_of(*findings)))
    assert text.count("no DC inductive rating is given") == 1
    assert "switch rating: GRIP, SW2" in text


def test_unknown_values_are_named_with_what_to_measure(verdict_of, findings):
    text = one_line(verdict_text(verdict_of(*findings)))
    assert "VR, resistance: 6.5 ohm measure: the coil cold, unplugged" in text


def test_passes_are_summed_up_and_listed_on_request(verdict_of, findings):
    short = one_line(verdict_text(verdict_of(*findings)))
    assert "fuse continuous load: 1 tightest: (6) F1 current in the fuse: 2.9 A" in short
    assert "at most 3.75 A (22.7 % left)" in short
    second = dataclasses.replace(findings[0], subject="F2", value=1.0)
    assert "F2" not in verdict_text(verdict_of(*findings, second))
    assert "F2" in verdict_text(verdict_of(*findings, second), every=True)


def test_what_checks_leave_out_and_the_cautions_are_always_there(verdict_of, findings):
    for chosen in (findings, findings[:1]):
        text = one_line(verdict_text(verdict_of(*chosen)))
        assert "coil pull-in: ageing of the spring" in text
        assert "radio interference" in text
        assert "PWM" in text
        assert "No ohmmeter on a live circuit" in text
        assert "seat-switch, brake, engine-stop or airbag" in text
        assert "ISO 25119" in text


def test_value_and_limit_that_differ_never_look_the_same(verdict_of):
    close = Finding("c", "F1", FAIL, "current", "why", value=3.75001, limit=3.75, unit="A")
    text = one_line(verdict_text(verdict_of(close)))
    assert "current: 3.75001 A must be at most 3.75 A" in text


@pytest.mark.parametrize("width", [24, 40, 57, 80])
def test_no_line_is_wider_than_asked(verdict_of, findings, width):
    long = dataclasses.replace(
        findings[1],
        subject="A" * 24,
        quantity="Donaudampfschifffahrtsgesellschaftskapitaensmuetze " * 2,
        fix="x" * 300,
        position="key on, " + "very_long_button_name_x" * 3,
        reason="水" * 60,
    )
    verdict = verdict_of(*findings, long, circuit="c" * 120, file="/".join(["folder"] * 30))
    for every in (False, True):
        lines = verdict_text(verdict, width=width, every=every).splitlines()
        assert max(columns(line) for line in lines) <= width


@settings(max_examples=50, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(hostile=st.text(max_size=60))
def test_user_text_never_reaches_the_terminal_as_a_command(verdict_of, pull_in, hostile):
    evil = dataclasses.replace(
        pull_in, subject=hostile, position=hostile, reason=hostile, conditions=(hostile,)
    )
    text = verdict_text(verdict_of(evil, circuit=hostile, file=hostile))
    assert all(character.isprintable() or character == "\n" for character in text)
    assert max(columns(line) for line in text.splitlines()) <= 40


def test_escape_sequences_are_spelt_out(verdict_of, pull_in):
    evil = dataclasses.replace(pull_in, subject="V\x1b[2J\x07\u202e")
    assert "V\\x1b[2J\\x07\\u202e" in verdict_text(verdict_of(evil))


def test_colour_only_adds_to_the_words(verdict_of, findings):
    plain = verdict_text(verdict_of(*findings))
    coloured = verdict_text(verdict_of(*findings), colour=True)
    assert "\x1b[31m" in coloured
    assert "\x1b" not in plain
    assert re.sub(r"\x1b\[[0-9]+m", "", coloured) == plain


def test_a_movement_that_can_hurt_stops_the_verdict(verdict_of, harness):
    from circuitcheck import check_harness, read_library

    coil = harness.parts["VL"]
    moves = dataclasses.replace(coil.moves, hazard="steering")
    steering = dataclasses.replace(
        harness, parts={**harness.parts, "VL": dataclasses.replace(coil, moves=moves)}
    )
    verdict = check_harness(steering, read_library())
    assert verdict.word == FAIL
    assert {f.result for f in verdict.findings} == {FAIL}
    text = one_line(verdict_text(verdict))
    assert text.startswith("FAILS: 1 finding")
    assert "STOP A movement here can hurt people" in text
    assert "ISO 13849" in text
    assert "1 FAIL VL works the steering" in text
    assert "PASSES" not in text
    assert "NOT CHECKED" not in text


def test_not_judged_outranks_a_pass_and_a_failure_outranks_both(verdict_of, findings):
    results = [PASS, NOT_JUDGED, FAIL]
    for worst in (1, 2, 3):
        chosen = [f for f in findings if f.result in results[:worst]]
        assert verdict_of(*chosen).word == results[worst - 1]


def test_no_finding_at_all_is_not_a_pass(verdict_of):
    assert verdict_of().word == NOT_JUDGED


def test_a_long_list_of_conditions_is_cut_and_says_so(verdict_of, pull_in):
    many = dataclasses.replace(pull_in, conditions=tuple(f"condition {n}" for n in range(20)))
    short = one_line(verdict_text(verdict_of(many)))
    assert "condition 7; and 12 more (--wide)" in short
    assert "condition 19" in verdict_text(verdict_of(many), every=True)


def test_one_unknown_of_many_wires_is_said_once(verdict_of, findings):
    unknown = [Assumption(f"W{n}", "length", "0.1 m to 10 m", "the wire", True) for n in (1, 2, 3)]
    text = one_line(verdict_text(verdict_of(*findings, assumptions=tuple(unknown))))
    assert "- W1, W2, W3, length: 0.1 m to 10 m measure: the wire" in text
