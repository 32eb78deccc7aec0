"""Harnesses for the tests of the circuit: the good one of the checks' tests, changed and read."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

TESTS = str(Path(__file__).parents[1])
if TESTS not in sys.path:
    sys.path.insert(0, TESTS)

from checks.harness_text import harness_text  # noqa: E402

from circuitcheck import Harness, Library, read_harness, read_library  # noqa: E402


@pytest.fixture(scope="session")
def library() -> Library:
    """The library as shipped."""
    return read_library()


@pytest.fixture(scope="session")
def harness_of(library: Library) -> Callable[..., Harness]:
    """`harness_of(F1={"rating": '"3 A"'})`: the good harness with keys changed, read."""

    def make(**changes: object) -> Harness:
        return read_harness("harness.toml", library, text=harness_text(**changes))

    return make
