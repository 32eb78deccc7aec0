"""Suppressors: fitted, and the right way round in every position."""

import pytest

from circuitcheck import open_case, read_harness
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.release.suppression import CHECK


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


def parts_with(on_parts, kind, parts, wires, **coil):
    joint = ("", {"kind": '"splice"'})
    what = {"SW": "button", "A": joint, "B": joint, "V": (kind, coil), **parts}
    first, last = ("86", "85") if kind == "relay" else ("1", "2")
    fed = ["PLUS SW.line", "SW.load A", f"A V.{first}", f"V.{last} B", "B MINUS"]
    if kind == "relay":
        what["L"] = "coil"
        fed += ["PLUS V.30", "V.87 L.1", "L.2 MINUS"]
    return on_parts(CHECK, what, [*fed, *wires])


DIODE = ("", {"kind": '"diode"', "type": '"1 A silicon diode, 400 V"'})


@pytest.mark.parametrize("kind", ["coil", "relay"])
def test_a_diode_wired_across_the_coil_counts(on_parts, kind):
    bare = {"suppression": '"none"', "polarity": None} if kind == "coil" else {}
    right = parts_with(on_parts, kind, {"D": DIODE}, ["A D.cathode", "D.anode B"], **bare)
    assert right["V: suppressor fitted"].result == PASS
    assert right["V: suppressor fitted"].conditions[0] == "suppression: diode D"
    assert right["V: polarity of D"].result == PASS
    wrong = parts_with(on_parts, kind, {"D": DIODE}, ["A D.anode", "D.cathode B"], **bare)
    assert wrong["V: polarity of D"].result == FAIL
    assert "a short" in wrong["V: polarity of D"].reason


def test_a_diode_in_line_suppresses_nothing(on_parts):
    parts = {"SW": "button", "D": DIODE, "V": ("coil", {"suppression": '"none"'})}
    found = on_parts(CHECK, parts, ["PLUS SW.line", "SW.load D.anode", "D.cathode V.1",
                                    "V.2 MINUS"])  # fmt: skip
    assert found["V: suppressor fitted"].result == FAIL


def test_a_resistor_wired_across_counts_and_has_no_polarity(on_parts):
    resistor = ("", {"kind": '"resistor"', "resistance": '"100 ohm"', "power": '"2 W"'})
    bare = {"suppression": '"none"', "polarity": None}
    found = parts_with(on_parts, "coil", {"R": resistor}, ["A R.1", "R.2 B"], **bare)
    assert found["V: suppressor fitted"].result == PASS
    assert set(found) == {"V: suppressor fitted"}


def test_a_tvs_has_no_polarity(on_bench):
    found = by_quantity(on_bench, suppression='"bidirectional TVS"')
    assert found["suppressor fitted"].result == PASS
    assert "polarity" not in found


@pytest.mark.parametrize(("own", "result"), [('"none"', FAIL), (None, NOT_JUDGED),
                                             ('"resistor"', PASS)])  # fmt: skip
def test_relays_are_asked_too(on_parts, own, result):
    found = parts_with(on_parts, "relay", {}, [], suppression=own)
    assert found["V: suppressor fitted"].result == result


def test_a_relay_with_a_diode_inside_the_wrong_way_round(on_parts):
    inside = {"suppression": '{ kind = "diode", cathode = "85" }'}
    assert parts_with(on_parts, "relay", {}, [], **inside)["V: polarity"].result == FAIL
    inside = {"suppression": '{ kind = "diode", cathode = "86" }'}
    assert parts_with(on_parts, "relay", {}, [], **inside)["V: polarity"].result == PASS


def test_a_pull_and_hold_coil(on_parts):
    parts = {"SW": "button", "Y": ("pull and hold", {"polarity": '{ plus = "hold" }'})}
    found = on_parts(CHECK, parts, ["PLUS SW.line", "SW.load Y.hold", "Y.common MINUS"])
    assert found["Y: suppressor fitted"].result == FAIL
    assert found["Y: polarity"].result == PASS
