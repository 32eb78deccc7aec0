"""Grounds: 0.1 V from stud to battery minus (voltage-drop training page), ways back, bonds."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.wires.ground_path import CHECK, WAY_BACK

WIRE = 0.01 * 2.528e-3  # W9: 10 mm of 8 AWG at its upper end


@pytest.mark.parametrize(("ohm", "result"), [(0.084, PASS), (0.087, FAIL)])
def test_tenth_of_a_volt(on_bench, ohm, result):
    found = on_bench(CHECK, "GS1", bond=f'"{ohm} ohm"')[0]
    # most is lost here when the feed is at its best: 0.1 + 0.01 + 0.01 ohm and 1.87 mohm
    amps = 12.0 / (10.0 + 0.12 + 1.6745e-3 + 0.05e-3 + 1e-6 + 6 * 0.01 * 1.999e-3 + ohm + WIRE)
    assert found.value == pytest.approx(amps * (ohm + WIRE), rel=1e-5)
    assert (found.limit, found.result) == (0.1, result)
    terms = {term.symbol: term.value for term in found.working.terms}
    assert eval(found.working.formula, {}, terms) == pytest.approx(found.value)
    assert found.working.formula.startswith("(R_1 + R_2) * V_s / (")


def test_both_coils_on_one_stud(on_bench):
    changes = {"bond": '"0.06 ohm"'}
    assert on_bench(CHECK, "GS1", **changes)[0].result == PASS
    together = on_bench(CHECK, "GS1", interlock="none", **changes)[0]
    assert together.position == "key on, left + right"
    assert together.result == FAIL


def test_nominal_passes_and_worst_case_fails(on_bench, bench):
    changes = {"bond": '["1 mohm", "0.1 ohm"]'}
    found = on_bench(CHECK, "GS1", **changes)[0]
    solved = bench(**changes).solution.of(found.position, found.coil_state)
    assert solved.between_v("GS1", "BAT.-").nominal < 0.1 < found.value
    assert found.result == FAIL


def test_an_unknown_bond_is_no_pass(on_bench):
    found = on_bench(CHECK, "GS1", bond='"unknown"')[0]
    assert found.result == NOT_JUDGED
    assert "bond of GS1 not known: measure the voltage" in found.reason
    assert any("GS1 bond taken as" in c for c in found.conditions)


def test_the_way_back_is_named(on_bench):
    back = next(f for f in on_bench(CHECK, "VL") if f.quantity == WAY_BACK)
    assert back.result == PASS
    assert back.conditions == ("by W7, GS1, W9",)


def test_a_coil_without_a_way_back_fails(on_bench):
    back = next(f for f in on_bench(CHECK, "VL", W7_to="X1.plug.3") if f.quantity == WAY_BACK)
    assert back.result == FAIL
    assert "stays dead" in back.reason


def test_a_return_by_wire_uses_no_ground(bench):
    subjects = {f.subject for f in CHECK.judge(bench(W7_to="BAT.-", W8_to="BAT.-"))}
    assert subjects == {"VL", "VR"}


BOOM = """
[part.BOOM_FRAME]
kind = "frame"
zone = "boom"
bonds = [{ to = "CHASSIS", resistance = %s }]
[part.G2]
kind = "ground stud"
zone = "boom"
frame = "BOOM_FRAME"
"""


@pytest.mark.parametrize(
    ("bond", "result"),
    [
        ('["1 mohm", "5 mohm"]', PASS),
        ('["1 mohm", "60 mohm"]', FAIL),
        ('"unknown", by = "bolts"', NOT_JUDGED),
        # not even known what joins them: a drawbar eye would fail, a stand-in never does
        ('"unknown"', NOT_JUDGED),
    ],
)
def test_a_hinge_between_two_frames(judge, bond, result):
    found = judge(CHECK, more=BOOM % bond, without=("W9", "W10"), S1={"kind": '"splice"'},
                  W7={"to": '"G2"'}, W8={"to": '"G2"'})["G2"]  # fmt: skip
    assert found.result == result
    assert "bridge it with a strap" in found.reason
