"""The network of one dead short: the battery's inside in series, a fault of no resistance."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from circuitcheck.circuit.netlist import Branch, Network
from circuitcheck.model.harness import Harness
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.bounds import bounds
from circuitcheck.solve.bounds.box import LEAST_OHM, Box, FloatArray, open_box
from circuitcheck.solve.bounds.corner_search import EndArray
from circuitcheck.solve.condition_words import condition_words

FAULT = "fault"
BATTERY_INSIDE = "battery inside"
CARRY_FAULT = ("wire", "fuse", "upstream wire", "upstream fuse")


@record
class Fault:
    """One solved fault: bounds of the currents of wires and fuses. `target` is what it touches."""

    network: Network
    box: Box
    current: bounds.BoundSet
    target: str

    def largest(self, branch: str) -> float:
        """Return the largest magnitude of a branch's current [A]."""
        number = self.network.branch_of[branch]
        return max(abs(float(self.current.lower[number])), abs(float(self.current.upper[number])))

    def smallest(self, branch: str) -> float:
        """Return the smallest magnitude of a branch's current, 0 where its sign is open [A]."""
        number = self.network.branch_of[branch]
        lower, upper = float(self.current.lower[number]), float(self.current.upper[number])
        return 0.0 if lower <= 0.0 <= upper else min(abs(lower), abs(upper))

    def weakest_corner(self, branch: str) -> tuple[float, float]:
        """Return a branch's resistance [ohm] and the open battery [V] at its weakest current."""
        number = self.network.branch_of[branch]
        at_lower = float(self.current.nominal[number]) >= 0.0
        volts = self.current.source_lower_v if at_lower else self.current.source_upper_v
        return float(self.box.resistance_ohm[2, number]), float(volts[number])

    def words(self, branch: str, *, weakest: bool) -> tuple[str, ...]:
        """Return the conditions of the weakest or strongest current of a branch."""
        number = self.network.branch_of[branch]
        positive = float(self.current.nominal[number]) >= 0.0
        at_lower = weakest == positive
        ends = self.current.corner_lower if at_lower else self.current.corner_upper
        volts = self.current.source_lower_v if at_lower else self.current.source_upper_v
        words = condition_words(self.network, self.box, ends[:, number], float(volts[number]))
        state = "battery discharged, cold and aged" if weakest else "battery full, warm and new"
        return (f"{state}, {float(volts[number]):.1f} V open", *words[1:])


def solve_fault(harness: Harness, network: Network, terminal: str, target: str) -> Fault:
    """Return the currents of a dead short from a terminal to another node of a network."""
    faulted = _faulted(harness, network, terminal, target)
    box = open_box(faulted)
    lower, nominal, upper = box.resistance_ohm
    shape = bounds.shape_of(
        len(faulted.node_names),
        faulted.starts,
        faulted.ends,
        faulted.source,
        faulted.reference,
    )
    wanted = [n for n, b in enumerate(faulted.branches) if b.role in CARRY_FAULT]
    result = bounds.solve_bounds(
        shape, lower, nominal, upper, harness.battery.open_circuit_v, [],
        current_branches=wanted,
    )  # fmt: skip
    return Fault(faulted, box, _spread(result.current, wanted, len(faulted.branches)), target)


def _spread(found: bounds.BoundSet, wanted: list[int], branches: int) -> bounds.BoundSet:
    """Return bounds numbered by branch, NaN for branches that were not asked for."""

    def over(values: FloatArray) -> FloatArray:
        out = np.full(branches, np.nan)
        out[wanted] = values
        return out

    def ends(values: EndArray) -> EndArray:
        out = np.zeros((values.shape[0], branches), dtype=np.int8)
        out[:, wanted] = values
        return out

    methods = ["floating"] * branches
    for number, method in zip(wanted, found.method, strict=True):
        methods[number] = method
    return replace(
        found,
        lower=over(found.lower),
        nominal=over(found.nominal),
        upper=over(found.upper),
        gap=over(found.gap),
        corner_lower=ends(found.corner_lower),
        corner_upper=ends(found.corner_upper),
        source_lower_v=over(found.source_lower_v),
        source_upper_v=over(found.source_upper_v),
        method=tuple(methods),
    )


def _faulted(harness: Harness, network: Network, terminal: str, target: str) -> Network:
    """Return a network with the battery's inside in series and a dead short at a terminal."""
    battery = harness.battery
    air = harness.zone_of(battery.zone).ambient_c
    inside = len(network.node_names)
    none = Band.exact(0.0)
    names = (*network.node_names, BATTERY_INSIDE)
    added = (
        Branch(
            BATTERY_INSIDE,
            battery.name,
            "contact",
            inside,
            network.source,
            none,
            battery.internal_resistance_ohm,
            air,
            (),
        ),
        Branch(
            FAULT,
            FAULT,
            "contact",
            network.node_of[terminal],
            network.node_of[target],
            none,
            Band.exact(LEAST_OHM),
            air,
            (),
        ),
    )
    return Network(
        network.position,
        names,
        (*network.branches, *added),
        network.diodes,
        inside,
        network.reference,
        True,
    )
