"""What is dangerous comes first, whatever its margin; what follows from a fault is one line."""

from __future__ import annotations

import dataclasses
import itertools
import re

import pytest

from circuitcheck import check_harness
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, Finding
from circuitcheck.checks.register import CHECKS
from circuitcheck.circuit import structural_faults
from circuitcheck.documents.verdict.ranks import HARMLESS_FAULTS, RANK_OF, RANKS, rank_of
from circuitcheck.documents.verdict.verdict_text import verdict_text


def test_every_check_of_the_register_has_a_rank():
    without = {check.name for check in CHECKS} - set(RANK_OF)
    assert not without, (
        f"say in documents/verdict/ranks.py what a failure of these can do: {without}"
    )


def test_no_rank_is_left_of_a_check_that_is_gone():
    assert set(RANK_OF) <= {check.name for check in CHECKS}
    assert set(RANK_OF.values()) <= set(RANKS)


def test_kinds_of_faults_are_those_that_the_circuit_reports():
    said = structural_faults.StructuralFault.__doc__ + "not connected"
    for kind in HARMLESS_FAULTS:
        assert kind in said


def failing(check: str, margin: float, result: str = FAIL) -> Finding:
    value = 10.0 * (1.0 - margin)
    return Finding(check, "W1", result, "q", "why", value=value, limit=10.0, unit="A")


def test_a_fire_stands_before_a_drop_that_is_passed_by_more(verdict_of):
    found = [
        failing("voltage drop", -5.0),
        failing("coil pull-in", -0.5),
        failing("switch rating", -0.2),
        failing("fuse protects wire", -0.01),
        failing("dead short cleared", -0.3),
    ]
    order = [entry.worst.check for entry in verdict_of(*found).entries]
    assert order == [
        "dead short cleared",
        "fuse protects wire",
        "switch rating",
        "coil pull-in",
        "voltage drop",
    ]


@pytest.mark.parametrize("result", [FAIL, NOT_JUDGED])
def test_failures_and_what_is_not_judged_are_both_in_order_of_danger(verdict_of, harness, result):
    found = [failing(name, 0.0, result) for name in reversed(RANK_OF)]
    ranks = [rank_of(entry.worst, harness) for entry in verdict_of(*found).entries]
    assert ranks == sorted(ranks)
    assert set(ranks) == set(range(len(RANKS)))


def test_a_failure_stands_before_what_is_not_judged_whatever_its_rank(verdict_of):
    found = [failing("fuse protects wire", 0.0, NOT_JUDGED), failing("voltage drop", -0.1)]
    assert [entry.worst.result for entry in verdict_of(*found).entries] == [FAIL, NOT_JUDGED]


def test_an_open_end_burns_nothing_and_a_feed_without_a_fuse_does(harness):
    def fault(kind: str) -> int:
        quantity = f"{kind}: what is wrong"
        return rank_of(
            Finding("wiring complete and protected", "X1", FAIL, quantity, "why"), harness
        )

    assert fault("unprotected feed") == fault("short circuit") == RANKS.index("fire")
    assert fault("open end") == RANKS.index("function")
    assert fault("too many wires") == RANKS.index("practice")


def with_suppression(harness, **of_coil):
    parts = dict(harness.parts)
    for name, changed in of_coil.items():
        own = dataclasses.replace(parts[name].suppression, **changed)
        parts[name] = dataclasses.replace(parts[name], suppression=own)
    return dataclasses.replace(harness, parts=parts)


def test_a_reversed_bare_diode_is_a_short_a_reversed_pair_is_not(harness):
    polarity = Finding("suppression", "VL", FAIL, "polarity", "why")
    assert rank_of(polarity, harness) == RANKS.index("fire")
    pair = with_suppression(harness, VL={"kind": "diode + Zener"})
    assert rank_of(polarity, pair) == RANKS.index("practice")


def test_margins_fall_inside_a_rank_in_a_whole_verdict(harness, library):
    short = with_suppression(harness, VL={"cathode": "2"})
    entries = check_harness(short, library).of_result(FAIL)
    for first, second in itertools.pairwise(entries):
        ranks = rank_of(first.worst, short), rank_of(second.worst, short)
        margins = first.worst.margin, second.worst.margin
        assert ranks[0] < ranks[1] or (
            ranks[0] == ranks[1]
            and (margins[0] is None or (margins[1] is not None and margins[0] <= margins[1]))
        )


def test_what_only_follows_from_a_fault_is_one_line_with_its_count(harness, library):
    verdict = check_harness(with_suppression(harness, VL={"cathode": "2"}), library)
    failing = len(verdict.of_result(FAIL))
    text = re.sub(r"\s+", " ", verdict_text(verdict))
    assert text.startswith(f"FAILS: {failing} findings, {failing - 1} follow from 1 ")
    assert "1 FAIL suppression: VL polarity" in text
    assert f"and {failing - 1} more that follow from 1: " in text
    assert "2 FAIL" not in text


def test_on_request_all_that_follows_is_listed_with_its_number(harness, library):
    verdict = check_harness(with_suppression(harness, VL={"cathode": "2"}), library)
    text = verdict_text(verdict, every=True, width=80)
    assert f"and {len(verdict.of_result(FAIL)) - 1} more that follow from 1:\n" in text
    for entry in verdict.of_result(FAIL)[1:]:
        assert f"\n    {entry.number} {entry.worst.check}: {entry.worst.subject} " in text
