"""Labels for both ends of every wire, to be wrapped round it: what stands on each, and its size."""

from __future__ import annotations

import math

from circuitcheck.documents.papers.listing import SMALL, Column, Listing
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.workshop import thickest_m

COLUMNS = (
    Column("wire", "wire"),
    Column("end", "end"),
    Column("first_line", "first line"),
    Column("second_line", "second line"),
    Column("outside", "wire Ø", SMALL),
    Column("around", "around", SMALL),
)
TURNS = 2.0
"""A label goes so many times round its wire: once to read, once to hold (common practice)."""
LEAST_M, LARGEST_OUTSIDE_M = 0.012, 0.018
"""Least length round the wire; a wire whose thickness is not known gets the longest label."""
HOW = (
    "Print without scaling, cut along the lines and wrap round the wire 30 mm from its end, then a "
    "clear heat-shrink tube over it. The words come again all round."
)


def wire_labels(harness: Harness, library: Library) -> Listing:
    """Return two labels a wire: its name, colour and size, and where this end lands."""
    rows = []
    for wire in harness.wires.values():
        size = thickest_m(wire, library)
        first = " ".join([wire.name, "/".join(wire.colour), wire.gauge.replace("mm2", "mm²")])
        around = max(LEAST_M, TURNS * math.pi * (size or LARGEST_OUTSIDE_M))
        for end, terminal in (("from", wire.start), ("to", wire.end)):
            words = " ".join(first.split())
            rows.append((wire.name, end, words, str(terminal), size, around))
    heading = f"{harness.circuit}: wire labels, {len(rows)} of them"
    return Listing(heading, COLUMNS, tuple(rows), (HOW,), table=6)
