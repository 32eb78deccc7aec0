"""Dead shorts: the current when a wire's far end touches metal, weakest and strongest source.

Weakest: discharged, cold, aged battery, every joint aged, every wire hot, all resistances at
their upper end. Strongest: full battery at its lowest internal resistance plus the alternator,
new joints, cold wires. The fault itself is taken as without resistance. It may touch any frame,
or the return terminal of a coil in the same zone: the weakest and the strongest of them count.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import field, replace
from functools import cached_property

from circuitcheck.circuit.netlist import Network
from circuitcheck.circuit.positions import Position, switch_positions
from circuitcheck.circuit.topology import Topology, read_topology
from circuitcheck.errors import CircuitError
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.ground import Frame
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import FuseRow, Library
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.position_networks import PositionNetworks
from circuitcheck.solve.relays.relay_states import settle_relays
from circuitcheck.solve.shorts.fault_network import Fault, solve_fault


@record
class FuseInPath:
    """A fuse that carries the fault current: its part (`owner`), its row, the air around it.

    `branch` is its branch name (`F1`, or `TAP/fuse` for the machine's own). Currents in A.
    """

    branch: str
    owner: str
    row: FuseRow
    ambient_c: Band
    weakest_a: float
    strongest_a: float


@record
class ShortCircuit:
    """A dead short at the far end of one wire.

    `wire` is a wire's name, or `TAP/wire` for the machine's wire upstream of the tap.
    `far_terminal` is where the fault sits and `target` what it touches, in words. Currents are
    those in the wire. `fuses` are in order from the battery; empty where the wire lies ahead of
    every fuse. `wire_ohm` and `weakest_source_v` are the wire's resistance and the open battery of
    the weakest short.
    """

    wire: str
    far_terminal: str
    target: str
    position: str
    weakest_a: float
    strongest_a: float
    fuses: tuple[FuseInPath, ...]
    conditions_weakest: tuple[str, ...]
    conditions_strongest: tuple[str, ...]
    wire_ohm: float
    weakest_source_v: float


@record
class ShortCircuits:
    """Shorts of a harness, worked out when first asked for.

    `networks` are those of its solution, so that none is built twice.
    """

    harness: Harness
    library: Library
    networks: PositionNetworks | None = field(default=None, compare=False, repr=False)
    _found: dict[str, ShortCircuit] = field(default_factory=dict, compare=False, repr=False)
    _networks: dict[str, Network] = field(default_factory=dict, compare=False, repr=False)

    def at_far_end(self, wire: str) -> ShortCircuit | None:
        """Return the short at a wire's far end; None for a wire on the return side.

        Raises CircuitError when the harness has no return to short to.
        """
        if wire not in self.feed_wires():
            return None
        if wire not in self._found:
            self._found[wire] = self._short(wire)
        return self._found[wire]

    def strongest_at_near_end(self, wire: str) -> float:
        """Return the most that a short at a wire's near end can draw through it [A].

        What flows in the fuse that carries least, loads beside the short counted, or what
        resistors ahead let through if that is less. Raises as `at_far_end`.
        """
        near, terminal = self._ends(wire)
        network = self._live_network(near, without=wire)
        fuses = self._fuse_branches(terminal if wire.endswith("/wire") else near)
        limited_a = self._behind_resistors_a(network, near)
        if not fuses:
            return limited_a
        faults = [
            solve_fault(self.harness, network, near, target)
            for target in self._targets(network, near)
        ]
        most_a = max(min(fault.largest(fuse) for fuse in fuses) for fault in faults)
        return min(most_a + self.harness.battery.charging_current_a, limited_a)

    def at_fuse_load(self, fuse: str) -> FuseInPath:
        """Return the weakest and strongest current of a short right behind a fuse's holder.

        `fuse` is the fuse's part, or the tap for the machine's own fuse. Raises CircuitError for
        a fuse that nothing feeds.
        """
        branch, faults = self._behind_fuse(fuse)
        weakest = min(faults, key=lambda fault: fault.smallest(branch))
        strongest = max(faults, key=lambda fault: fault.largest(branch))
        return self._fuse_in_path(branch, weakest, strongest)

    def strongest_behind(self, fuse: str) -> Fault:
        """Return the solved fault of the strongest short right behind a fuse's holder.

        Raises as `at_fuse_load`.
        """
        branch, faults = self._behind_fuse(fuse)
        return max(faults, key=lambda fault: fault.largest(branch))

    def _behind_fuse(self, fuse: str) -> tuple[str, list[Fault]]:
        """Return a fuse's branch and the shorts right behind it, one for each target."""
        is_tap = isinstance(self.harness.parts[fuse], SupplyTap)
        terminal = f"{fuse}/fuse load" if is_tap else f"{fuse}.load"
        network = self._live_network(terminal)
        faults = [
            solve_fault(self.harness, network, terminal, target)
            for target in self._targets(network, terminal)
        ]
        return f"{fuse}/fuse" if is_tap else fuse, faults

    def feed_wires(self) -> tuple[str, ...]:
        """Return the wires on the feed side, `TAP/wire` included, in file order."""
        topology = self._topology
        taps = [f"{tap.name}/wire" for tap in self.harness.of_kind(SupplyTap)]
        wires = [
            wire.name
            for wire in self.harness.wires.values()
            if topology.side_of(str(wire.start)) == "feed"
            and topology.side_of(str(wire.end)) == "feed"
        ]
        return (*taps, *wires)

    @cached_property
    def _topology(self) -> Topology:
        return read_topology(self.harness)

    @cached_property
    def _ways(self) -> Mapping[str, tuple[str, ...]]:
        """Owners passed on the shortest way from battery plus to each terminal."""
        return self._topology.ways_from(f"{self.harness.battery.name}.+")

    def _short(self, wire: str) -> ShortCircuit:
        near, terminal = self._ends(wire)
        network = self._live_network(near, without=wire)
        faults = [
            solve_fault(self.harness, network, terminal, target)
            for target in self._targets(network, terminal)
        ]
        weakest = min(faults, key=lambda fault: fault.smallest(wire))
        strongest = max(faults, key=lambda fault: fault.largest(wire))
        fuses = tuple(
            self._fuse_in_path(branch, weakest, strongest)
            for branch in self._fuse_branches(terminal if wire.endswith("/wire") else near)
        )
        return ShortCircuit(
            wire,
            terminal,
            weakest.target,
            network.position.name,
            weakest.smallest(wire),
            min(
                strongest.largest(wire) + self.harness.battery.charging_current_a,
                self._behind_resistors_a(network, terminal),
            ),
            fuses,
            weakest.words(wire, weakest=True),
            (*strongest.words(wire, weakest=False), "alternator charging"),
            *weakest.weakest_corner(wire),
        )

    def _behind_resistors_a(self, network: Network, terminal: str) -> float:
        """Return the most that resistors on the only way to a terminal let through [A].

        No source of the machine puts more than its highest voltage across them; without any,
        infinite.
        """
        in_series_ohm = 0.0
        for branch in network.branches:
            if branch.role == "line resistor":
                others = tuple(other for other in network.branches if other is not branch)
                if terminal not in replace(network, branches=others).reached_from_source():
                    in_series_ohm += branch.contact_ohm.lower
        if in_series_ohm <= 0.0:
            return math.inf
        highest_v = max(
            self.harness.battery.open_circuit_v.upper, self.harness.conditions.running_v().upper
        )
        return highest_v / in_series_ohm

    def _ends(self, wire: str) -> tuple[str, str]:
        """Return the ends of a wire, the one nearer to the battery first."""
        if wire.endswith("/wire"):
            tap = wire.removesuffix("/wire")
            return f"{tap}/fuse load", tap
        record = self.harness.wires[wire]
        start, end = str(record.start), str(record.end)
        before = self._ways
        return (start, end) if len(before[end]) > len(before[start]) else (end, start)

    def _fuse_branches(self, terminal: str) -> list[str]:
        """Return the fuses on the shortest way to a terminal, from the battery on."""
        found = []
        for owner in self._ways[terminal]:
            part = self.harness.parts.get(owner)
            if isinstance(part, Fuse):
                found.append(owner)
            elif isinstance(part, SupplyTap) and part.upstream.fuse is not None:
                found.append(f"{owner}/fuse")
        return found

    def _fuse_in_path(self, branch: str, weakest: Fault, strongest: Fault) -> FuseInPath:
        owner = branch.removesuffix("/fuse")
        part = self.harness.parts[owner]
        if isinstance(part, SupplyTap):
            row, zone = part.upstream.fuse, part.upstream.zone
        elif isinstance(part, Fuse):
            row, zone = part.row, part.zone
        else:
            raise CircuitError(f"{owner} is no fuse")
        if row is None:
            raise CircuitError(f"the fuse upstream of {owner} is not known: read it off the fuse")
        return FuseInPath(
            branch,
            owner,
            row,
            self.harness.zone_of(zone).ambient_c,
            weakest.smallest(branch),
            strongest.largest(branch) + self.harness.battery.charging_current_a,
        )

    def _live_network(self, terminal: str, *, without: str = "") -> Network:
        """Return the network of the least-pressed position in which a terminal is live.

        Live by a way that does not pass the branch `without`, so that a short behind that branch
        draws its current through it.
        """
        key = f"{terminal} without {without}"
        if key not in self._networks:
            self._networks[key] = self._find_live(terminal, without)
        return self._networks[key]

    def _find_live(self, terminal: str, without: str) -> Network:
        for position in self._positions:
            network = self._built.at(position).network
            if network.live and terminal in network.reached_from_source(without=without):
                return network
        raise CircuitError(
            f"no switch position leads to {terminal} by wires and contacts alone; a short behind a "
            "diode or a converter is not worked out"
        )

    @cached_property
    def _built(self) -> PositionNetworks:
        return self.networks or PositionNetworks(self.harness, self.library)

    @cached_property
    def _positions(self) -> tuple[Position, ...]:
        """Every position but cranking, relays as they stand there, fewest buttons first."""
        asked = [p for p in switch_positions(self.harness) if p.key != "cranking"]
        return settle_relays(self.harness, asked, self._built.coil_volts).positions

    def _targets(self, network: Network, terminal: str) -> list[str]:
        """Return what a wire's end may touch: any frame, or a coil's return in the same zone."""
        returned = network.reached_from_reference()
        zone = self.harness.parts[terminal.split(".", maxsplit=1)[0].split("/", maxsplit=1)[0]].zone
        frames = [frame.name for frame in self.harness.of_kind(Frame)]
        coil_ends = [
            f"{coil.name}.{n}"
            for coil in self.harness.coils
            if coil.zone == zone or not frames
            for n in coil.terminals
        ]
        found = [name for name in (*frames, *coil_ends) if name in returned]
        if not found:
            raise CircuitError("nothing leads back to battery minus, so no short can be worked out")
        return found
