"""Networks of switch positions, built and compiled once each; alike ones share their shape."""

from __future__ import annotations

from collections.abc import Mapping

from circuitcheck.circuit.build import build_network
from circuitcheck.circuit.netlist import PULLING, Branch, Network
from circuitcheck.circuit.positions import Position
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.bounds import bounds
from circuitcheck.solve.bounds.box import open_box
from circuitcheck.solve.heat.soak import Placed
from circuitcheck.solve.nominal_point import nominal_point
from circuitcheck.solve.relays.relay_states import relay_coils


class PositionNetworks:
    """The networks of one harness, by position with its relays as they stand, and pull state."""

    def __init__(self, harness: Harness, library: Library) -> None:
        self.harness, self.library = harness, library
        self._placed: dict[tuple[Position, str], Placed] = {}
        self._wires: dict[str, Branch] = {}
        self._shapes: dict[frozenset[str], bounds.Network] = {}
        self._coil_v: dict[tuple[bounds.Network, Band, bool], Mapping[str, float]] = {}

    def at(self, position: Position, pull_state: str = PULLING) -> Placed:
        """Return network, shape and supply of a position."""
        key = (position, pull_state)
        if key not in self._placed:
            network = build_network(
                self.harness,
                self.library,
                position,
                pull_state=pull_state,
                known_wires=self._wires,
            )
            supply_v = supply_of(self.harness, position)
            self._placed[key] = Placed(network, self._shape(network), supply_v)
        return self._placed[key]

    def coil_volts(self, position: Position) -> Mapping[str, float]:
        """Return the nominal voltage across each relay's coil, winding as warm as its zone [V]."""
        placed = self.at(position)
        key = (*placed.alike, placed.network.live)
        if key not in self._coil_v:
            self._coil_v[key] = _coil_volts(placed)
        return self._coil_v[key]

    def _shape(self, network: Network) -> bounds.Network:
        closed = network.closed_contacts()
        if closed not in self._shapes:
            # Positions alike are told by their shape: it is shared only under the same name.
            self._shapes[closed] = bounds.shape_of(
                len(network.node_names),
                network.starts,
                network.ends,
                network.source,
                network.reference,
                closed,
            )
        return self._shapes[closed]


def supply_of(harness: Harness, position: Position) -> Band:
    """Return the supply at the battery posts in a position [V]."""
    conditions = harness.conditions
    if position.key == "cranking" and conditions.cranking_v is not None:
        lower, upper = conditions.cranking_v
        return Band(lower, (lower + upper) / 2.0, upper)
    if position.key == "key off":
        lower, upper = conditions.engine_off_v
        return Band(lower, (lower + upper) / 2.0, upper)
    return conditions.running_v()


def _coil_volts(placed: Placed) -> Mapping[str, float]:
    network = placed.network
    coils = relay_coils(network)
    if not network.live or not coils:
        return dict.fromkeys(coils, 0.0)
    box = open_box(network)
    found = nominal_point(network, placed.shape, box, placed.supply_v.nominal)
    return {name: float(found.branch_v[network.branch_of[name]]) for name in coils}
