"""The fixed set of harnesses on which drawings are judged: every example and 200 generated ones.

The generated ones have 5 to 150 wires, many small and few large; every second one has parts of
every kind.
"""

from __future__ import annotations

from pathlib import Path

from generated_circuits import mixed
from sample_harnesses import generated

from circuitcheck import read_harness, read_library
from circuitcheck.model.harness import Harness

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/harness.toml"))
GENERATED, LEAST, MOST = 200, 5, 150


def examples() -> dict[str, Harness]:
    library = read_library()
    return {path.parent.name: read_harness(path, library) for path in EXAMPLES}


def generated_ones(count: int = GENERATED, most: int = MOST) -> dict[str, Harness]:
    made = {}
    for seed in range(count):
        wires = round(LEAST + (most - LEAST) * (seed / (count - 1)) ** 7)
        make = (mixed, generated)[seed % 2]
        made[f"{make.__name__} {seed}, {wires} wires"] = make(seed, wires)
    return made
