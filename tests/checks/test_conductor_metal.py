"""Copper-clad aluminium: less ampacity, less time in a short, and a size that stays aluminium."""

import math
import re

import pytest

from circuitcheck.checks.finding import FAIL, PASS
from circuitcheck.checks.wires.short_cleared import CHECK as SHORT
from circuitcheck.checks.wires.wire_ampacity import CHECK as AMPACITY
from circuitcheck.checks.wires.wire_limit import wire_limit

CLAD = {"material": '"copper-clad aluminium"'}
# 62 % IACS at worst: R / R_copper = 1 / 0.62; heat of a current goes with the resistance.
FACTOR = math.sqrt(0.62)


def test_ampacity_by_hand(judge):
    # 18 AWG at 80 degC: 15 A (33 CFR 183.425, table 5) in air below 30 degC.
    wire = {"gauge": '"18 AWG"', "insulation": '"PVC 80"'}
    cool = {"ambient": '["-10 degC", "5 degC"]'}
    copper = judge(AMPACITY, cab=cool, W2=wire)["W2"]
    clad = judge(AMPACITY, cab=cool, W2={**wire, **CLAD})["W2"]
    assert copper.limit == pytest.approx(15.0)
    assert clad.limit == pytest.approx(15.0 * FACTOR, rel=1e-3)
    assert any("copper-clad aluminium conductor: factor 0.79" in c for c in clad.conditions)
    assert "astm-b566" in clad.sources


def test_the_working_is_the_product_of_its_terms(case_of):
    for change in ({}, CLAD):
        limit = wire_limit(case_of(W2=change), "W2")
        working = limit.working()
        assert working.formula == "I_t * f_a * f_b * f_m"[: 15 + 6 * bool(change)]
        product = math.prod(term.value for term in working.terms)
        assert product == pytest.approx(limit.ampacity_a)
        assert working.result.value == limit.ampacity_a


def test_a_load_that_copper_carries_can_be_too_much(judge):
    # 18 AWG, 60 degC class, 10 A; six in a bundle 0.6, air of 50 degC sqrt(1/3): 3.46 A in copper
    # and 2.73 A in clad aluminium, against a coil of 3.1 A.
    coil = {"resistance": '{ at_20degC = "5.93 ohm", tolerance = "10 %" }'}
    wire = {"gauge": '"18 AWG"', "insulation": '"PVC 60"', "bundled": "6"}
    assert judge(AMPACITY, VL=coil, W5=wire)["W5"].result == PASS
    assert judge(AMPACITY, VL=coil, W5={**wire, **CLAD})["W5"].result == FAIL


def test_a_short_heats_it_sooner(judge):
    copper, clad = (judge(SHORT, W2=change)["W2"] for change in ({}, CLAD))
    (k, *_) = clad.working.terms
    # k = 153 * sqrt(ln((228 + T_final) / (228 + T))), by hand from the temperatures it names
    start, final = (float(c) for c in re.findall(r"(\d+) degC", k.meaning))
    by_hand = 153.0 * math.sqrt(math.log((228.0 + final) / (228.0 + start)))
    assert k.value == pytest.approx(by_hand, rel=0.005)
    assert clad.limit < 0.6 * copper.limit
