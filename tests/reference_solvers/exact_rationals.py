"""Nodal analysis in exact rationals, and all corners of a small circuit by brute force.

An assembly of its own: node admittance matrix and Gauss elimination with fractions.Fraction.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import product


def node_voltages(
    n_nodes: int,
    ends: list[tuple[int, int]],
    ohms: list[Fraction],
    source: int,
    reference: int,
    source_v: Fraction = Fraction(1),
) -> list[Fraction]:
    """Exact node voltages of a connected circuit."""
    known = {source: source_v, reference: Fraction(0)}
    free = [k for k in range(n_nodes) if k not in known]
    row = {k: i for i, k in enumerate(free)}
    size = len(free)
    matrix = [[Fraction(0)] * (size + 1) for _ in range(size)]
    for (u, v), ohm in zip(ends, ohms, strict=True):
        for near, far in ((u, v), (v, u)):
            if near in row and near != far:
                matrix[row[near]][row[near]] += 1 / ohm
                if far in row:
                    matrix[row[near]][row[far]] -= 1 / ohm
                else:
                    matrix[row[near]][size] += known[far] / ohm
    _eliminate(matrix)
    return [known[k] if k in known else matrix[row[k]][size] for k in range(n_nodes)]


def _eliminate(matrix: list[list[Fraction]]) -> None:
    for i in range(len(matrix)):
        pivot = next(k for k in range(i, len(matrix)) if matrix[k][i] != 0)
        matrix[i], matrix[pivot] = matrix[pivot], matrix[i]
        scale = matrix[i][i]
        matrix[i] = [x / scale for x in matrix[i]]
        for k in range(len(matrix)):
            if k != i and matrix[k][i] != 0:
                factor = matrix[k][i]
                matrix[k] = [x - factor * y for x, y in zip(matrix[k], matrix[i], strict=True)]


def corners(lower: list[Fraction], upper: list[Fraction]) -> Iterator[list[Fraction]]:
    """Every corner of a box of resistances."""
    for choice in product((0, 1), repeat=len(lower)):
        yield [(lower, upper)[side][i] for i, side in enumerate(choice)]


def corner_extremes(
    n_nodes: int,
    ends: list[tuple[int, int]],
    lower: list[Fraction],
    upper: list[Fraction],
    probes: list[tuple[int, int]],
) -> tuple[list[tuple[Fraction, Fraction]], list[tuple[Fraction, Fraction]]]:
    """(least, most) of each probe voltage and of each branch current over all corners, 1 V source.

    Source is node 1, reference node 0.
    """
    volts: list[list[Fraction]] = []
    amps: list[list[Fraction]] = []
    for ohms in corners(lower, upper):
        v = node_voltages(n_nodes, ends, ohms, 1, 0)
        volts.append([v[p] - v[q] for p, q in probes])
        amps.append([(v[a] - v[b]) / r for (a, b), r in zip(ends, ohms, strict=True)])

    def extremes(rows: list[list[Fraction]]) -> list[tuple[Fraction, Fraction]]:
        return [(min(column), max(column)) for column in zip(*rows, strict=True)]

    return extremes(volts), extremes(amps)
