"""Operating points by the library lcapy: nodal equations in exact rationals."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from reference_solvers.plain_circuit import PlainCircuit


def node_voltages(circuit: PlainCircuit, diode_v: list[float]) -> np.ndarray:
    """Node voltages; each diode is replaced by a source of its voltage, found elsewhere."""
    from lcapy import Circuit

    lines = [f"V1 1 0 {{{Fraction(str(circuit.source_v))}}}"]
    for i, (u, v, ohm) in enumerate(circuit.resistors):
        lines.append(f"R{i} {u} {v} {{{Fraction(str(ohm))}}}")
    for i, ((u, v, *_), volts) in enumerate(zip(circuit.diodes, diode_v, strict=True)):
        lines.append(f"VD{i} {u} {v} {{{Fraction(volts).limit_denominator(10**15)}}}")
    solved = Circuit("\n".join(lines))
    found = [float(solved[str(node)].V.dc.expr) for node in range(1, circuit.n_nodes)]
    return np.array([0.0, *found])
