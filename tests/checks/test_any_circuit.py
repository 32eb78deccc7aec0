"""Any parts on the bench, wired at random: every check has its say, every number is redone."""

from __future__ import annotations

import math
import random

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.run import run_checks
from circuitcheck.documents.verdict.formula_with_units import redone
from circuitcheck.errors import InputError

SPLICE = ("", {"kind": '"splice"'})
KINDS = {
    "button": ("button", ("line", "load")),
    "switch": ("switch", ("line", "load")),
    "coil": ("coil", ("1", "2")),
    "relay": ("relay", ("85", "86", "30", "87")),
    "pull and hold": ("pull and hold", ("hold", "common")),
    "lamp": (("", {"kind": '"indicator lamp"', "type": '"12 V, 1.2 W"'}), ("1", "2")),
    "LED": (
        ("", {"kind": '"LED indicator"', "type": '"12 V, green"', "polarity": '{ plus = "1" }'}),
        ("1", "2"),
    ),
    "diode": (
        ("", {"kind": '"diode"', "type": '"1 A silicon diode, 400 V"'}),
        ("anode", "cathode"),
    ),
    "resistor": (
        ("", {"kind": '"resistor"', "resistance": '"47 ohm"', "power": '"2 W"'}),
        ("1", "2"),
    ),
    "isolator": (("", {"kind": '"isolator"', "type": '"battery isolator 100 A"'}), ("1", "2")),
}
CIRCUITS = 40


def circuit(seed):
    """Two to six parts, each end on one of four places or, now and then, on none."""
    rng = random.Random(seed)
    parts, wires, places = {"A": SPLICE, "B": SPLICE}, [], ["PLUS", "MINUS", "A", "B"]
    for number in range(rng.randint(2, 6)):
        part, ends = KINDS[rng.choice(list(KINDS))]
        parts[f"P{number}"] = part
        wires += [f"P{number}.{end} {rng.choice(places)}" for end in ends if rng.random() < 0.95]
    base = {"charging": '["13 V", "14.9 V"]', "air": '["-10 degC", "45 degC"]'}
    return parts, wires, base | {"key": rng.choice(["on", "always"])}


@pytest.mark.parametrize("seed", range(CIRCUITS))
def test_every_check_has_its_say_and_every_number_can_be_redone(parts, seed):
    what, wires, base = circuit(seed)
    try:
        case = parts(what, wires, **base)
    except InputError:
        return  # too many wires for what the reader takes: no circuit
    for finding in run_checks(case):
        shown = f"{finding.check}, {finding.subject}, {finding.quantity}"
        assert finding.result in (PASS, FAIL, NOT_JUDGED), shown
        if finding.value is None:
            continue
        assert not math.isnan(finding.value), shown
        assert finding.working is not None, shown
        for step in (*finding.working.steps, finding.working):
            assert redone(step, digits=7).endswith(", agrees"), f"{shown}: {step.formula}"


def test_most_of_them_are_circuits(parts):
    read = 0
    for seed in range(CIRCUITS):
        what, wires, base = circuit(seed)
        try:
            parts(what, wires, **base)
        except InputError:
            continue
        read += 1
    assert read > CIRCUITS / 2
