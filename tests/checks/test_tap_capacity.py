"""Tap capacity: present load and add-on against the machine's fuse, wire and key contact."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.supply.tap_capacity import CHECK

AT_45C = 1.0 - 0.05 * 20.0 / 35.0
FUSE = "TAP: present load and add-on together, through the machine's fuse"
WIRE = "TAP: present load and add-on together, through the machine's wire"
KEY = "TAP: present load and add-on together, through the key contact"


def load(amps):
    return {"upstream": {"present_load": f'"{amps} A"'}}


def test_room_to_spare_passes(judge):
    findings = judge(CHECK)
    fuse = findings[FUSE]
    assert fuse.result == PASS
    assert fuse.limit == pytest.approx(0.75 * 15.0 * AT_45C)
    # By hand: 3.5 A at 12 V is 3.43 ohm, at 14.9 V 4.35 A less a little drop; the coil 2.56 A.
    assert fuse.value == pytest.approx(3.5 * 14.9 / 12.0 + 2.564, rel=0.01)
    assert findings[WIRE].result == PASS
    assert findings[KEY].limit == 30.0


@pytest.mark.parametrize(("amps", "result"), [(6.8, PASS), (6.85, FAIL)])
def test_just_inside_and_just_outside(judge, amps, result):
    # By hand: (10.93 A - 2.56 A) * 12 / 14.9 = 6.74 A, and the drop upstream lets a little more.
    finding = judge(CHECK, **load(amps))[FUSE]
    assert finding.value == pytest.approx(finding.limit, rel=5e-3)
    assert finding.result == result


def test_nominal_passes_but_worst_case_fails(judge, case_of):
    finding = judge(CHECK, **load(8))[FUSE]
    solved = case_of(**load(8)).solution.of(finding.position, finding.coil_state)
    assert solved.current_a("TAP/fuse").nominal < finding.limit < finding.value
    assert finding.result == FAIL


def test_unknown_present_load_is_not_judged_and_says_how_to_measure(judge):
    finding = judge(CHECK, upstream={"present_load": '"unknown"'})["TAP"]
    assert finding.result == NOT_JUDGED
    assert "clamp meter" in finding.reason
    assert "millivolts across the fuse" in finding.reason


def test_unknown_fuse_is_not_judged(judge):
    finding = judge(CHECK, upstream={"fuse": '"unknown"'})["TAP"]
    assert finding.result == NOT_JUDGED
    assert "pull fuses" in finding.reason


def test_thin_machine_wire_fails_by_itself(judge):
    thin = {"gauge": '"20 AWG"', "insulation": '"PVC 60"'}
    findings = judge(CHECK, upstream=thin)
    assert findings[FUSE].result == PASS
    assert findings[WIRE].result == FAIL
    assert findings[WIRE].limit == pytest.approx(3.7 * (15.0 / 30.0) ** 0.5)


def test_unknown_machine_wire_is_not_failed_on_a_guess(judge):
    findings = judge(CHECK, upstream={"gauge": '"unknown"'})
    results = {f.result for f in findings.values()}
    assert FAIL not in results
    assert NOT_JUDGED in results


def test_key_contact_with_its_rating(judge):
    small = '{ resistance = ["1 mohm", "5 mohm"], rated_current = "6 A" }'
    assert judge(CHECK, upstream={"key_contact": small})[KEY].result == FAIL
