"""What every check keeps to: registered, sourced, described, short, on its own."""

import ast
import importlib
import pkgutil
from dataclasses import replace
from pathlib import Path

import pytest

import circuitcheck.checks
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.register import CHECKS
from circuitcheck.checks.run import run_checks
from circuitcheck.errors import LibraryError

FOLDER = Path(circuitcheck.checks.__file__).parent
MODULES = {
    name: importlib.import_module(f"circuitcheck.checks.{name}")
    for _, name, _ in pkgutil.iter_modules([str(FOLDER)])
}
WITH_CHECK = {name: module for name, module in MODULES.items() if hasattr(module, "CHECK")}


def test_every_check_is_registered_once():
    assert sorted(check.name for check in CHECKS) == sorted(
        module.CHECK.name for module in WITH_CHECK.values()
    )
    assert len({check.name for check in CHECKS}) == len(CHECKS)


@pytest.mark.parametrize("name", WITH_CHECK)
def test_a_check_is_one_short_file_that_says_what_it_does(name):
    text = (FOLDER / f"{name}.py").read_text(encoding="utf-8")
    assert len(text.splitlines()) < 150
    described = WITH_CHECK[name].__doc__
    for heading in ("Finds", "Source", "Formula", "Worst case", "Not covered"):
        assert f"\n{heading} " in described, heading


@pytest.mark.parametrize("name", WITH_CHECK)
def test_a_check_imports_no_other_check(name):
    tree = ast.parse((FOLDER / f"{name}.py").read_text(encoding="utf-8"))
    imported = {
        node.module.rsplit(".", 1)[1]
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom)
        and node.module
        and node.module.startswith("circuitcheck.checks.")
    }
    assert not imported & (set(WITH_CHECK) - {name})


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
