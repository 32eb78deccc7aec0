"""The JSON form against its contract, key by key."""

from __future__ import annotations

import dataclasses
import json
import math

import pytest

from circuitcheck import solve_harness
from circuitcheck.checks.finding import FAIL, Finding
from circuitcheck.documents.verdict.verdict import Verdict
from circuitcheck.documents.verdict.verdict_json import verdict_json

POSITION = {
    "name": str,
    "coil_state": str,
    "supply_v": dict,
    "currents_a": dict,
    "voltages_v": dict,
    "across_v": dict,
    "power_w": dict,
    "temperature_c": dict,
}
FINDING = {
    "check": str,
    "part": str,
    "position": str,
    "coil_state": str,
    "result": str,
    "quantity": str,
    "value": (float, type(None)),
    "limit": (float, type(None)),
    "at_most": bool,
    "unit": str,
    "margin": (float, type(None)),
    "gap": (float, type(None)),
    "conditions": list,
    "source": list,
    "reason": str,
    "fix": str,
    "caution": str,
}
TOP = {
    "format": int,
    "verdict": str,
    "file": str,
    "circuit": str,
    "revision": str,
    "system_v": float,
    "stopped": bool,
    "positions": list,
    "findings": list,
    "assumptions": list,
    "not_checked": list,
    "cautions": list,
}


def has_form(record: dict, form: dict) -> None:
    assert list(record) == list(form)
    for key, kind in form.items():
        assert isinstance(record[key], kind), key


def refuse(word: str) -> None:
    raise AssertionError(f"{word} is no JSON")


@pytest.fixture(scope="module")
def solution():
    from pathlib import Path

    from circuitcheck import read_harness, read_library

    example = Path(__file__).parents[2] / "examples" / "orchard_sprayer" / "harness.toml"
    library = read_library()
    return solve_harness(read_harness(example, library), library)


@pytest.fixture
def record(solution, findings):
    verdict = Verdict(solution.harness, solution.library, (), findings, solution)
    return json.loads(verdict_json(verdict), parse_constant=refuse)


def test_top_positions_and_findings_have_the_form_of_the_contract(record):
    has_form(record, TOP)
    assert record["verdict"] == "fail"
    assert record["positions"]
    for position in record["positions"]:
        has_form(position, POSITION)
    assert record["findings"]
    for finding in record["findings"]:
        has_form(finding, FINDING)
        assert finding["result"] in ("pass", "fail", "not judged")


def test_every_position_and_coil_state_is_there_once(record, solution):
    shown = [(p["name"], p["coil_state"]) for p in record["positions"]]
    assert shown == [(p.position.name, p.coil_state) for p in solution.positions]
    assert len(set(shown)) == len(shown)


def test_ranges_are_in_order_and_hold_every_wire_and_terminal(record, solution):
    harness = solution.harness
    landed = {str(end) for wire in harness.wires.values() for end in (wire.start, wire.end)}
    for position in record["positions"]:
        assert set(position["currents_a"]) == set(harness.wires)
        assert landed <= set(position["voltages_v"])
        assert set(harness.wires) <= set(position["across_v"])
        for table in list(POSITION)[3:]:
            for value in position[table].values():
                assert list(value) == ["min", "nominal", "max"]
                assert value["min"] <= value["nominal"] <= value["max"]


def test_numbers_obey_the_laws_of_circuits(record, solution):
    # In the nominal solution: V(from) - V(to) = V across the wire; battery minus is 0.
    harness = solution.harness
    minus = f"{harness.battery.name}.-"
    for position in record["positions"]:
        volts = {name: value["nominal"] for name, value in position["voltages_v"].items()}
        assert volts[minus] == 0.0
        for wire in harness.wires.values():
            across = position["across_v"][wire.name]["nominal"]
            drop = volts[str(wire.start)] - volts[str(wire.end)]
            assert drop == pytest.approx(across, abs=1e-9)


def test_no_position_is_left_when_the_work_was_stopped(solution, findings):
    verdict = Verdict(solution.harness, solution.library, (), findings, None)
    record = json.loads(verdict_json(verdict))
    assert record["positions"] == []
    assert record["stopped"] is True


@pytest.mark.parametrize("odd", [math.nan, math.inf, -math.inf])
def test_unlimited_and_not_a_number_become_null(solution, odd):
    finding = Finding("c", "F1", FAIL, "time", "why", value=odd, limit=1.0, unit="s", gap=odd)
    verdict = Verdict(solution.harness, solution.library, (), (finding,), solution)
    record = json.loads(verdict_json(verdict), parse_constant=refuse)["findings"][0]
    assert record["value"] is None
    assert record["margin"] is None
    assert record["gap"] is None


def test_text_is_ascii_stable_and_carries_odd_names_as_they_are(solution, findings, pull_in):
    odd = dataclasses.replace(pull_in, subject='V"\u202e\x1b')
    verdict = Verdict(solution.harness, solution.library, (), (*findings, odd), solution)
    text = verdict_json(verdict)
    assert text.isascii()
    assert text == verdict_json(verdict)
    assert 'V"\u202e\x1b' in {f["part"] for f in json.loads(text)["findings"]}
