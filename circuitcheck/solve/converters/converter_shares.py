"""The shares of a circuit with converters: one network for each source, all of one numbering.

Branches are those of the circuit, then its curves as resistances, then the converters' outputs.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from circuitcheck.circuit.asked_for import fed_nodes
from circuitcheck.circuit.netlist import LOADS, ConverterBranch
from circuitcheck.circuit.netlist import Network as Circuit
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.bounds.bounds import BoundSet, Network, solve_bounds
from circuitcheck.solve.bounds.corner_search import EndArray
from circuitcheck.solve.curves.curves import BandedCurve
from circuitcheck.solve.elimination.elimination_order import FloatArray, IntArray

DRIVE_OHM = 1e9
"""Stands before a current that is fed in: 1 V there is a nA, whatever the network is."""


def running_converters(circuit: Circuit) -> tuple[ConverterBranch, ...]:
    """Return the converters whose input lies between battery plus and minus without any load."""
    fed = fed_nodes(circuit)
    returned, waiting = {circuit.reference}, [circuit.reference]
    beside: dict[int, list[int]] = {}
    for branch in circuit.branches:
        if branch.role not in LOADS:
            beside.setdefault(branch.start, []).append(branch.end)
            beside.setdefault(branch.end, []).append(branch.start)
    while waiting:
        for there in beside.get(waiting.pop(), ()):
            if there not in returned and there != circuit.source:
                returned.add(there)
                waiting.append(there)
    return tuple(c for c in circuit.converters if c.source in fed and c.minus in returned)


class ConverterShares:
    """One network per source: the supply, each converter's output, each converter's input."""

    def __init__(
        self,
        circuit: Circuit,
        converters: Sequence[ConverterBranch],
        curves: Sequence[BandedCurve],
    ) -> None:
        self.converters = tuple(converters)
        pairs = [(c.start, c.end) for c in curves]
        self.first_output = len(circuit.branches) + len(pairs)
        a = [*circuit.starts.tolist(), *(u for u, _ in pairs)]
        b = [*circuit.ends.tolist(), *(v for _, v in pairs)]
        self._compile(circuit, a, b)

    def _compile(self, circuit: Circuit, a: list[int], b: list[int]) -> None:
        n, outputs = len(circuit.node_names), self.converters
        into = [c.output for c in outputs]
        at_minus = [c.minus for c in outputs]
        self.of_supply = Network(n, a + at_minus, b + into, circuit.source, circuit.reference)

        def shorted(node: int) -> int:
            return circuit.reference if node == circuit.source else node

        a0, b0 = [shorted(k) for k in a], [shorted(k) for k in b]
        self.shorted = np.array([shorted(k) for k in range(n + 1)], dtype=np.intp)
        self.of_output, self.of_input = [], []
        for j, one in enumerate(outputs):
            driven = [n if i == j else shorted(k) for i, k in enumerate(at_minus)]
            minus, given = shorted(one.minus), shorted(one.source)
            out = [shorted(k) for k in into]
            self.of_output.append(Network(n + 1, a0 + driven, b0 + out, n, minus))
            # a current from the input to minus through the converter
            held = [shorted(k) for k in at_minus]
            self.of_input.append(Network(n + 1, [*a0, *held, n], [*b0, *out, minus], n, given))

    def summed(
        self,
        box: Sequence[FloatArray],
        supply_v: Band,
        input_a: Sequence[Band],
        probes: IntArray,
        branches: IntArray,
    ) -> BoundSet:
        """Sum of the bounds of all shares; corners are those of the largest share."""
        shares = [_solved(self.of_supply, box, supply_v, probes, branches, 1.0)]
        moved = self.shorted[probes]
        for network, one in zip(self.of_output, self.converters, strict=True):
            shares.append(_solved(network, box, one.output_v, moved, branches, 1.0))
        wide = tuple(np.append(row, DRIVE_OHM) for row in box)
        for network, band in zip(self.of_input, input_a, strict=True):
            shares.append(_solved(network, wide, band, moved, branches, DRIVE_OHM))
        return self._added(shares)

    def _added(self, shares: list[BoundSet]) -> BoundSet:
        first = shares[0]
        values = np.array([[s.lower, s.nominal, s.upper] for s in shares])
        is_lost = np.isnan(values).all(axis=0)
        lower, nominal, upper = np.where(is_lost, np.nan, np.nansum(values, axis=0))
        main = np.argmax(np.nan_to_num(np.abs(values[:, 1])), axis=0)
        rows = self.first_output
        k = np.arange(len(first))
        low = np.stack([s.corner_lower[: rows + len(self.converters)] for s in shares])[
            main, :, k
        ].T
        high = np.stack([s.corner_upper[: rows + len(self.converters)] for s in shares])[
            main, :, k
        ].T
        return BoundSet(
            lower,
            nominal,
            upper,
            np.zeros(len(first)),
            np.concatenate([low[:rows], self._converter_rows(low[rows:], shares, "lower")]),
            np.concatenate([high[:rows], self._converter_rows(high[rows:], shares, "upper")]),
            first.source_lower_v,
            first.source_upper_v,
            tuple("floating" if lost else "enclosure" for lost in is_lost[0]),
            ((),) * len(first),
        )

    def _converter_rows(self, ohm_ends: EndArray, shares: list[BoundSet], side: str) -> EndArray:
        rows = []
        for j, one in enumerate(self.converters):
            share = shares[1 + j]
            volts = share.source_lower_v if side == "lower" else share.source_upper_v
            rows.append(np.where(np.nan_to_num(volts) >= one.output_v.upper, 1, -1))
            rows.append(ohm_ends[j])
        return np.array(rows, dtype=np.int8).reshape(-1, ohm_ends.shape[1])


def _solved(
    network: Network,
    box: Sequence[FloatArray],
    driven: Band,
    probes: IntArray,
    branches: IntArray,
    scale: float,
) -> BoundSet:
    """Bounds of one share; `scale` volt drive one unit of it."""
    band = driven.scaled(scale)
    found = solve_bounds(network, box[0], box[1], box[2], band, probes, current_branches=branches)
    return found.voltage.joined(found.current)
