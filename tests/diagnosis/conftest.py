"""Makes the reference solvers and the simulation importable for the tests of diagnosis."""

import sys
from pathlib import Path

HERE = Path(__file__).parent
for folder in (str(HERE), str(HERE.parent)):
    if folder not in sys.path:
        sys.path.insert(0, folder)
