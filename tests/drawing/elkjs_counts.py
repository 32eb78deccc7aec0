"""Crossings and bends that elkjs makes of the same nets; writes the record `elkjs_counts.csv`.

    npm install --prefix FOLDER elkjs@0.12
    python tests/drawing/elkjs_counts.py FOLDER

Needs node. elkjs (layered, orthogonal, fixed ports, its other settings as they come) gets boxes as
large as drawn, ports where they are drawn and an edge for each wire, bond and stud; where it puts
what is its own affair. Both drawings are counted by `line_counts.py`. Made with elkjs 0.12.1.
"""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from fixed_set import examples, generated_ones
from nets_for_comparison import graph_of

from circuitcheck.drawing.line_counts import Path as Bends
from circuitcheck.drawing.line_counts import crossings_and_bends
from circuitcheck.model.harness import Harness

RECORD = Path(__file__).with_name("elkjs_counts.csv")


def measured(harnesses: Mapping[str, Harness], folder: str) -> dict[str, tuple[int, int]]:
    """Return crossings and bends by harness, laid out by the elkjs that `folder` holds."""
    graphs = [graph_of(harness) for harness in harnesses.values()]
    done = subprocess.run(
        ["node", str(RECORD.with_suffix(".mjs")), folder],
        input=json.dumps(graphs), capture_output=True, text=True, check=True,
    )  # fmt: skip
    counts = {}
    for name, graph, laid in zip(harnesses, graphs, json.loads(done.stdout), strict=True):
        ends = {e["id"]: frozenset((e["sources"][0], e["targets"][0])) for e in graph["edges"]}
        lines = [
            Bends(ends[edge], tuple((x, y) for x, y in points)) for edge, points in laid.items()
        ]
        counts[name] = crossings_and_bends(lines)
    return counts


def recorded() -> dict[str, tuple[int, int]]:
    """Return the record: crossings and bends by harness."""
    with RECORD.open(encoding="utf-8", newline="") as file:
        return {
            row["harness"]: (int(row["crossings"]), int(row["bends"]))
            for row in csv.DictReader(file)
        }


if __name__ == "__main__":
    found = measured(examples() | generated_ones(), sys.argv[1])
    with RECORD.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("harness", "crossings", "bends"))
        writer.writerows((name, *counts) for name, counts in found.items())
