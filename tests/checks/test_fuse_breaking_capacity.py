"""Fuse breaking capacity and voltage rating: IEC 60364-4-43, 434.5.1."""

import pytest

from circuitcheck.checks.finding import FAIL, PASS
from circuitcheck.checks.fuses.fuse_breaking_capacity import CHECK, STRONGEST, VOLTAGE

# F1 on a short lead from the battery post, and a wire from the frame to the other post.
DIRECT = {"without": ("TAP", "upstream"), "W1": {"from": '"BAT.+"'}}
ALTERNATOR_A = 90.0  # of the 60 Ah battery's row; all of it counts for the fault


def strongest_by_hand():
    """12.8 V over 3 mohm inside, leads at -10 degC and new contacts, and the alternator [A]."""
    cold = (234.5 - 10.0) / 254.5
    leads = (0.15 * 8.037e-3 + 0.4 * 1.999e-3) * cold
    contacts = [0.05 + 0.1, 0.85 * 17.85 + 0.6, 0.1 + 0.05 + 0.05]
    return 12.8 / (3e-3 + leads + sum(contacts) * 1e-3) + ALTERNATOR_A


def test_strongest_short_right_behind_the_fuse(judge):
    finding = judge(CHECK, **DIRECT)[f"F1: {STRONGEST}"]
    assert finding.result == PASS
    assert finding.limit == 1000.0
    assert finding.value == pytest.approx(strongest_by_hand(), rel=1e-3)


@pytest.mark.parametrize(("spare_a", "result"), [(+1.0, PASS), (-1.0, FAIL)])
def test_just_inside_and_just_outside(judge, spare_a, result):
    amps = judge(CHECK, **DIRECT)[f"F1: {STRONGEST}"].value + spare_a
    own = {"breaking_capacity": f'"{amps:.2f} A"'}
    assert judge(CHECK, F1=own, **DIRECT)[f"F1: {STRONGEST}"].result == result


@pytest.mark.parametrize(("rated", "result"), [("14.9 V", PASS), ("14.8 V", FAIL)])
def test_voltage_rating(judge, rated, result):
    finding = judge(CHECK, F1={"voltage_rating": f'"{rated}"'})[f"F1: {VOLTAGE}"]
    assert finding.value == 14.9
    assert finding.result == result


def test_a_long_machine_wire_weakens_the_short(judge):
    near = judge(CHECK, **DIRECT)[f"F1: {STRONGEST}"].value
    assert judge(CHECK)[f"F1: {STRONGEST}"].value < near
