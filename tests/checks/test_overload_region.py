"""Overload region: ISO 8820-3 demands no opening below 135 %; ISO 6722: 6 h at 50 K above class."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.wires.fuse_protects_wire import CHECK as PROTECTS
from circuitcheck.checks.wires.overload_region import CHECK

COLD_FUSE = 1.0 + 0.12 * (25.0 + 10.0) / (25.0 + 40.0)  # -10 degC between -40 (1.12) and 25 degC


def fuse(amps):
    return {"rating": f'"{amps} A"'}


def wire(gauge, insulation="PVC 105", bundled=1):
    return {"gauge": f'"{gauge}"', "insulation": f'"{insulation}"', "bundled": str(bundled)}


def test_good_harness_passes(judge):
    finding = judge(CHECK)["W2"]
    assert finding.result == PASS
    assert finding.value == pytest.approx(1.35 * 5.0 * COLD_FUSE)
    assert "No load here" in finding.reason


def test_settles_where_heat_made_is_heat_shed(judge):
    finding = judge(CHECK, F1=fuse(10), W3=wire("16 AWG"))["W3"]
    terms = {term.symbol: term.value for term in finding.working.terms}
    # 155 degC: PVC 105 and 50 K, air of 50 degC. By hand, thin wall of 2.9 mm: the surface is at
    # about 140 degC, h 16.2 W/m2K and radiation 9.9: 26.1 * 9.11e-3 m * 90 K = 21.4 W/m.
    assert terms["q"] == pytest.approx(21.4, rel=0.05)
    assert finding.limit == pytest.approx((terms["q"] / terms["r"]) ** 0.5)


@pytest.mark.parametrize(("coldest", "result"), [("-10", PASS), ("-40", FAIL)])
def test_a_cold_fuse_lets_more_pass_than_a_wire_in_a_bundle_stands(judge, coldest, result):
    """Just inside and just outside; at its nominal 25 degC the fuse would pass."""
    # 16 AWG of 105 degC in a bundle of 7: 25 A * sqrt(55 / 75) / 2 = 10.7 A, a 10 A fuse is no
    # more. Yet it may let 1.35 * 10 A pass for good, 12 % more at -40 degC.
    change = {
        "cab": {"ambient": f'["{coldest} degC", "45 degC"]'},
        "F1": fuse(10),
        "W3": wire("16 AWG", bundled=7),
    }
    finding = judge(CHECK, **change)["W3"]
    assert judge(PROTECTS, **change)["W3"].result == PASS
    assert finding.result == result
    if result == FAIL:
        assert finding.value == pytest.approx(1.35 * 10.0 * 1.12)
        assert "settles at 161" in finding.reason
    assert finding.limit > 1.35 * 10.0


def test_too_large_a_fuse_fails_here_too(judge):
    change = {"F1": fuse(20), "upstream": {"fuse": '"20 A blade"'}, "W3": wire("20 AWG")}
    assert judge(PROTECTS, **change)["W3"].result == FAIL
    assert judge(CHECK, **change)["W3"].result == FAIL


def test_unknown_size_is_not_failed_on_a_guess(judge):
    unknown = {"gauge": '"16 AWG"', "insulation": '"unknown"', "bundled": "7"}
    change = {"cab": {"ambient": '["-40 degC", "45 degC"]'}, "F1": fuse(10), "W3": unknown}
    finding = judge(CHECK, **change)["W3"]
    assert finding.result == NOT_JUDGED
    assert "would fail as assumed" in finding.reason


def test_hotter_air_than_the_insulation_stands_is_not_judged(judge):
    hot = {"boom": {"ambient": '["-10 degC", "110 degC"]'}, "W6": wire("14 AWG")}
    finding = judge(CHECK, **hot)["W6"]
    assert finding.result == NOT_JUDGED
    assert "wire ampacity" in finding.reason
