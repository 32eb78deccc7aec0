"""Current of connector contacts, derated for their air by the square law of heating."""

import math

import pytest

from circuitcheck.checks.contacts.connector_rating import CHECK
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS

# round size 20: 7.5 A (library/contacts.csv); class of 100 degC (SAE/USCAR-2, from memory)
SIZE_20 = '"round size 20"'


def contact(on_bench, amps=5.4, **changes):
    coil = 12.0 / amps - 0.1319  # the loop without the coil
    resistance = f'{{ at_20degC = "{coil:.4f} ohm", tolerance = "0 %" }}'
    findings = on_bench(CHECK, "X1", family=SIZE_20, resistance=resistance, **changes)
    return next(f for f in findings if f.quantity == "current of contact X1/1")


@pytest.mark.parametrize(("amps", "result"), [(7.4, PASS), (7.6, FAIL)])
def test_in_cool_air_the_rated_current(on_bench, amps, result):
    found = contact(on_bench, amps)
    assert found.value == pytest.approx(amps, rel=1e-3)
    assert (found.limit, found.result) == (7.5, result)


@pytest.mark.parametrize(("amps", "result"), [(5.3, PASS), (5.5, FAIL)])
def test_in_60_degc_derated(on_bench, amps, result):
    # the rise left is 40 K of 77 K: I falls with its root, 7.5 A -> 5.41 A
    found = contact(on_bench, amps, air='["20 degC", "60 degC"]')
    assert found.limit == pytest.approx(7.5 * math.sqrt(40.0 / 77.0))
    assert found.limit == pytest.approx(5.41, abs=0.005)
    assert found.result == result
    terms = {term.symbol: term.value for term in found.working.terms}
    assert eval(found.working.formula, {}, terms) == pytest.approx(found.limit)


def test_air_hotter_than_the_contact_may_be(on_bench):
    found = contact(on_bench, 1.0, air='["20 degC", "110 degC"]')
    assert found.result == FAIL
    assert "hotter than a contact may ever be" in found.reason


def test_unknown_family_is_not_judged(on_bench):
    found = on_bench(CHECK, "X1", family='"unknown"')[0]
    assert found.result == NOT_JUDGED
    assert "measure the blade" in found.reason


def test_nominal_passes_and_worst_case_fails(on_bench, bench):
    changes = {"charging": '["12 V", "14.9 V"]', "coil_air": '["-10 degC", "20 degC"]'}
    found = contact(on_bench, 6.0, **changes)
    assert found.result == FAIL
    assert found.value > 7.5
    coil = f'{{ at_20degC = "{12.0 / 6.0 - 0.1319:.4f} ohm", tolerance = "0 %" }}'
    solved = bench(family=SIZE_20, resistance=coil, **changes).solution.of(
        found.position, found.coil_state
    )
    assert solved.current_a("X1/1").nominal < 7.5


def test_common_return_carries_both_coils(judge):
    found = judge(CHECK, GRIP={"interlock": '{ kind = "none", between = ["left", "right"] }'})
    together = found["X1: current of contact X1/3"]
    assert together.position == "key on, left + right"
    single = found["X1: current of contact X1/1"]
    assert together.value == pytest.approx(2 * single.value, rel=0.05)
