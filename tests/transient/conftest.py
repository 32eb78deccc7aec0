"""Makes the reference solvers and the random circuits importable for these tests."""

from __future__ import annotations

import sys
from pathlib import Path

HERE = Path(__file__).parent
for folder in (str(HERE.parent), str(HERE)):
    if folder not in sys.path:
        sys.path.insert(0, folder)
