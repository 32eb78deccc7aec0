"""Diagnoses against machines in ngspice; `tests/benchmarks/diagnosis_table.py` runs thousands.

A fixed share of the full table, with its gates: right cause or its indistinguishable group in
97 % of single faults, fewer readings than half-split and at most 1.2 times the best order, the
true pair among the first three in 85 %, certain of a wrong cause in at most 5 % of the runs with
one reading taken wrongly.
"""

from __future__ import annotations

import numpy as np
import pytest
from simulated_machines import EXAMPLES, by_half_split
from simulation_table import HEAD, Bench, Row, against_the_best

SINGLE, HALVED, WRONG, PAIRS = 20, 12, 14, 8
"""Machines of each kind, for each example."""


@pytest.mark.slow
def test_table() -> None:
    rows: dict[str, list] = {"single": [], "half-split": [], "wrong": [], "pairs": []}
    states, ratios = 0, []
    for seed, example in enumerate(EXAMPLES, start=1):
        bench = Bench(example, seed)
        found = bench.singles(SINGLE)
        rows["single"] += found
        count, ratio = against_the_best(bench.workshop, found)
        states, ratios = states + count, [*ratios, ratio]
        rows["half-split"] += bench.singles(HALVED, by_half_split)
        rows["wrong"] += bench.singles(WRONG, wrong=True)
        rows["pairs"] += bench.pairs(PAIRS)
    single, halved, wrong, pairs = (Row(what, tuple(runs)) for what, runs in rows.items())
    print("\n".join(["", HEAD, *map(str, (single, halved, wrong, pairs))]))
    print(f"readings over the best order: {np.mean(ratios):.3f}, {states} states")
    assert single.right >= 0.97
    assert single.readings < halved.readings
    assert states > 0
    assert np.mean(ratios) <= 1.2
    assert pairs.among_three >= 0.85
    assert wrong.certain_of_wrong <= 0.05 * len(wrong.runs)
