"""Copper in a crimp against the range of the contact, areas as library/conductors.csv has them."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.wires.wire_fit import CHECK


def cavity(on_bench, name="X1.plug.1", **changes):
    findings = on_bench(CHECK, "X1", **changes)
    return next(f for f in findings if f.quantity.endswith(f" in {name}"))


@pytest.mark.parametrize(
    ("gauge", "result", "limit", "at_most"),
    [
        ("2.5 mm2", PASS, 2.5, True),  # 2.8 mm sealed: 0.5 to 2.5 mm2
        ("3 mm2", FAIL, 2.5, True),
        ("0.5 mm2", PASS, 2.5, True),
        ("0.35 mm2", FAIL, 0.5, False),
        ("14 AWG", PASS, 2.5, True),  # SAE: 1.876 mm2
        ("12 AWG", FAIL, 2.5, True),  # 2.956 mm2
        ("22 AWG", FAIL, 0.5, False),  # 0.324 mm2
    ],
)
def test_one_wire(on_bench, gauge, result, limit, at_most):
    found = cavity(on_bench, W3_gauge=f'"{gauge}"')
    assert (found.result, found.limit, found.at_most) == (result, limit, at_most)
    if gauge.endswith("mm2"):
        assert found.value == pytest.approx(float(gauge.split()[0]))


@pytest.mark.parametrize(("gauge", "result"), [("1 mm2", PASS), ("1.5 mm2", FAIL)])
def test_double_crimp_adds_the_areas(on_bench, gauge, result):
    found = cavity(
        on_bench,
        double='double_crimps = ["plug.1"]',
        W3_gauge=f'"{gauge}"',
        W4_gauge=f'"{gauge}"',
        W4_to="X1.plug.1",
    )
    assert found.value == pytest.approx(2 * float(gauge.split()[0]))
    assert found.result == result
    assert found.quantity == "area of wire W3 + W4 in X1.plug.1"
    assert "double crimp: the areas add up" in found.conditions


def test_both_halves_are_looked_at(on_bench):
    changes = {"W3_gauge": '"1 mm2"', "W5_gauge": '"4 mm2"'}
    assert cavity(on_bench, "X1.plug.1", **changes).result == PASS
    assert cavity(on_bench, "X1.receptacle.1", **changes).result == FAIL


def test_unknown_family_is_not_judged(on_bench):
    found = cavity(on_bench, family='"unknown"')
    assert found.result == NOT_JUDGED
    assert "wire range of that contact" in found.reason


def test_cavities_without_a_wire_say_nothing(bench):
    assert len(CHECK.judge(bench())) == 4
