"""The whole table of diagnoses of simulated machines: 2,000 single faults, 300 pairs, 300 mistakes.

    python tests/benchmarks/diagnosis_table.py [singles [pairs [wrong [half-split]]]]

Takes about half an hour of one core; `tests/diagnosis/test_simulation.py` holds a fixed share of it
to the same gates. `leads` are the readings after which the right group leads and stays in the lead
to the end, of the runs that end right: what comes after only confirms.
"""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "diagnosis"))

from simulated_machines import EXAMPLES, by_half_split
from simulation_table import HEAD, Bench, Row, against_the_best

USUAL = (2000, 300, 300, 500)
MOST_STATES = 60


def main(counts: tuple[int, ...]) -> None:
    """Print the table row by row, the examples together at the end."""
    names = ("single fault", "two faults", "one reading wrong", "single, half-split")
    every: dict[str, list] = {name: [] for name in names}
    print(HEAD, flush=True)
    for seed, example in enumerate(EXAMPLES, start=101):
        bench = Bench(example, seed)
        share = [-(-count // len(EXAMPLES)) for count in counts]
        takes = (
            partial(bench.singles, share[0]),
            partial(bench.pairs, share[1]),
            partial(bench.singles, share[2], wrong=True),
            partial(bench.singles, share[3], by_half_split),
        )
        for name, take in zip(names, takes, strict=True):
            found = take()
            every[name] += found
            print(Row(f"{example[:16]}: {name}", tuple(found)), flush=True)
            for run in found:
                if not run.is_right and "two" not in name:
                    print(f"    {sorted(run.names)} -> {run.leading[:3]}")
            if name == names[0]:
                states, ratio = against_the_best(bench.workshop, found[:MOST_STATES])
                print(f"    over the best order: {ratio:.3f} ({states} states)", flush=True)
    for name, found in every.items():
        print(Row(f"all: {name}", tuple(found)))


if __name__ == "__main__":
    given = tuple(int(word) for word in sys.argv[1:])
    main((*given, *USUAL[len(given) :]))
