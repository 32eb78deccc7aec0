"""Fuse ageing: the guide of fuse makers, share of the melting I2t over many pulses."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.fuses.fuse_ageing import CHECK, QUANTITY
from circuitcheck.checks.fuses.pulse_share import not_listed, pulse_limit

BOTH = {"interlock": '{ kind = "none", between = ["left", "right"] }'}


def use(press, per_hour, life="5000 h"):
    return {
        "longest_press": press and f'"{press}"',
        "presses_per_hour": per_hour and f"{per_hour}",
        "service_life": life and f'"{life}"',
    }


def coils(ohm):
    row = {"resistance": f'{{ at_20degC = "{ohm} ohm", tolerance = "10 %" }}'}
    return {"VL": row, "VR": row}


def aged(case_of, **changes):
    return {finding.subject: finding for finding in CHECK.judge(case_of(**changes))}


SMALL = {"GRIP": BOTH, **coils(6.0)}
"""Both coils draw 6.0 A to 6.5 A: 125 % to 135 % of what F1 is worth."""


def test_good_harness_never_has_more_than_its_fuse_holds(judge):
    finding = judge(CHECK)["F1"]
    assert finding.result == PASS
    assert finding.limit == pytest.approx(1.10 * 5.0 * (1.0 - 0.05 * 20.0 / 35.0))
    assert 2.0 < finding.value < finding.limit


def test_each_press_above_110_percent_ages_the_fuse(case_of):
    # 9 A for 0.12 s is 10 A2s; a 5 A fuse melts at 26 A2s: more than the share listed.
    finding = aged(case_of, GRIP=BOTH, **coils(4.2), use=use("0.12 s", 60))["F1"]
    assert finding.result == FAIL
    amps = float(finding.conditions[0].split("presses, ")[1].split(" A")[0])
    assert finding.value == pytest.approx(amps**2 * 0.12 / 26.0, rel=0.02)


def test_a_long_press_is_held_against_the_i2t_that_opens_the_fuse_then(case_of):
    # For 0.7 s: at up to 135 % a blade fuse is sure to hold for 0.75 s (ISO 8820-3), so that it
    # takes more than the 26 A2s of a short pulse to open it.
    finding = aged(case_of, **{**SMALL, "use": use("0.7 s", 60)})["F1"]
    assert finding.result == FAIL
    assert finding.value == pytest.approx(0.7 / 0.75, rel=1e-3)


def test_pulse_shares_of_the_list(library):
    # Guide of fuse makers: 22, 29, 38, 48 % for 100 000, 10 000, 1 000, 100 pulses.
    for number, percent in ((100_000, 22), (10_000, 29), (1_000, 38), (100, 48), (7, 48)):
        assert pulse_limit(library, number) == pytest.approx(percent / 100.0)
    # Half way in logarithms by hand: sqrt(29 * 38) = 33.2 %.
    assert pulse_limit(library, 10**3.5) == pytest.approx(0.332, rel=1e-3)
    assert pulse_limit(library, 300_000) == pytest.approx(0.22 / 3.0)
    assert (not_listed(library, 300_000), not_listed(library, 5_000)) == (0.22, 0.0)


def lamps(on_parts, count, fuse, use_text):
    """Lamps of 21 W straight behind a fuse; 1.67 A each at 13.5 V, 9.1 to 13.7 times that cold."""
    lamp = {"kind": '"indicator lamp"', "type": '"12 V, 21 W"'}
    parts = {f"H{n}": ("", lamp) for n in range(count)}
    wires = [wire for n in range(count) for wire in (f"PLUS H{n}.1", f"H{n}.2 MINUS")]
    return on_parts(CHECK, parts, wires, fuse=fuse, use=use_text)


DAILY = 'longest_press = "20 s"\npresses_per_hour = 1\nservice_life = "10000 h"'


def test_cold_filaments_are_a_pulse_for_a_small_fuse(on_parts):
    found = lamps(on_parts, 4, "7.5 A", DAILY)
    finding = found[f"F1: {QUANTITY}"]
    # Four lamps, 12 V over cold filaments of up to 14 times the current: 70 A to 105 A at first.
    assert 70.0 < float(finding.conditions[0].split("presses, ")[1].split(" A")[0]) < 105.0
    assert finding.limit == pytest.approx(0.29)
    assert finding.value < 100.0**2 * 0.05 / 60.0  # no more than cold for all of 50 ms
    assert finding.value > 0.1
    larger = lamps(on_parts, 4, "20 A", DAILY)[f"F1: {QUANTITY}"]
    assert larger.result == PASS
    assert larger.value < finding.value / 5.0


def test_style_without_melting_i2t_is_not_judged_where_a_press_is_a_pulse(case_of):
    mini = {**SMALL, "F1": {"style": '"mini blade"'}, "use": use("0.7 s", 60)}
    finding = aged(case_of, **mini)["F1"]
    assert finding.result == NOT_JUDGED
    assert "melting I2t" in finding.reason


def test_number_of_presses_not_known_is_not_judged(case_of):
    finding = aged(case_of, **{**SMALL, "use": use("0.7 s", 60, life=None)})["F1"]
    assert finding.result == NOT_JUDGED
    assert "service_life" in finding.reason
