"""Tests of faults share the solvers of their own in `tests/reference_solvers`."""

import sys
from pathlib import Path

TESTS = str(Path(__file__).parents[1])
if TESTS not in sys.path:
    sys.path.insert(0, TESTS)
