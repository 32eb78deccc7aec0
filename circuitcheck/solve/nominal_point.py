"""The nominal operating point of a network, lamps and diodes on their nominal curves."""

from __future__ import annotations

from circuitcheck.circuit.netlist import Network
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.bounds import bounds
from circuitcheck.solve.bounds.box import Box
from circuitcheck.solve.converters.converter_bounds import ConverterBounds
from circuitcheck.solve.converters.converter_shares import running_converters
from circuitcheck.solve.curves.active_curves import active_curves, curve_ends
from circuitcheck.solve.curves.curve_arrays import CurveArrays
from circuitcheck.solve.curves.curve_bounds import with_curves
from circuitcheck.solve.elimination.elimination import NetworkSolution


def nominal_point(
    network: Network, shape: bounds.Network, box: Box, source_v: float
) -> NetworkSolution:
    """Solve a network at nominal resistances and temperatures; arrays (nodes,) and (branches,).

    Branches are followed by the network's curves, then its suppressor diodes.
    """
    conductance = 1.0 / box.resistance_ohm[1]
    curves = active_curves(network)
    converters = running_converters(network)
    if converters:
        with_outputs = ConverterBounds(
            network, converters, [one.curve for one in curves], box.resistance_ohm,
            Band.exact(source_v),
        )  # fmt: skip
        found = with_outputs.nominal()
        return NetworkSolution(found.node_v[:, 0], found.branch_v[:, 0], found.branch_a[:, 0])
    if not curves:
        return shape.plan.solve_all(conductance, source_v)
    exact = with_curves(shape, curve_ends(curves)).exact
    found = exact.solve(conductance, source_v, CurveArrays([one.curve for one in curves]).nominal())
    return NetworkSolution(found.node_v[:, 0], found.branch_v[:, 0], found.branch_a[:, 0])
