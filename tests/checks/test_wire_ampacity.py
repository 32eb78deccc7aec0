"""Wire ampacity: 33 CFR 183.425 table 5, engine-space factor, ABYC E-11 bundles."""

import math
from dataclasses import replace

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.wires.wire_ampacity import CHECK

THIN = {"gauge": '"18 AWG"', "insulation": '"PVC 80"'}


def test_ampacity_by_hand(judge):
    # 18 AWG at 80 degC: 15 A (33 CFR 183.425, table 5); three in a bundle 0.7 (ABYC E-11); air
    # of 50 degC by sqrt((80 - 50) / (80 - 30)).
    finding = judge(CHECK, W5={**THIN, "bundled": "3"})["W5"]
    assert finding.result == PASS
    assert finding.limit == pytest.approx(15.0 * 0.7 * math.sqrt(30.0 / 50.0))


def test_cooler_air_than_the_table_earns_nothing(judge):
    finding = judge(CHECK, cab={"ambient": '["-10 degC", "5 degC"]'}, W2=THIN)["W2"]
    assert finding.limit == pytest.approx(15.0)


def test_engine_space_factor_is_the_least_derating(judge):
    # 80 degC in an engine space: 0.78 (33 CFR 183.425 note). Air of 45 degC alone gives 0.84.
    finding = judge(CHECK, cab={"engine_space": "true"}, W2=THIN)["W2"]
    assert finding.limit == pytest.approx(15.0 * 0.78)
    # Air of 70 degC leaves less than the table's factor: sqrt(10 / 50) = 0.447.
    hot = {"engine_space": "true", "ambient": '["-10 degC", "70 degC"]'}
    finding = judge(CHECK, cab=hot, W2=THIN)["W2"]
    assert finding.limit == pytest.approx(15.0 * math.sqrt(10.0 / 50.0))


def test_the_hottest_zone_on_the_way_counts(judge):
    hot_boom = {"ambient": '["-10 degC", "75 degC"]'}
    findings = judge(CHECK, boom=hot_boom, W3=THIN, W2=THIN)
    assert findings["W3"].limit == pytest.approx(15.0 * math.sqrt(5.0 / 50.0))
    assert findings["W2"].limit == pytest.approx(15.0 * math.sqrt(35.0 / 50.0))


@pytest.mark.parametrize(("bundled", "result"), [(6, PASS), (7, FAIL)])
def test_just_inside_and_just_outside(judge, bundled, result):
    # 18 AWG, 60 degC class, 10 A; air 50 degC leaves sqrt(10 / 30) = 0.577. With 0.6 for six and
    # 0.5 for seven conductors: 3.46 A and 2.89 A, against a coil of 3.1 A.
    coil = {"resistance": '{ at_20degC = "5.93 ohm", tolerance = "10 %" }'}
    wire = {"gauge": '"18 AWG"', "insulation": '"PVC 60"', "bundled": str(bundled)}
    finding = judge(CHECK, VL=coil, W5=wire)["W5"]
    assert finding.value == pytest.approx(3.1, rel=0.01)
    assert finding.limit == pytest.approx(10.0 * math.sqrt(1 / 3) * {6: 0.6, 7: 0.5}[bundled])
    assert finding.result == result


def test_nominal_passes_but_worst_case_fails(judge, case_of):
    # 10 A * 0.577 * 0.5 = 2.89 A; nominal current 13.4 V / 6.2 ohm is about 2.1 A.
    change = {
        "VL": {"resistance": '{ at_20degC = "6.2 ohm", tolerance = "10 %" }'},
        "W5": {"gauge": '"18 AWG"', "insulation": '"PVC 60"', "bundled": "7"},
    }
    finding = judge(CHECK, **change)["W5"]
    solved = case_of(**change).solution.of(finding.position, finding.coil_state)
    assert solved.current_a("W5").nominal < finding.limit < finding.value
    assert finding.result == FAIL


def test_air_above_the_insulation_leaves_nothing(judge):
    finding = judge(CHECK, boom={"ambient": '["-10 degC", "85 degC"]'}, W5=THIN)["W5"]
    assert finding.limit == 0.0
    assert finding.result == FAIL


def test_a_wire_of_unknown_insulation_passes_or_is_not_judged(judge):
    assert judge(CHECK, W5={"insulation": '"unknown"'})["W5"].result == PASS
    hot = {"ambient": '["-10 degC", "59 degC"]'}
    finding = judge(CHECK, boom=hot, W5={"gauge": '"18 AWG"', "insulation": '"unknown"'})["W5"]
    assert finding.result == NOT_JUDGED
    assert "insulation" in finding.reason
    assert "printed on the wire" in finding.reason


def test_a_size_without_a_row_is_not_judged(case_of):
    case = case_of()
    rows = tuple(row for row in case.library.ampacities if row.name != "8 AWG")
    case = replace(case, library=replace(case.library, ampacities=rows))
    findings = {finding.subject: finding for finding in CHECK.judge(case)}
    assert findings["W11"].result == NOT_JUDGED
    assert "8 AWG" in findings["W11"].reason
    assert "data sheet" in findings["W11"].reason
    assert findings["W5"].result == PASS


def test_return_wires_are_judged_too(judge):
    findings = judge(CHECK)
    for wire in ("W7", "W8", "W9", "W10", "W11"):
        assert findings[wire].result == PASS
    assert "TAP/wire" not in findings  # judged by tap capacity
