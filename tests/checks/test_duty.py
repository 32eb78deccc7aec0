"""Duty of coils: ED by DIN VDE 0580 as explained in solenoid catalogues, pull windings."""

import pytest

from circuitcheck.checks.duty import CHECK, PRESS, PULL, SHARE
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS

FED = ["PLUS SW.line", "SW.load Y.hold", "Y.common MINUS"]


def on_bench_by_quantity(on_bench, **changes):
    return {f.quantity: f for f in on_bench(CHECK, "VL", **changes)}


@pytest.mark.parametrize(
    ("allowed", "result"),
    [('"25 %"', PASS), ('"24.9 %"', FAIL), ('"unknown"', NOT_JUDGED), ('"continuous"', PASS)],
)
def test_share_of_time_by_hand(on_bench, allowed, result):
    use = 'longest_press = "20 s"\npresses_per_hour = 45'  # 900 s of 3600 s
    share = on_bench_by_quantity(on_bench, use=use, duty=allowed)[SHARE]
    assert share.value == pytest.approx(0.25)
    assert share.result == result


def test_a_press_beyond_300_s_counts_as_held_on(on_bench):
    # terms of DIN VDE 0580, as explained in a solenoid catalogue
    use = 'longest_press = "301 s"\npresses_per_hour = 1'
    assert on_bench_by_quantity(on_bench, use=use, duty='"40 %"')[SHARE].result == FAIL


def test_without_use_a_button_counts_as_held_on(on_bench):
    found = on_bench_by_quantity(on_bench, use="", duty='"40 %"')
    assert (found[SHARE].value, found[SHARE].result) == (1.0, FAIL)
    assert PRESS not in found


@pytest.mark.parametrize(("press", "result"), [(75, PASS), (76, FAIL)])
def test_a_coil_for_a_quarter_of_the_time_stands_75_s_at_a_stretch(on_bench, press, result):
    # 25 % of a cycle of at most 300 s is 75 s, though one press an hour is 2 % of the time
    use = f'longest_press = "{press} s"\npresses_per_hour = 1'
    found = on_bench_by_quantity(on_bench, use=use, duty='"25 %"')
    assert (found[PRESS].value, found[PRESS].limit) == (press, 75.0)
    assert found[PRESS].result == result
    assert found[SHARE].result == PASS


def test_a_coil_made_to_be_held_on_has_no_longest_press(on_bench):
    assert set(on_bench_by_quantity(on_bench)) == {SHARE}


def pull(on_parts, cut_out, longest="2 s", use=""):
    coil = {"cut_out": f'"{cut_out}"', "longest_pull": f'"{longest}"'}
    parts, wires = {"SW": "button", "Y": ("pull and hold", coil)}, FED
    if cut_out != "internal switch":
        parts["S"] = ("", {"kind": '"splice"'})
        wires = ["PLUS SW.line", "SW.load S", "S Y.hold", "S Y.pull", "Y.common MINUS"]
    return on_parts(CHECK, parts, wires, use=use)[f"Y: {PULL}"]


@pytest.mark.parametrize("cut_out", ["internal switch", "outside timer"])
def test_a_pull_winding_that_is_taken_off(on_parts, cut_out):
    found = pull(on_parts, cut_out, use='longest_press = "600 s"')
    assert found.result == PASS
    assert found.conditions == (f"taken off by: {cut_out}",)


@pytest.mark.parametrize(
    ("cut_out", "press", "result"),
    [("none", 2, PASS), ("none", 2.1, FAIL), ("unknown", 2, PASS), ("unknown", 2.1, NOT_JUDGED)],
)
def test_a_pull_winding_that_stays_on(on_parts, cut_out, press, result):
    found = pull(on_parts, cut_out, use=f'longest_press = "{press} s"\npresses_per_hour = 1')
    assert (found.value, found.limit, found.result) == (press, 2.0, result)


def test_how_long_a_pull_winding_stands_is_asked_for(on_parts):
    found = pull(on_parts, "none", longest="unknown")
    assert found.result == NOT_JUDGED
    assert "data sheet" in found.reason


def test_a_pull_winding_held_on_for_good(on_parts):
    assert pull(on_parts, "none").result == FAIL
    unknown = pull(on_parts, "unknown")
    assert unknown.result == NOT_JUDGED
    assert "longest_press" in unknown.reason
