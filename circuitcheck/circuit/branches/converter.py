"""Converter: its input is a load, its output a source, with one minus for both."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.branches.context import BranchContext
from circuitcheck.circuit.link import Link
from circuitcheck.circuit.netlist import ConverterBranch, Element
from circuitcheck.model.converter import Converter
from circuitcheck.model.harness import Harness


def branches(part: Converter, context: BranchContext) -> Iterator[Element]:
    """Yield the converter."""
    source, output, minus = (context.node(f"{part.name}.{end}") for end in part.terminals)
    yield ConverterBranch(
        part.name,
        part.name,
        source,
        output,
        minus,
        part.output_v,
        part.output_ohm,
        part.rated_a,
        part.efficiency,
        part.idle_a,
    )


def links(part: Converter, harness: Harness) -> Iterator[Link]:
    """Yield the way from input to output: what hangs on the output is fed through it."""
    yield Link(f"{part.name}.in", f"{part.name}.out", part.name)
