"""A harness, verdicts on it from findings made by hand; reference solvers importable."""

from __future__ import annotations

import dataclasses
import sys
from pathlib import Path

import pytest

from circuitcheck import read_harness, read_library
from circuitcheck.checks.check import Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding, Probe, Term, Working
from circuitcheck.documents.verdict.verdict import Verdict
from circuitcheck.model.assumption import Assumption
from circuitcheck.solve.worst_case import Solution

TESTS = str(Path(__file__).parents[1])
if TESTS not in sys.path:
    sys.path.insert(0, TESTS)

EXAMPLE = Path(__file__).parents[2] / "examples" / "orchard_sprayer" / "harness.toml"

PULL_IN = Finding(
    check="coil pull-in",
    subject="VL",
    result=FAIL,
    quantity="voltage at the coil",
    reason="The plunger may not move on a weak battery.",
    position="key on, left + right",
    coil_state="heat-soaked",
    value=9.312,
    limit=10.2,
    unit="V",
    at_most=False,
    conditions=("supply 11.9 V at the battery posts, the lowest", "contacts aged"),
    sources=("valve-coil-ranges",),
    fix="W4 and W7 in 12 AWG (were 16 AWG): voltage at the coil then 10.9 V",
    gap=0.004,
    working=Working(
        "V_s * R_c / (R_c + R_w)",
        (
            Term("V_s", 11.9, "V", "supply at the battery posts"),
            Term("R_c", 9.0, "ohm", "coil"),
            Term("R_w", 2.5, "ohm", "wires"),
        ),
        Term("V_c", 11.9 * 9.0 / 11.5, "V", "voltage at the coil"),
        Probe("voltage", "VL.1", "VL.2"),
    ),
)
FINDINGS = (
    Finding("fuse continuous load", "F1", PASS, "current in the fuse", "why", value=2.9, limit=3.75,
            unit="A", position="key on, left", coil_state="cold start"),
    dataclasses.replace(PULL_IN, position="key on, left", value=9.9),
    PULL_IN,
    Finding("wiring complete", "X1", FAIL, "open end", "Nothing works.", place="part X1"),
    Finding("voltage drop", "VR", FAIL, "voltage drop", "why", value=10.4, limit=10.0, unit="%"),
    Finding("switch rating", "GRIP", NOT_JUDGED, "rating", "no DC inductive rating is given"),
    Finding("switch rating", "SW2", NOT_JUDGED, "rating", "no DC inductive rating is given"),
)  # fmt: skip
CHECKS = (
    Check("coil pull-in", "voltage", "why", "ageing of the spring", (), lambda case: []),
    Check("voltage drop", "voltage", "why", "cranking", (), lambda case: []),
)


@pytest.fixture(scope="session")
def library():
    return read_library()


@pytest.fixture
def harness(library):
    read = read_harness(EXAMPLE, library)
    unknown = Assumption("VR", "resistance", "6.5 ohm", "the coil cold, unplugged", True)
    return dataclasses.replace(read, assumptions=(unknown, *read.assumptions))


@pytest.fixture
def verdict_of(harness, library):
    def make(*findings: Finding, **changed: object) -> Verdict:
        return Verdict(
            dataclasses.replace(harness, **changed),
            library,
            CHECKS,
            tuple(findings),
            Solution(harness, library, (), {}),
        )

    return make


@pytest.fixture
def findings() -> tuple[Finding, ...]:
    return FINDINGS


@pytest.fixture
def pull_in() -> Finding:
    return PULL_IN
