"""Second opinion: coupled windings solved exactly in symbols by another program.

A door to lcapy (and to sympy below it). It sees generated names and numbers alone: `R1`, `L1`, `V1`
and integers for nodes; no text of a harness file ever reaches it. Windings behind a shared feed
make a rational function of s whose poles lcapy finds; so this is for small circuits.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np

from circuitcheck.errors import SolveError
from circuitcheck.record import record
from circuitcheck.transient.waveform import FloatArray

MOST_WINDINGS = 2
"""The poles of three already take a minute in symbols."""


@record
class ExactWinding:
    """A winding between two nodes: resistance [ohm], inductance [H], current at time 0 [A]."""

    start: int
    end: int
    ohm: float
    henry: float
    start_a: float = 0.0


def exact_currents_a(
    source: tuple[int, int, float],
    resistors: Sequence[tuple[int, int, float]],
    windings: Sequence[ExactWinding],
    times_s: FloatArray,
) -> FloatArray:
    """Return the currents of windings after a source is switched on at time 0, (w, times). [A]

    `source` is (plus, minus, volts), `resistors` (start, end, ohm); node 0 is ground. Values are
    taken as the fractions of their shortest decimals. Raises SolveError for more than
    MOST_WINDINGS windings.
    """
    if len(windings) > MOST_WINDINGS:
        raise SolveError(f"{len(windings)} windings; symbols handle {MOST_WINDINGS}")
    from lcapy import Circuit, t

    nodes = [n for u, v, _ in resistors for n in (u, v)]
    nodes += [n for one in windings for n in (one.start, one.end)]
    inner = max([*nodes, source[0], source[1]]) + 1
    lines = [f"V1 {source[0]} {source[1]} step {{{_fraction(source[2])}}}"]
    for number, (u, v, ohm) in enumerate(resistors, start=1):
        lines.append(f"R{number} {u} {v} {{{_fraction(ohm)}}}")
    for number, one in enumerate(windings, start=1):
        lines.append(f"R{len(resistors) + number} {one.start} {inner} {{{_fraction(one.ohm)}}}")
        values = f"{{{_fraction(one.henry)}}} {{{_fraction(one.start_a)}}}"
        lines.append(f"L{number} {inner} {one.end} {values}")
        inner += 1
    circuit = Circuit("\n".join(lines))
    found = []
    for number in range(1, len(windings) + 1):
        current = circuit[f"L{number}"].I(t)
        found.append(np.real(np.asarray(current.evaluate(times_s), dtype=complex)))
    return np.array(found)


def _fraction(value: float) -> Fraction:
    return Fraction(repr(float(value)))
