"""The calls that the package offers: each is there, and none is imported before it is asked for."""

from __future__ import annotations

import subprocess
import sys

import pytest

import circuitcheck


@pytest.mark.parametrize("name", circuitcheck.__all__)
def test_every_public_call_exists_and_says_what_it_does(name):
    assert getattr(circuitcheck, name).__doc__


def test_the_list_is_in_order_and_without_repeats():
    assert sorted(set(circuitcheck.__all__), key=str.lower) == sorted(
        circuitcheck.__all__, key=str.lower
    )


def test_an_unknown_name_is_refused():
    with pytest.raises(AttributeError, match="no attribute 'solve_everything'"):
        _ = circuitcheck.solve_everything


def test_importing_the_package_loads_nothing_heavy():
    script = "import circuitcheck, sys; print([m for m in ('numpy', 'click') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, check=True)
    assert done.stdout.strip() == b"[]"
