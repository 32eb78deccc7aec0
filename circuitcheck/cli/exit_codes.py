"""Exit codes of the command: 1 something fails; else 3 something not judged; else 0."""

from __future__ import annotations

NOTHING_FAILS = 0
SOMETHING_FAILS = 1
WRONG_INPUT = 2
"""The input or the way the command was called is wrong, or circuitcheck itself broke down."""
SOMETHING_NOT_JUDGED = 3
INTERRUPTED = 130
"""Stopped by the keyboard, as shells have it."""
PIPE_CLOSED = 141
"""The program that read the output has gone, as shells have it."""

OF_VERDICT = {
    "fail": SOMETHING_FAILS,
    "not judged": SOMETHING_NOT_JUDGED,
    "pass": NOTHING_FAILS,
    "wrong input": WRONG_INPUT,
    "broken down": WRONG_INPUT,
}
"""Of many files the worst counts: 2 before 1, 1 before 3, 3 before 0."""
