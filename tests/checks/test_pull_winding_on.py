"""Pull windings: on until a switch, a timer or nothing takes them off. Times are invented."""

import pytest

from circuitcheck.checks.coils.pull_winding_on import CHECK, QUANTITY
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS


def pull(on_parts, cut_out, *, longest="2 s", use="", timer=None):
    coil = {"cut_out": f'"{cut_out}"', "longest_pull": f'"{longest}"', "timer": timer}
    wires = ["PLUS SW.line", "SW.load Y.hold", "Y.common MINUS"]
    parts = {"SW": "button", "Y": ("pull and hold", coil)}
    if cut_out != "internal switch":
        parts["S"] = ("", {"kind": '"splice"'})
        wires = ["PLUS SW.line", "SW.load S", "S Y.hold", "S Y.pull", "Y.common MINUS"]
    return on_parts(CHECK, parts, wires, use=use)[f"Y: {QUANTITY}"]


def test_a_switch_inside_takes_it_off(on_parts):
    found = pull(on_parts, "internal switch", use='longest_press = "600 s"')
    assert found.result == PASS
    assert found.conditions == ("taken off by: internal switch",)


@pytest.mark.parametrize(
    ("timer", "result"),
    [('["0.5 s", "2 s"]', PASS), ('["0.5 s", "2.01 s"]', FAIL), ('"3 s"', FAIL)],
)
def test_a_timer_counts_with_its_longest_time(on_parts, timer, result):
    found = pull(on_parts, "outside timer", timer=timer, use='longest_press = "600 s"')
    assert (found.limit, found.result) == (2.0, result)
    assert found.value == found.working.result.value


def test_nominal_passes_worst_case_fails(on_parts):
    found = pull(on_parts, "outside timer", timer='["1 s", "2.5 s"]')
    assert (1.0 + 2.5) / 2.0 < found.limit < found.value
    assert found.result == FAIL


def test_how_long_a_timer_leaves_it_on_is_asked_for(on_parts):
    found = pull(on_parts, "outside timer")
    assert found.result == NOT_JUDGED
    assert "clamp ammeter" in found.reason


@pytest.mark.parametrize(
    ("cut_out", "press", "result"),
    [("none", 2, PASS), ("none", 2.1, FAIL), ("unknown", 2, PASS), ("unknown", 2.1, NOT_JUDGED)],
)
def test_without_one_it_is_on_as_long_as_the_button(on_parts, cut_out, press, result):
    found = pull(on_parts, cut_out, use=f'longest_press = "{press} s"\npresses_per_hour = 1')
    assert (found.value, found.limit, found.result) == (press, 2.0, result)


def test_how_long_it_stands_is_asked_for(on_parts):
    for cut_out, timer in (("none", None), ("outside timer", '"1 s"')):
        use = 'longest_press = "1 s"'
        found = pull(on_parts, cut_out, longest="unknown", timer=timer, use=use)
        assert found.result == NOT_JUDGED
        assert "data sheet" in found.reason


def test_a_button_that_may_be_held_for_good(on_parts):
    assert pull(on_parts, "none").result == FAIL
    unknown = pull(on_parts, "unknown")
    assert unknown.result == NOT_JUDGED
    assert "longest_press" in unknown.reason
