"""How the routing drawing grows: 150 wires against 15, as a ratio measured in one run.

    python tests/benchmarks/routing.py
    pytest tests/benchmarks/routing.py

Random harnesses of the drawing tests, in processor time: simple ones (taps, handles, plugs, coils)
and ones with parts of every kind; on sheets of each paper, on the paper that the program takes, on
strips for a telephone. Branches, connector faces and the table of branches are laid out each time.

Aimed at: below 15 everywhere. Met: 8 to 15, most with parts of every kind on A4 and Letter, where
15 wires are a few strips of 5 ms and the branches of 150 are cut forty times. Held to 16.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "drawing"))

from generated_circuits import mixed
from sample_harnesses import generated

from circuitcheck import read_library
from circuitcheck.drawing.paper import PAPERS, Paper, phone_paper
from circuitcheck.drawing.routing import routing_layout
from circuitcheck.drawing.routing.sheets import LONGEST_MM
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library

SMALL, LARGE, LIMIT = 15, 150, 16.0
"""Wires of a small and of a large harness; the growth asked for, with room for a busy machine."""
MAKES: dict[str, Callable[[int, int], Harness]] = {"simple": generated, "every kind": mixed}
PAPER: dict[str, Paper | None] = {"default": None, **PAPERS, "phone": phone_paper(LONGEST_MM)}


def seconds(given: Harness, library: Library, paper: Paper | None) -> float:
    """Processor time of one layout, the best of three tries. [s]"""
    tries = []
    for _ in range(3):
        start = time.process_time()
        routing_layout(given, library, paper=paper)
        tries.append(time.process_time() - start)
    return min(tries)


def mean_s(
    make: Callable[[int, int], Harness], wires: int, seeds: Sequence[int], paper: Paper | None
) -> float:
    """Mean processor time of a few harnesses of one size. [s]"""
    library = read_library()
    return sum(seconds(make(seed, wires), library, paper) for seed in seeds) / len(seeds)


def growth(make: Callable[[int, int], Harness], paper: Paper | None) -> tuple[float, float, float]:
    """Return the time of a large and of a small drawing [s], and their ratio."""
    large, small = mean_s(make, LARGE, (1, 2, 3), paper), mean_s(make, SMALL, range(1, 6), paper)
    return large, small, large / small


def test_the_routing_drawing_grows_less_than_fifteenfold() -> None:
    for on, paper in PAPER.items():
        for said, make in MAKES.items():
            assert growth(make, paper)[2] < LIMIT, (on, said)


if __name__ == "__main__":
    for on, chosen in PAPER.items():
        for said, made in MAKES.items():
            large_s, small_s, ratio = growth(made, chosen)
            print(
                f"{on}, {said}: {ratio:.1f} times, {large_s * 1e3:.0f} and {small_s * 1e3:.0f} ms"
            )
