"""How long the command takes to start, as ratios to what it cannot do without.

Run by hand: `python tests/benchmarks/start_up.py`. Ratios of one run on one machine; the least of
several starts counts, so that other work on the machine disturbs least.
"""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

RUNS = 7
EXAMPLE = Path(__file__).parents[2] / "examples" / "orchard_sprayer" / "harness.toml"
COMMAND = [sys.executable, "-m", "circuitcheck"]
LIMITS = (
    ("--help", [*COMMAND, "--help"], "import click", 3.0),
    ("check", [*COMMAND, "check", str(EXAMPLE)], "import numpy", 5.0),
)


def least_s(command: list[str]) -> float:
    """Return the shortest of several runs, after one that warms the files [s]."""
    times = []
    for _ in range(RUNS + 1):
        start = time.perf_counter()
        done = subprocess.run(command, capture_output=True, check=False)
        times.append(time.perf_counter() - start)
        if b"Traceback" in done.stderr or done.returncode == 2:
            raise SystemExit(f"{command} did not work: {done.stderr.decode()}")
    return min(times[1:])


def main() -> int:
    """Print each ratio beside its limit; 1 where one is passed."""
    worse = 0
    for name, command, beside, limit in LIMITS:
        ratio = least_s(command) / least_s([sys.executable, "-c", beside])
        worse += ratio > limit
        print(f"{name}: {ratio:.2f} times `python -c '{beside}'`, at most {limit:g}")
    return 1 if worse else 0


if __name__ == "__main__":
    sys.exit(main())
