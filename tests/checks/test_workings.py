"""Every finding with numbers can be redone by hand: its formula gives its value or its limit."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.checks.finding import Finding, Working
from circuitcheck.checks.run import open_case, run_checks
from circuitcheck.documents.verdict.formula_with_units import redone
from circuitcheck.read.harness_file import read_harness

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/harness.toml"))
WIDE = {
    "contact": '["0.05 ohm", "0.1 ohm"]',
    "resistance": '{ at_20degC = "10 ohm", tolerance = "10 %" }',
    "charging": '["13 V", "14.9 V"]',
    "coil_air": '["-10 degC", "45 degC"]',
    "air": '["-10 degC", "45 degC"]',
    "present_load": '"3.5 A"',
}
BENCHES = {
    "one coil": {},
    "two coils": {"interlock": "none"},
    "two coils in wide bands": {"interlock": "none", **WIDE},
    "resistor across": {"suppression": '{ kind = "resistor", resistance = "680 ohm" }', **WIDE},
    "reversed diode": {"suppression": '{ kind = "diode", cathode = "2" }', **WIDE},
    "weak": {"interlock": "none", "contact": '"1.5 ohm"', "bond": '"0.5 ohm"', "fuse": "0.2 ohm"},
    "unknown heat": {"thermal": '{ resistance = "unknown" }', **WIDE},
    "held on": {"use": "", **WIDE},
}


def steps_of(working: Working) -> list[Working]:
    return [step for before in working.steps for step in steps_of(before)] + [working]


def held(finding: Finding) -> None:
    """Fail unless a finding's numbers come out of its working."""
    if finding.value is None:
        return
    shown = f"{finding.check}, {finding.subject}, {finding.quantity}"
    assert finding.working is not None, shown
    results = []
    for step in steps_of(finding.working):
        said = redone(step, digits=7)
        assert said.startswith("redone with units: "), f"{shown}: {step.formula}: {said}"
        assert said.endswith(", agrees"), f"{shown}: {step.formula}: {said}"
        results.append(step.result.value)
    numbers = (finding.value, finding.limit)
    assert any(
        number is not None and math.isclose(results[-1], number, rel_tol=1e-6) for number in numbers
    ), shown


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_every_number_of_an_example(path, library):
    for finding in run_checks(open_case(read_harness(path, library), library)):
        held(finding)


def test_every_number_of_the_good_harnesses(good_cases):
    for case in good_cases:
        for finding in run_checks(case):
            held(finding)


@pytest.mark.parametrize("changes", BENCHES.values(), ids=BENCHES)
def test_every_number_on_the_bench(bench, changes):
    findings = run_checks(bench(**changes))
    assert sum(finding.value is not None for finding in findings) > 10
    for finding in findings:
        held(finding)


JOINT = ("", {"kind": '"splice"', "joint_resistance": '"0 ohm"'})
ACROSS = ["PLUS A", "A SW.line", "SW.load B", "A L.1", "L.2 B", "B V.1", "V.2 MINUS"]
INDICATORS = {
    "lamp": {"kind": '"indicator lamp"', "power": '"3 W"', "rated": '"12 V"'},
    "LED": {"kind": '"LED indicator"', "type": '"12 V, green"', "polarity": '{ plus = "1" }'},
    "resistor": {"kind": '"resistor"', "resistance": '{ value = "91 ohm", tolerance = "5 %" }'},
}


@pytest.mark.parametrize("keys", INDICATORS.values(), ids=INDICATORS)
def test_every_number_with_something_across_the_contact(parts, keys):
    what = {"SW": "button", "A": JOINT, "B": JOINT, "V": "coil", "L": ("", keys)}
    for key in ("on", "always"):
        for finding in run_checks(parts(what, ACROSS, key=key)):
            held(finding)


@pytest.mark.parametrize("cut_out", ["internal switch", "none"])
def test_every_number_of_a_pull_and_hold_coil(parts, cut_out):
    coil = ("pull and hold", {"cut_out": f'"{cut_out}"'})
    wires = ["PLUS SW.line", "SW.load S", "S Y.hold", "Y.common MINUS"]
    wires += ["S Y.pull"] if cut_out == "none" else []
    case = parts({"SW": "button", "S": JOINT, "Y": coil}, wires, fuse="40 A")
    for finding in run_checks(case):
        held(finding)


@pytest.mark.parametrize("press", [20, 400])
def test_every_number_of_a_relay_and_its_load(parts, press):
    wires = ["PLUS SW.line", "SW.load K.86", "K.85 MINUS", "PLUS K.30", "K.87 V.1", "V.2 MINUS"]
    use = f'longest_press = "{press} s"\npresses_per_hour = 9'
    for finding in run_checks(parts({"SW": "button", "K": "relay", "V": "coil"}, wires, use=use)):
        held(finding)


@settings(max_examples=12, deadline=None)
@given(
    contact=st.floats(0.0, 5.0),
    pair=st.floats(0.0, 2.0),
    bond=st.floats(0.0, 2.0),
    load=st.floats(0.0, 9.0),
    tolerance=st.sampled_from([0, 5, 20]),
    interlock=st.sampled_from(["none", "mechanical"]),
)
def test_every_number_of_any_bench(bench, contact, pair, bond, load, tolerance, interlock):
    case = bench(
        contact=f'["0 ohm", "{contact:.4f} ohm"]',
        pair=f'["0 ohm", "{pair:.4f} ohm"]',
        bond=f'["0 ohm", "{bond:.4f} ohm"]',
        present_load=f'"{load:.3f} A"',
        resistance=f'{{ at_20degC = "10 ohm", tolerance = "{tolerance} %" }}',
        interlock=interlock,
        charging='["13 V", "14.9 V"]',
    )
    for finding in run_checks(case):
        held(finding)


def formula_of(case, check, subject, words=""):
    for finding in run_checks(case):
        if (finding.check, finding.subject) == (check, subject) and words in finding.quantity:
            return finding.working
    raise AssertionError(f"no finding of {check} on {subject}")


def test_one_path_is_the_plain_loop(bench):
    working = formula_of(bench(), "wire ampacity", "W3")
    # tap fuse, tap wire, key contact, W1, F1, W2, contact, W3, pair, W5, coil, W7, stud, W9
    assert working.formula == f"V_s / ({' + '.join(f'R_{k}' for k in range(1, 15))})"
    named = [term.meaning.split(",")[0] for term in working.terms]
    on_the_way = "TAP/fuse TAP/wire TAP/key_contact W1 F1 W2 GRIP/left W3 X1/1 W5 VL W7 GS1 W9"
    assert named[1:] == [name.replace("_", " ") for name in on_the_way.split()]


def test_two_coils_are_two_chains_between_the_points_they_share(bench):
    # Each coil hangs with its own wires between GRIP.feed and GS1; F1 carries both.
    changes = {"interlock": "none"}
    working = formula_of(bench(**changes), "fuse continuous load", "F1")
    assert working.formula == (
        "(U_1 / (R_1 + R_2 + R_3 + R_4 + R_5 + R_6) + U_1 / (R_7 + R_8 + R_9 + R_10 + R_11 + R_12))"
    )
    shared = working.terms[0]
    assert shared.meaning.startswith("voltage GRIP.feed to GS1")
    # By hand: 10.11 ohm and twice its wires each, both in one with 10 mohm of fuse, the pair and
    # bond, the tap's fuse of 30 A and 8 AWG of 10 mm: I = 12 / (R_branch / 2 + R_shared).
    wire = 0.01 * 1.999e-3
    branch = 10.0 + 0.1 + 0.01 + 3 * wire
    before = 1.6745e-3 + 0.05e-3 + 1e-6 + 0.01 + 3 * wire
    after = 0.01 + wire
    amps = 12.0 / (branch / 2 + before + after)
    assert working.result.value == pytest.approx(amps, rel=1e-5)
    assert shared.value == pytest.approx(amps * branch / 2, rel=1e-5)


def test_a_drop_is_its_own_resistance_times_that_current(bench):
    working = formula_of(bench(), "drop of each element", "GRIP", "left")
    assert working.formula.startswith("R_1 * V_s / (R_2 + ")
    terms = {term.symbol: term.value for term in working.terms}
    assert terms["R_1"] == 0.1
    assert working.result.value == pytest.approx(0.1 * 12.0 / (10.0 + 0.13 + 1.87e-3), rel=1e-4)


def test_a_long_path_is_added_up_so_that_the_formula_stays_readable(harness_text, library):
    stretched = harness_text(
        W3={"to": '"J1"'},
        more="\n".join(
            f'[part.J{k}]\nkind = "splice"\nzone = "boom"\n[wire.L{k}]\nfrom = "J{k}"\n'
            f'to = "{f"J{k + 1}" if k < 60 else "X1.plug.1"}"\ngauge = "14 AWG"\n'
            'insulation = "XLPE 125"\nlength = "0.05 m"\nroute = ["boom"]'
            for k in range(1, 61)
        ),
    )
    case = open_case(read_harness("long", library, text=stretched), library)
    working = formula_of(case, "wire ampacity", "W3")
    assert len(working.formula) < 50
    assert "in series: " in working.terms[-1].meaning
    assert "L60" in working.terms[-1].meaning
    for finding in run_checks(case):
        held(finding)
