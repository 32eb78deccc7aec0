"""How rarely a process looks for records that only point at each other."""

from __future__ import annotations

import gc

THRESHOLD = 200_000
"""Records made before it looks; Python's own 700 would cost a short process more than it frees."""


def let_garbage_lie() -> None:
    """Look for garbage in circles rarely."""
    gc.set_threshold(THRESHOLD)
