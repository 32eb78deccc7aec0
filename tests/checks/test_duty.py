"""Duty of coils: ED by DIN VDE 0580 as explained in solenoid catalogues."""

import pytest

from circuitcheck.checks.coils.duty import CHECK, PRESS, SHARE
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS


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
