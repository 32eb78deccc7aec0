"""Makes the reference solvers importable for the tests of diagnosis."""

import sys
from pathlib import Path

TESTS = str(Path(__file__).parents[1])
if TESTS not in sys.path:
    sys.path.insert(0, TESTS)
