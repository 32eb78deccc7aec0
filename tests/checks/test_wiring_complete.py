"""Wiring complete and protected."""

import pytest

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import FAIL, PASS
from circuitcheck.checks.wires.wiring_complete import CHECK
from circuitcheck.read.harness_file import read_harness

# The check looks at the harness alone: a broken one cannot be solved, and need not be.


@pytest.fixture
def found(harness_text, library):
    def judge(**changes):
        harness = read_harness("harness.toml", library, text=harness_text(**changes))
        return harness, CHECK.judge(Case(harness, library, None, None))

    return judge


def test_the_good_harness_gives_one_pass(found):
    _, findings = found()
    assert [f.result for f in findings] == [PASS]


@pytest.mark.parametrize(
    ("without", "subject", "words"),
    [
        (("W9",), "X1", "open end"),
        (("W10",), "X1", "open end"),
        (("W3",), "GRIP", "open end"),
        (("W2",), "F1", "open end"),
        (("W11",), "VL", "no return"),
        (("W4", "W6", "W8", "VR"), "GRIP", "open end"),
    ],
)
def test_a_missing_wire_fails(found, without, subject, words):
    harness, findings = found(without=without)
    mine = [f for f in findings if f.subject == subject and words in f.quantity]
    assert mine
    assert mine[0].result == FAIL
    assert mine[0].place in harness.line_of


def test_a_coil_fed_at_both_ends_fails(found):
    _, findings = found(W7={"to": '"GRIP.feed"'}, W2={"to": '"S2"'}, more=SPLICE_AT_FEED)
    assert any(f.subject == "VL" and "fed at both ends" in f.quantity for f in findings)


SPLICE_AT_FEED = """
[part.S2]
kind = "splice"
zone = "cab"

[wire.W12]
from = "S2"
to = "GRIP.feed"
gauge = "14 AWG"
length = "0.1 m"
"""


def test_two_wires_in_one_cavity_fail(found):
    _, findings = found(W4={"to": '"X1.plug.1"'})
    assert any(f.subject == "X1" and "too many wires" in f.quantity for f in findings)


def test_a_fuse_with_a_wire_round_it_fails(found):
    bridge = '[wire.W12]\nfrom = "F1.line"\nto = "F1.load"\ngauge = "14 AWG"\nlength = "0.1 m"\n'
    _, findings = found(more=bridge)
    assert any(f.subject == "F1" and "bridged fuse" in f.quantity for f in findings)


def test_a_tap_said_to_have_no_fuse_fails(found):
    _, findings = found(upstream={"fuse": '"none"'})
    assert any(f.subject == "TAP" and "unprotected feed" in f.quantity for f in findings)


def test_a_connector_that_nothing_is_connected_to_fails(found):
    _, findings = found(more='[part.X9]\nkind = "connector"\ncavities = 2\ncontact = "unknown"\n')
    assert [f.subject for f in findings if "not connected" in f.quantity] == ["X9"]


def test_every_failure_says_what_to_do(found):
    for finding in found(without=("W9",))[1]:
        assert finding.result == FAIL
        assert finding.reason.strip().endswith(".")
