"""A finding's working: the formula, its numbers with units, the exact value beside the solver's."""

from __future__ import annotations

import dataclasses
import re

import pytest

from circuitcheck import check_file, solve_harness
from circuitcheck.checks.finding import PASS, Finding, Probe, Term, Working
from circuitcheck.documents.plain_text import columns
from circuitcheck.documents.verdict.formula_with_units import numbers_in, redone
from circuitcheck.documents.verdict.verdict import Verdict
from circuitcheck.documents.verdict.working_text import working_text


def working(formula: str, result: Term, *terms: Term) -> Working:
    return Working(formula, terms, result)


def test_formula_is_shown_with_its_numbers_and_units():
    drop = working("I * R", Term("V_d", 0.35, "V", "drop"), Term("I", 3.5, "A", "current"),
                   Term("R", 0.1, "ohm", "wire"))  # fmt: skip
    assert numbers_in(drop, digits=6) == "(3.5 A) * (100 mohm)"
    assert redone(drop, digits=6) == "redone with units: 350 mV, agrees"


def test_units_are_converted_not_just_multiplied():
    # Energy of a coil: 0.5 L I^2 with 40 mH and 1.5 A is 45 mJ; pint must find that H A2 is J.
    energy = working("0.5 * L * I**2", Term("E", 0.045, "J", "energy"),
                     Term("L", 0.04, "H", "coil"), Term("I", 1.5, "A", "current"))  # fmt: skip
    assert redone(energy, digits=6) == "redone with units: 45 mJ, agrees"


def test_area_in_square_millimetres_and_length_in_metres_meet():
    # R = rho L / A written with a conductivity of 58 m/(ohm mm2): 10 m of 1 mm2 is 0.17241 ohm.
    copper = Term("rho", 0.017241, "ohm/m", "copper, 1 mm2")
    ratio = working("rho * L", Term("R", 0.17241, "ohm", "wire"), copper, Term("L", 10.0, "m", ""))
    assert redone(ratio, digits=6) == "redone with units: 172.41 mohm, agrees"


def test_a_formula_that_does_not_give_the_number_says_so():
    wrong = working("I * R", Term("V_d", 0.36, "V", "drop"), Term("I", 3.5, "A", ""),
                    Term("R", 0.1, "ohm", ""))  # fmt: skip
    assert redone(wrong, digits=6) == "redone with units: 350 mV, differs by 10 mV"


def test_a_formula_with_wrong_units_is_not_passed_off_as_redone_with_units():
    wrong = working("I + R", Term("V_d", 3.6, "V", "drop"), Term("I", 3.5, "A", ""),
                    Term("R", 0.1, "ohm", ""))  # fmt: skip
    assert redone(wrong, digits=6).startswith("redone with plain numbers")


@pytest.mark.parametrize(
    "formula",
    [
        "__import__('os').system('true')",
        "V.real",
        "[V for V in (1,)]",
        "lambda: V",
        "9**9**9**9",
        "V if V else V",
        "the lower of the two",
        "(" * 300,
    ],
)
def test_anything_but_plain_arithmetic_is_refused(formula):
    refused = redone(working(formula, Term("x", 1.0, "V", ""), Term("V", 1.0, "V", "")), digits=6)
    assert refused.startswith("not redone: ")


def test_a_function_of_a_ratio():
    # t = -tau ln(1 - I/I_end): 5 ms, half of the end current: 3.4657 ms.
    rise = working("-tau * ln(1 - I / I_end)", Term("t", 3.4657359e-3, "s", "time"),
                   Term("tau", 5e-3, "s", ""), Term("I", 0.6, "A", ""),
                   Term("I_end", 1.2, "A", ""))  # fmt: skip
    assert redone(rise, digits=5) == "redone with units: 3.4657 ms, agrees"


@pytest.fixture
def solved(harness, library):
    return solve_harness(harness, library)


def test_the_whole_working_of_a_finding(solved, harness, library, pull_in):
    verdict = Verdict(harness, library, (), (pull_in,), solved)
    text = working_text(verdict, 1)
    line = re.sub(r"\s+", " ", text)
    assert "V_c = V_s * R_c / (R_c + R_w)" in line
    assert "V_s = 11.9 V supply at the battery posts" in line
    assert "(11.9 V) * (9 ohm) / ((9 ohm) + (2.5 ohm))" in line
    assert "redone with units: 9.31304 V, agrees" in line
    assert "must be at least 10.2 V: fail" in line
    assert "V1 1 0 13.4 V supply" in line
    exact, ours = re.search(r"exact: .*? = ([0-9.]+) V solver: ([0-9.]+) V", line).groups()
    assert float(ours) == pytest.approx(float(exact), rel=1e-9)
    assert float(re.search(r"relative difference: (\S+)", line)[1]) < 1e-9
    assert max(columns(shown) for shown in text.splitlines()) <= 40


def test_a_current_is_asked_for_by_branch(solved, harness, library, pull_in):
    current = Working("I", (Term("I", 1.3, "A", ""),), Term("I", 1.3, "A", ""),
                      Probe("current", "W3"))  # fmt: skip
    finding = dataclasses.replace(pull_in, working=current)
    line = re.sub(r"\s+", " ", working_text(Verdict(harness, library, (), (finding,), solved), 1))
    assert "current of W3" in line
    assert float(re.search(r"relative difference: (\S+)", line)[1]) < 1e-9


def test_what_has_no_exact_value_says_why(solved, harness, library, pull_in):
    probe = dataclasses.replace(pull_in.working, probe=Probe("current", "no such branch"))
    finding = dataclasses.replace(pull_in, working=probe)
    line = re.sub(r"\s+", " ", working_text(Verdict(harness, library, (), (finding,), solved), 1))
    assert "no exact value: no such branch is not joined to the battery" in line


def test_a_check_without_formula_says_so(harness, library, solved):
    plain = Finding("wiring complete", "X1", PASS, "every end wired", "why")
    text = working_text(Verdict(harness, library, (), (plain,), solved), 1)
    assert "no formula" in text


def test_every_working_of_an_example_can_be_redone(harness):
    verdict = check_file(harness.file)
    shown = [working_text(verdict, entry.number, width=200) for entry in verdict.entries]
    with_formula = [text for text in shown if "no formula to show" not in text]
    assert len(with_formula) > len(shown) / 2
    for text in with_formula:
        assert re.search("redone with units: .*, agrees", text), text
    differences = [
        float(d) for text in shown for d in re.findall(r"relative difference: (\S+)", text)
    ]
    assert len(differences) > 20
    assert max(differences) < 1e-9
