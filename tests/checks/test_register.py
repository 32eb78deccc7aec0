"""What every check keeps to: registered, sourced, described, short, on its own."""

import inspect
import sys
from dataclasses import replace

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.register import CHECKS
from circuitcheck.checks.run import run_checks
from circuitcheck.errors import LibraryError


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)
def test_a_check_is_one_short_file_that_says_what_it_does(check):
    module = sys.modules[check.judge.__module__]
    assert len(inspect.getsource(module).splitlines()) < 150
    for heading in ("Finds", "Source", "Formula", "Worst case", "Not covered"):
        assert f"\n{heading} " in module.__doc__, heading


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)
def test_every_source_is_in_the_library(check, library):
    assert check.sources
    for key in check.sources:
        library.source(key)
    assert all((check.judges, check.why, check.does_not_cover))


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)
def test_every_finding_is_complete(check, case_of, good_cases):
    found = [(case, finding) for case in (case_of(), *good_cases) for finding in check.judge(case)]
    assert found, "no harness of tests/harnesses/good holds a part that this check applies to"
    for case, finding in found:
        assert finding.check == check.name
        assert finding.result in (PASS, FAIL, NOT_JUDGED)
        assert finding.reason
        assert finding.quantity
        for key in finding.sources:
            case.library.source(key)
        if finding.value is not None:
            assert finding.unit
            assert finding.conditions
        assert (finding.sources) or check.sources


def test_the_good_harness_passes_every_check(case_of):
    others = [f for f in run_checks(case_of()) if f.result != PASS]
    assert not others


def test_a_check_that_cannot_be_carried_out_is_not_judged(case_of):
    def judge(case):
        raise LibraryError("library/fuses.csv has no row")

    findings = run_checks(case_of(), [replace(CHECKS[0], judge=judge)])
    assert [f.result for f in findings] == [NOT_JUDGED]
    assert "fuses.csv" in findings[0].reason


def test_an_error_of_the_program_is_not_swallowed(case_of):
    def judge(case):
        raise ZeroDivisionError("a fault of the program")

    with pytest.raises(ZeroDivisionError):
        run_checks(case_of(), [replace(CHECKS[0], judge=judge)])
