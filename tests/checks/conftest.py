"""Harnesses for the checks: the good one of harness_text.py, changed and solved."""

from __future__ import annotations

import importlib.util
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path
from types import ModuleType

import pytest

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import Finding
from circuitcheck.checks.run import open_case
from circuitcheck.model.library import Library
from circuitcheck.read.harness_file import read_harness
from circuitcheck.read.library.library_tables import read_library


def _beside(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(
        f"{name}_of_checks", Path(__file__).with_name(f"{name}.py")
    )
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


_texts, _bench, _parts = _beside("harness_text"), _beside("coil_bench"), _beside("part_bench")


@lru_cache(maxsize=256)
def _case(text: str) -> Case:
    library = _library()
    return open_case(read_harness("harness.toml", library, text=text), library)


@lru_cache(maxsize=1)
def _library() -> Library:
    return read_library()


@pytest.fixture(scope="session")
def library() -> Library:
    """The library as shipped."""
    return _library()


@pytest.fixture(scope="session")
def harness_text() -> Callable[..., str]:
    """`harness_text(F1={"rating": '"3 A"'})`: the good harness with keys changed."""
    return _texts.harness_text


@pytest.fixture(scope="session")
def case_of() -> Callable[..., Case]:
    """`case_of(F1={"rating": '"3 A"'})`: the good harness with keys changed, solved."""

    def make(**changes: object) -> Case:
        return _case(_texts.harness_text(**changes))

    return make


@pytest.fixture(scope="session")
def judge(case_of: Callable[..., Case]) -> Callable[..., dict[str, Finding]]:
    """`judge(CHECK, F1={"rating": '"3 A"'})`: findings of one check by subject.

    A second finding on the same subject is under `subject: quantity` too.
    """

    def make(check: Check, **changes: object) -> dict[str, Finding]:
        found: dict[str, Finding] = {}
        for finding in check.judge(case_of(**changes)):
            found.setdefault(finding.subject, finding)
            found[f"{finding.subject}: {finding.quantity}"] = finding
        return found

    return make


@pytest.fixture(scope="session")
def bench() -> Callable[..., Case]:
    """`bench(contact='"0.5 ohm"')`: the coils on the bench of coil_bench.py, changed and solved."""

    def make(**changes: str | None) -> Case:
        return _case(_bench.bench_text(**changes))

    return make


@pytest.fixture(scope="session")
def on_bench(bench: Callable[..., Case]) -> Callable[..., list[Finding]]:
    """`on_bench(CHECK, "VL", contact='"0.5 ohm"')`: findings on one subject of the bench."""

    def make(check: Check, subject: str, **changes: str | None) -> list[Finding]:
        return [f for f in check.judge(bench(**changes)) if f.subject == subject]

    return make


@pytest.fixture(scope="session")
def good_cases() -> tuple[Case, ...]:
    """The harnesses of tests/harnesses/good, solved; together they hold every kind of part."""
    folder = Path(__file__).parents[1] / "harnesses" / "good"
    library = _library()
    return tuple(
        open_case(read_harness(p, library), library) for p in sorted(folder.glob("*.toml"))
    )


@pytest.fixture(scope="session")
def parts() -> Callable[..., Case]:
    """`parts({"VL": "coil"}, ["PLUS VL.1", "VL.2 MINUS"])`: the bench of part_bench.py, solved."""

    def make(*what: object, **base: object) -> Case:
        return _case(_parts.part_text(*what, **base))

    return make


@pytest.fixture(scope="session")
def on_parts(parts: Callable[..., Case]) -> Callable[..., dict[str, Finding]]:
    """`on_parts(CHECK, parts, wires)`: findings of one check by `subject: quantity`."""

    def make(check: Check, *what: object, **base: object) -> dict[str, Finding]:
        return {f"{f.subject}: {f.quantity}": f for f in check.judge(parts(*what, **base))}

    return make
