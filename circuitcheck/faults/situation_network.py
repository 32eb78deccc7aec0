"""The network of one situation, and what each fault makes of its branches.

A part that is taken off lies between terminals of its own (`VL.1/part`); the wires that landed on
it keep theirs. A connector pulled apart, or a wire taken out, carries nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from circuitcheck.errors import CircuitError
from circuitcheck.faults.curve_points import CurveStates, curve_draws
from circuitcheck.faults.fault import (
    AddedOhm,
    AlwaysClosed,
    Change,
    CoilSeized,
    CurveOpen,
    CurveReversed,
    EndMoved,
    FuseRated,
    Joined,
    OhmTimes,
    RelayStuck,
    SupplyAt,
)
from circuitcheck.faults.full_network import PART_SIDE, FullNetwork
from circuitcheck.faults.port_response import Shape
from circuitcheck.faults.ports import Edits, FloatArray, IntArray, Port, Ports
from circuitcheck.faults.tolerance_draws import ToleranceDraws
from circuitcheck.model.connector import Connector
from circuitcheck.model.reading import Situation
from circuitcheck.solve.bounds.box import LEAST_OHM


@dataclass
class Effects:
    """What a fault does besides changing resistances; numbers are those of curves."""

    curves_open: set[int] = field(default_factory=set)
    curves_reversed: set[int] = field(default_factory=set)
    stuck: dict[str, bool] = field(default_factory=dict)
    seized: set[str] = field(default_factory=set)
    supply_v: float | None = None
    fuse_rating_a: dict[str, float] = field(default_factory=dict)
    turns: dict[str, float] = field(default_factory=dict)


class SituationNetwork:
    """Ends and conductances of all branches in a situation; faults as edits of them."""

    def __init__(self, full: FullNetwork, situation: Situation, draws: ToleranceDraws) -> None:
        self.full, self.situation, self.draws = full, situation, draws
        self.parameters = curve_draws(full.curves, full.converters, draws)
        self.stand_in_s = self.parameters.stand_in_s
        self.position = full.position(situation.position)
        self.closed_s = 1.0 / draws.resistance_ohm
        self._place()

    def _place(self) -> None:
        full = self.full
        known = (*full.harness.parts, *full.harness.wires)
        for name in self.situation.unplugged:
            if name not in known:
                raise CircuitError(f"{name} is neither a part nor a wire: it cannot be unplugged")
        off = {
            name
            for name in self.situation.unplugged
            if name in full.harness.parts
            and not isinstance(full.harness.parts[name], Connector)
            and name != full.harness.battery.name
        }
        node = dict(full.node_of)
        self.node_of: dict[str, int] = dict(node)
        moved: dict[str, dict[int, int]] = {}
        for part in sorted(off):
            for name, number in node.items():
                if name == part or name.startswith(f"{part}."):
                    new = self.node_of.setdefault(f"{name}{PART_SIDE}", len(self.node_of))
                    moved.setdefault(part, {})[number] = new
        self._moved = moved

        def ends(owner: str, *nodes: int) -> tuple[int, ...]:
            there = moved.get(owner, {})
            return tuple(there.get(one, one) for one in nodes)

        pairs = [ends(b.owner, b.start, b.end) for b in full.branches]
        first = len(pairs)
        pairs += [ends(c.owner, c.curve.start, c.curve.end) for c in full.curves]
        for c in full.converters:
            source, output, minus = ends(c.owner, c.source, c.output, c.minus)
            pairs += [(source, minus), (output, minus)]
        self.starts: IntArray = np.array([p[0] for p in pairs], dtype=np.intp)
        self.ends: IntArray = np.array([p[1] for p in pairs], dtype=np.intp)
        curves = range(first, len(pairs))
        self.curve_ports = Ports([Port(pairs[k][0], pairs[k][1], k) for k in curves])
        gone = {name for name in self.situation.unplugged if name not in off}
        self.removed = np.array([b.owner in gone for b in full.branches], dtype=bool)
        self.has_battery = full.harness.battery.name not in self.situation.unplugged

    @cached_property
    def fed(self) -> Shape:
        """Shape with the battery holding its posts."""
        return self._shape(self.has_battery)

    @cached_property
    def unfed(self) -> Shape:
        """Shape with the battery taken off."""
        return self._shape(False)

    def _shape(self, fed: bool) -> Shape:
        key = (self.situation.unplugged, fed)
        if key not in self.full.shapes:
            poles = (self.full.source, self.full.reference)
            shape = Shape(len(self.node_of), self.starts, self.ends, *poles, fed)
            self.full.shapes[key] = shape
        return self.full.shapes[key]

    def port(self, plus: str, minus: str) -> Port:
        """Return the port between two terminals. Raises CircuitError for an unknown one."""
        for name in (plus, minus):
            if name not in self.node_of:
                raise CircuitError(f"no terminal {name} in this circuit")
        return Port(self.node_of[plus], self.node_of[minus])

    def branch_port(self, name: str) -> Port:
        """Return the port across a branch. Raises CircuitError for an unknown one."""
        number = self.full.branch_of.get(name)
        if number is None:
            raise CircuitError(f"no branch {name} in this circuit")
        return Port(int(self.starts[number]), int(self.ends[number]), number)

    def conductance(self, closed: frozenset[str], opened: Iterable[str]) -> FloatArray:
        """Return conductances with some contacts closed and some fuses open, (rows, draws).

        Rows are the branches, then what stands in the network for each curve.
        """
        is_on = np.array([b.name in closed for b in self.full.branches], dtype=bool)
        is_on &= ~self.removed
        for name in opened:
            is_on[self.full.branch_of[name]] = False
        return np.concatenate([np.where(is_on[:, None], self.closed_s, 0.0), self.stand_in_s])

    def edits(self, changes: Sequence[Change], conductance: FloatArray) -> Edits:
        """Return what changes make of conductances (rows, draws)."""
        now: dict[int, FloatArray] = {}
        joins: dict[tuple[int, int], FloatArray] = {}
        moves: dict[int, dict[str, str]] = {}
        for change in changes:
            number = self._number(change)
            if isinstance(change, Joined):
                pair = self._pair(change.first, change.second)
                joins[pair] = joins.get(pair, 0.0) + np.full(self.draws.count, 1.0 / change.ohm)
            elif number is not None and not self.removed[number]:
                if isinstance(change, EndMoved):
                    moves.setdefault(number, {})[change.at] = change.to
                else:
                    g = now.get(number, conductance[number])
                    now[number] = self._changed(change, number, g)
        moved: dict[int, tuple[int, int]] = {}
        for number, ends in moves.items():
            pair = self._new_ends(number, ends)
            joins[pair] = joins.get(pair, 0.0) + now.get(number, conductance[number])
            now[number], moved[number] = np.zeros(self.draws.count), pair
        joins = {pair: g for pair, g in joins.items() if pair[0] != pair[1] and g.any()}
        return Edits(now, joins, moved)

    def _number(self, change: Change) -> int | None:
        name = getattr(change, "branch", getattr(change, "fuse", None))
        if name is None:
            return None
        if name not in self.full.branch_of:
            raise CircuitError(f"a fault changes {name}, which this circuit has not")
        return self.full.branch_of[name]

    def _pair(self, first: str, second: str) -> tuple[int, int]:
        port = self.port(first, second)
        return (port.plus, port.minus)

    def _new_ends(self, number: int, ends: Mapping[str, str]) -> tuple[int, int]:
        branch, names = self.full.branches[number], self.full.node_names
        start, end = names[branch.start], names[branch.end]
        return self._pair(ends.get(start, start), ends.get(end, end))

    def _changed(self, change: Change, number: int, g: FloatArray) -> FloatArray:
        if isinstance(change, AlwaysClosed):
            return np.asarray(self.closed_s[number])
        if isinstance(change, OhmTimes):
            return np.asarray(g / change.factor)
        if isinstance(change, FuseRated):
            element = self.draws.within(f"{change.fuse}: element", change.element_ohm)
            return np.where(g > 0.0, 1.0 / np.maximum(element, LEAST_OHM), 0.0)
        if isinstance(change, AddedOhm):
            with np.errstate(divide="ignore"):
                return np.where(g > 0.0, 1.0 / (1.0 / g + change.ohm), 0.0)
        return g

    def effects(self, changes: Sequence[Change]) -> Effects:
        """Return what changes do besides changing resistances."""
        out = Effects()
        for change in changes:
            if isinstance(change, CurveOpen):
                out.curves_open.update(self._curve_rows(change.curve))
            elif isinstance(change, CurveReversed):
                out.curves_reversed.update(self._curve_rows(change.curve))
            elif isinstance(change, RelayStuck):
                out.stuck[change.relay] = change.operated
            elif isinstance(change, CoilSeized):
                out.seized.add(change.coil)
            elif isinstance(change, SupplyAt):
                out.supply_v = change.volts
            elif isinstance(change, FuseRated):
                out.fuse_rating_a[change.fuse] = change.rating_a
            elif isinstance(change, OhmTimes):
                out.turns[change.branch] = change.factor
        return out

    def _curve_rows(self, name: str) -> tuple[int, ...]:
        number = self.full.curve_of.get(name)
        if number is not None:
            return (number,)
        names = [c.name for c in self.full.converters]
        if name in names:
            first = len(self.full.curves) + 2 * names.index(name)
            return (first, first + 1)
        raise CircuitError(f"a fault changes {name}, which this circuit has not")

    def curve_states(self, effects: Sequence[Effects]) -> CurveStates:
        """Return which curves carry and which are turned round, (faults, rows)."""
        shape = (len(effects), len(self.curve_ports))
        alive, turned = np.ones(shape, dtype=bool), np.zeros(shape, dtype=bool)
        for k, one in enumerate(effects):
            for row in one.curves_open:
                alive[k, row] = False
            for row in one.curves_reversed:
                turned[k, row] = True
        return CurveStates(alive, turned)


def situation_network(
    full: FullNetwork,
    situation: Situation,
    draws: int,
    seed: int,
    windings_c: Mapping[str, float] | None = None,
) -> SituationNetwork:
    """Return the machines drawn for a situation: the same ones whatever faults are asked after."""
    key = (situation, draws, seed)
    if not windings_c and key in full.machines:
        return full.machines[key]
    network = SituationNetwork(
        full, situation, ToleranceDraws(full, situation, draws, seed, windings_c)
    )
    if not windings_c:
        full.machines[key] = network
    return network
