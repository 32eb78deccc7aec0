"""Current of switch contacts against ratings that count, and against those that do not."""

import pytest

from circuitcheck.checks.contacts.switch_rating import CHECK
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS

# 12 V over the coil, 0.1 ohm of contact, 0.01 ohm each of fuse, pair and bond, and the rest of the
# feed at the lower ends of its library rows
AMPS = 12.0 / (10.13 + 1.6745e-3 + 0.05e-3 + 1e-6 + 7 * 0.01 * 1.999e-3)


def rating(*rows):
    shown = [f'{{ current = "{a} A", voltage = "{v} V", load = "{load}" }}' for a, v, load in rows]
    return f"[{', '.join(shown)}]"


def left(on_bench, **changes):
    return next(f for f in on_bench(CHECK, "GRIP", **changes) if "GRIP/left" in f.quantity)


@pytest.mark.parametrize(("amps", "result"), [(1.19, PASS), (1.18, FAIL)])
def test_dc_inductive_at_the_systems_voltage(on_bench, amps, result):
    found = left(on_bench, rating=rating((amps, 12, "DC inductive")))
    assert found.value == pytest.approx(AMPS, rel=1e-5)  # 1.1844 A
    assert (found.limit, found.result) == (amps, result)
    assert any("VL (diode)" in c for c in found.conditions)


def test_working_is_the_plain_loop(on_bench):
    found = left(on_bench)
    terms = {term.symbol: term.value for term in found.working.terms}
    assert found.working.formula.startswith("V_s / (R_1 + R_2")
    assert eval(found.working.formula, {}, terms) == pytest.approx(AMPS, rel=1e-5)


def test_the_best_of_several_that_count(on_bench):
    both = rating((1, 28, "DC inductive"), (5, 14, "DC inductive"), (20, 250, "AC"))
    assert left(on_bench, rating=both).limit == 5.0
    on_24_v = {
        "system": "24 V", "battery": "24 V flooded, 100 Ah", "rated": "24 V",
        "resistance": '{ at_20degC = "40 ohm", tolerance = "0 %" }',
        "engine_off": '["24 V", "24 V"]', "charging": '["28 V", "28 V"]',
    }  # fmt: skip
    assert left(on_bench, rating=both, **on_24_v).limit == 1.0


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ([(10, 250, "AC")], "arc of alternating current"),
        ([(10, 14, "DC resistive")], "40% of the resistive"),
    ],
)
def test_other_loads_do_not_count(on_bench, rows, said):
    found = left(on_bench, rating=rating(*rows))
    assert found.result == NOT_JUDGED
    assert found.limit is None
    assert said in found.reason
    assert "ask for the DC inductive rating" in found.reason


def test_a_rating_for_less_voltage_does_not_count(on_bench):
    found = left(
        on_bench,
        system="24 V",
        battery="24 V flooded, 100 Ah",
        rated="24 V",
        engine_off='["24 V", "24 V"]',
        charging='["28 V", "28 V"]',
        rating=rating((5, 14, "DC inductive")),
    )
    assert found.result == NOT_JUDGED
    assert "no DC inductive rating for 24 V or more" in found.reason


def test_more_than_a_resistive_rating_fails_all_the_same(on_bench):
    found = left(on_bench, rating=rating((1, 12, "DC resistive")))
    assert (found.result, found.limit) == (FAIL, 1.0)
    # a resistive rating at more than the system's voltage says nothing that way
    assert left(on_bench, rating=rating((1, 28, "DC resistive"))).result == NOT_JUDGED


def test_an_unknown_rating(on_bench):
    found = left(on_bench, rating='"unknown"')
    assert found.result == NOT_JUDGED
    assert "GRIP has no rating: ask for the DC inductive rating" in found.reason


def test_nominal_passes_and_worst_case_fails(on_bench, bench):
    changes = {
        "resistance": '{ at_20degC = "10 ohm", tolerance = "10 %" }',
        "charging": '["13 V", "14.9 V"]',
        "coil_air": '["-10 degC", "45 degC"]',
        "rating": rating((1.5, 14, "DC inductive")),
    }
    found = left(on_bench, **changes)
    solved = bench(**changes).solution.of(found.position, found.coil_state)
    assert solved.current_a("GRIP/left").nominal < 1.5 < found.value
    # the coldest, lowest coil on the highest supply: 9 ohm x 224.5 / 254.5
    assert found.value == pytest.approx(14.9 / (9.0 * 224.5 / 254.5 + 0.1319), rel=1e-3)
    assert found.result == FAIL


def test_one_finding_per_contact(bench):
    assert sorted(f.quantity for f in CHECK.judge(bench(interlock="none"))) == [
        "current of contact GRIP/left",
        "current of contact GRIP/right",
    ]
