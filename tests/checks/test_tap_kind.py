"""Tap may be used: what it feeds and when it is live (common practice, no source)."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.supply.tap_kind import CHECK, FEEDS, NEVER_TAP, SWITCHING

FEEDS_KEY, SWITCHING_KEY = f"TAP: {FEEDS}", f"TAP: {SWITCHING}"
STAYS = """[
  { button = "left", action = "maintained", closes = ["feed", "out_left"] },
  { button = "right", action = "momentary", closes = ["feed", "out_right"] },
]"""


def moves(hazard):
    return {"moves": f'{{ hazard = "{hazard}" }}'}


def test_a_key_switched_tap_on_a_harmless_circuit_passes(judge):
    findings = judge(CHECK)
    assert findings[FEEDS_KEY].result == PASS
    assert findings[SWITCHING_KEY].result == PASS


@pytest.mark.parametrize("feed", list(NEVER_TAP)[:-1])
def test_circuits_that_must_not_be_tapped(judge, feed):
    finding = judge(CHECK, TAP={"also_feeds": f'["wiper", "{feed}"]'})[FEEDS_KEY]
    assert finding.result == FAIL
    assert NEVER_TAP[feed] in finding.reason


def test_an_electronic_fuse_is_refused(judge):
    finding = judge(CHECK, upstream={"fuse": '"electronic fuse"'})[FEEDS_KEY]
    assert finding.result == FAIL
    assert "refused" in finding.reason


def test_the_words_are_those_the_reader_accepts(case_of):
    from circuitcheck.read.parts.part_rules import FEEDS as READ

    assert set(NEVER_TAP) < set(READ)


def test_nothing_said_about_what_it_feeds_is_not_judged(judge):
    finding = judge(CHECK, TAP={"also_feeds": None})[FEEDS_KEY]
    assert finding.result == NOT_JUDGED
    assert "pull the machine's fuse" in finding.reason


def test_nothing_else_on_the_tap_passes(judge):
    assert judge(CHECK, TAP={"also_feeds": "[]"})[FEEDS_KEY].result == PASS


@pytest.mark.parametrize(
    ("key", "cranking", "words"),
    [("unknown", "off", "key off"), ("on", "unknown", "cranks")],
)
def test_unknown_switching_says_what_to_measure(judge, key, cranking, words):
    finding = judge(CHECK, upstream={"key": f'"{key}"', "cranking": f'"{cranking}"'})[SWITCHING_KEY]
    assert finding.result == NOT_JUDGED
    assert words in finding.reason


ALWAYS = {"key": '"always"', "cranking": '"on"', "key_contact": None}


def test_always_live_with_buttons_that_spring_back_passes(judge):
    finding = judge(CHECK, upstream=ALWAYS)[SWITCHING_KEY]
    assert finding.result == PASS
    assert "nothing stays on by itself" in finding.reason


def test_always_live_with_a_switch_that_stays_fails(judge):
    finding = judge(CHECK, upstream=ALWAYS, GRIP={"contacts": STAYS})[SWITCHING_KEY]
    assert finding.result == FAIL
    assert "VL" in finding.reason
    assert "VR" not in finding.reason


def test_always_live_with_a_part_that_moves_fails(judge):
    finding = judge(CHECK, upstream=ALWAYS, VR=moves("machine part moves"))[SWITCHING_KEY]
    assert finding.result == FAIL
    assert "VR" in finding.reason
    assert "key out" in finding.reason


def test_always_live_and_movement_unknown_is_not_judged(judge):
    finding = judge(CHECK, upstream=ALWAYS, VR=moves("unknown"))[SWITCHING_KEY]
    assert finding.result == NOT_JUDGED


def test_key_switched_taps_may_hold_a_coil_on(judge):
    assert judge(CHECK, GRIP={"contacts": STAYS})[SWITCHING_KEY].result == PASS
