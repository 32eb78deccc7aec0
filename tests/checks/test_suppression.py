"""Suppressors: fitted, and the right way round in every position."""

import pytest

from circuitcheck import open_case, read_harness
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.suppression import CHECK


def diode(cathode, kind="diode"):
    return f'{{ kind = "{kind}", cathode = "{cathode}", reverse = "400 V", forward = "3 A" }}'


def by_quantity(on_bench, **changes):
    return {f.quantity: f for f in on_bench(CHECK, "VL", **changes)}


def test_a_bare_coil_fails_with_its_energy(on_bench):
    found = by_quantity(on_bench, suppression='"none"')
    fitted = found["suppressor fitted"]
    assert fitted.result == FAIL
    assert fitted.sources == ("common-practice",)
    # 60 mH at 1.184 A: 42 mJ
    assert any(c.startswith("energy at switch-off up to 42.1 mJ") for c in fitted.conditions)
    assert "polarity" not in found


def test_unknown_is_not_judged_and_says_how_to_find_out(on_bench):
    for value in (None, '{ kind = "unknown" }'):
        found = by_quantity(on_bench, suppression=value)["suppressor fitted"]
        assert found.result == NOT_JUDGED
        assert "fused lead of 5 A or less" in found.reason


@pytest.mark.parametrize("kind", ["diode", "diode + Zener"])
def test_the_right_way_round(on_bench, kind):
    found = by_quantity(on_bench, suppression=diode("1", kind))
    assert found["suppressor fitted"].result == PASS
    assert found["polarity"].result == PASS


@pytest.mark.parametrize(
    ("kind", "said"),
    [("diode", "a short that blows the fuse"), ("diode + Zener", "the coil is unsuppressed")],
)
def test_the_wrong_way_round(on_bench, kind, said):
    found = by_quantity(on_bench, suppression=diode("2", kind))["polarity"]
    assert found.result == FAIL
    assert said in found.reason
    assert found.conditions == ("positive end: 1", "cathode on: 2")


def test_swapped_coil_wires_turn_the_diode_round(on_bench):
    swapped = {"W5_to": "VL.2", "W7_from": "VL.1"}
    assert by_quantity(on_bench, suppression=diode("1"), **swapped)["polarity"].result == FAIL
    assert by_quantity(on_bench, suppression=diode("2"), **swapped)["polarity"].result == PASS


def test_unknown_cathode_leans_on_the_plus_mark(on_bench):
    unknown = '{ kind = "diode", cathode = "unknown" }'
    alone = by_quantity(on_bench, suppression=unknown)["polarity"]
    assert alone.result == NOT_JUDGED
    assert "cathode (ring)" in alone.reason
    for plus, result in (("1", PASS), ("2", FAIL)):
        marked = by_quantity(on_bench, suppression=unknown, polarity=f'{{ plus = "{plus}" }}')
        assert marked["polarity"].result == result


def test_a_marked_coil_without_diode(on_bench):
    resistor = '{ kind = "resistor", resistance = "100 ohm", power = "5 W" }'
    assert "polarity" not in by_quantity(on_bench, suppression=resistor)
    for plus, result in (("1", PASS), ("2", FAIL)):
        found = by_quantity(on_bench, suppression=resistor, polarity=f'{{ plus = "{plus}" }}')
        assert found["polarity"].result == result


REVERSING = """[
  { button = "left", action = "momentary", closes = ["feed", "a"] },
  { button = "left", action = "momentary", closes = ["ret", "b"] },
  { button = "right", action = "momentary", closes = ["feed", "b"] },
  { button = "right", action = "momentary", closes = ["ret", "a"] },
]"""


@pytest.mark.parametrize(
    ("suppression", "result"),
    [
        ('{ kind = "diode", cathode = "1" }', FAIL),
        ('{ kind = "diode + Zener", cathode = "2" }', FAIL),
        ('{ kind = "resistor", resistance = "100 ohm", power = "5 W" }', None),
    ],
)
def test_a_coil_worked_both_ways_round(harness_text, library, suppression, result):
    text = harness_text(
        GRIP={"contacts": REVERSING},
        VL={"suppression": suppression, "polarity": None},
        W3={"from": '"GRIP.a"', "to": '"VL.1"'},
        W4={"from": '"GRIP.b"', "to": '"VL.2"'},
        W10={"from": '"GRIP.ret"'},
        without=("VR", "X1", "S1", "W5", "W6", "W7", "W8", "W9"),
    )
    case = open_case(read_harness("reversing.toml", library, text=text), library)
    found = {f.quantity: f for f in CHECK.judge(case)}
    assert found["suppressor fitted"].result == PASS
    if result is None:
        assert "polarity" not in found
        return
    assert found["polarity"].result == result
    wrong = "key on, right" if 'cathode = "1"' in suppression else "key on, left"
    assert found["polarity"].position == wrong
