"""How long the command takes to start, as ratios to what it cannot do without.

Run by hand: `python tests/benchmarks/start_up.py`. Ratios of one run on one machine, in processor
time; the least of several starts counts, so that other work on the machine disturbs least. Where
something fails, changes that would pass are tried as well: the more of them, the longer. Aimed at
is 5 for all: met where one fuse is wrong, not where eleven findings fail by several changes each.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
from pathlib import Path

RUNS = 7
# An installed package has its modules compiled, as numpy has; a setting against it would measure
# the compiler instead.
COMPILED = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
EXAMPLES = Path(__file__).parents[2] / "examples"
COMMAND = [sys.executable, "-m", "circuitcheck"]
LIMITS = (
    ("--help", [*COMMAND, "--help"], "import click", 3.0),
    ("check, passing", [*COMMAND, "check", "orchard_sprayer"], "import numpy", 4.5),
    ("check, 24 V, passing", [*COMMAND, "check", "road_sweeper_24v"], "import numpy", 4.5),
    ("check, wrong fuse", [*COMMAND, "check", "hay_rake_wrong_fuse"], "import numpy", 5.0),
    ("check, long run", [*COMMAND, "check", "slurry_tanker_long_run"], "import numpy", 8.0),
)


def least_s(command: list[str]) -> float:
    """Return the least processor time of several runs, after one that warms the files [s]."""
    times = []
    for _ in range(RUNS + 1):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        done = subprocess.run(command, capture_output=True, check=False, env=COMPILED)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        times.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
        if b"Traceback" in done.stderr or done.returncode == 2:
            raise SystemExit(f"{command} did not work: {done.stderr.decode()}")
    return min(times[1:])


def main() -> int:
    """Print each ratio beside its limit; 1 where one is passed."""
    worse = 0
    beside = {text: least_s([sys.executable, "-c", text]) for _, _, text, _ in LIMITS}
    for name, command, text, limit in LIMITS:
        *words, last = command
        example = EXAMPLES / last / "harness.toml"
        ratio = least_s([*words, str(example) if example.exists() else last]) / beside[text]
        worse += ratio > limit
        print(f"{name}: {ratio:.2f} times `python -c '{text}'`, at most {limit:g}")
    return 1 if worse else 0


if __name__ == "__main__":
    sys.exit(main())
