"""How relays, cut-outs and fuses end up under each fault, by solving and looking again.

Contacts and coils decide each other, as in `solve/relays/relay_states.py`, but for each fault and
each draw by itself: a relay operates at its own pull-in voltage, a fuse opens where its current is
more than it carries. Of several fuses the one that is loaded most for its rating opens first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from circuitcheck.faults.contact_states import State, fuse_ratings, starts_operated
from circuitcheck.faults.curve_points import CurveStates
from circuitcheck.faults.fault import Change
from circuitcheck.faults.full_network import pull_coils
from circuitcheck.faults.port_response import Shape
from circuitcheck.faults.ports import FloatArray, IntArray
from circuitcheck.faults.pull_in import PullIn
from circuitcheck.faults.situation_network import SituationNetwork
from circuitcheck.faults.state_solution import StateSolution
from circuitcheck.model.relay import Relay

BoolArray = NDArray[np.bool_]
FEW_FAULTS = 48
"""Up to so many faults with other fuses open are solved with those of the commonest state."""
Amps = Mapping[str, FloatArray]
"""Current of branches whichever way it flows, (faults, draws), by name [A]."""


class SettledStates:
    """States of all faults in all draws: `state_of` (faults, draws) numbers `states`.

    `changes` are those of each fault, none for the sound circuit. `opened_before` (faults, draws,
    fuses) are fuses that were open already, in the order of `fuses`. `restless` (faults, draws)
    tells where relays never come to rest.
    """

    def __init__(
        self,
        network: SituationNetwork,
        changes: Sequence[Sequence[Change]],
        opened_before: BoolArray | None,
    ) -> None:
        self.network, self.changes = network, tuple(changes)
        self.draws = network.draws.count
        self.effects = [network.effects(some) for some in changes]
        self.pull_in = PullIn(network.full, network.draws)
        self.fuses = fuse_ratings(network)
        self.opens_at_a = self._opens_at_a()
        self.relays = network.full.harness.of_kind(Relay)
        self._curves = network.curve_states(self.effects)
        self.supply_v = self._supplies()
        self.states: list[State] = []
        self._number: dict[State, int] = {}
        self.state_of = np.zeros((len(changes), self.draws), dtype=np.intp)
        self.restless = np.zeros(self.state_of.shape, dtype=bool)
        self._solved: dict[tuple[int, bytes], StateSolution] = {}
        self._start(opened_before)
        if network.has_battery:
            self._settle()

    def solutions(self) -> list[tuple[StateSolution, BoolArray]]:
        """Return the solutions of all states, each with where it holds (its faults, draws)."""
        out = []
        for number in range(len(self.states)):
            is_here = self.state_of == number
            places = np.flatnonzero(is_here.any(axis=1))
            if places.size:
                solved = self._solved_before(number, places) or self.solution(number, places)
                out.append((solved, is_here[solved.places]))
        return out

    def solution(self, number: int, places: IntArray) -> StateSolution:
        """Return some faults solved in a state."""
        key = (number, places.tobytes())
        if key not in self._solved:
            self._solved[key] = self._solve(self.states[number], places, self.network.fed)
        return self._solved[key]

    def _solved_before(self, number: int, places: IntArray) -> StateSolution | None:
        """Return a solution of a state that holds all of some faults, and perhaps more."""
        wanted = set(places.tolist())
        for (state, _), solved in self._solved.items():
            if state == number and wanted <= set(solved.places.tolist()):
                return solved
        return None

    def unfed(self) -> list[tuple[StateSolution, BoolArray]]:
        """Return all faults with the battery off: relays at rest, fuses as they are."""
        grouped: dict[State, BoolArray] = {}
        for k, one in enumerate(self.effects):
            operated = frozenset(name for name, on in one.stuck.items() if on)
            for number in np.unique(self.state_of[k]).tolist():
                state = State(operated, opened=self.states[number].opened)
                where = grouped.setdefault(state, np.zeros(self.state_of.shape, dtype=bool))
                where[k] |= self.state_of[k] == number
        alike: dict[frozenset[str], list[tuple[State, BoolArray]]] = {}
        for state, where in sorted(grouped.items(), key=lambda one: -_faults_in(one[1])):
            alike.setdefault(state.operated, []).append((state, where))
        out = []
        for first, *others in alike.values():
            # a fuse that few have lost is one more change of theirs
            is_few = sum(_faults_in(where) for _, where in others) <= FEW_FAULTS
            for some in [[first, *others]] if is_few else [[one] for one in (first, *others)]:
                where = np.asarray(np.any([held for _, held in some], axis=0))
                places = np.flatnonzero(where.any(axis=1))
                solved = self._solve(some[0][0], places, self.network.unfed, some[1:])
                out.append((solved, where[places]))
        return out

    def _solve(
        self,
        state: State,
        places: IntArray,
        shape: Shape,
        others: Sequence[tuple[State, BoolArray]] = (),
    ) -> StateSolution:
        """Solve some faults in a state, in some draws with the fuses of another one."""
        network = self.network
        position = replace(network.position, energised_relays=state.operated)
        closed = network.full.closed(position, state.cut_out)
        g = network.conductance(closed, state.opened)
        edits = [network.edits(self.changes[k], g) for k in places.tolist()]
        for other, where in others:
            wide = network.conductance(closed, other.opened)
            fuses = [network.full.branch_of[name] for name in state.opened ^ other.opened]
            for at in np.flatnonzero(where[places].any(axis=1)).tolist():
                held = network.edits(self.changes[places[at]], wide)
                lost = {number: wide[number] for number in fuses} | dict(held.branches)
                held = replace(held, branches=lost)
                edits[at] = edits[at].where(where[places[at]], held, g)
        curves = CurveStates(self._curves.alive[places], self._curves.turned[places])
        return StateSolution(network, shape, g, places, edits, self.supply_v[places], curves)

    def _supplies(self) -> FloatArray:
        network = self.network
        out = np.tile(network.draws.supply_v, (len(self.effects), 1))
        if network.situation.supply_v is None:
            for k, one in enumerate(self.effects):
                if one.supply_v is not None:
                    out[k] = np.minimum(out[k], one.supply_v)
        return out

    def _opens_at_a(self) -> FloatArray:
        """Current at which each fuse opens, (faults, draws, fuses): between the two limits [A]."""
        library = self.network.full.library
        lower = library.limit("fuse_not_opening_percent").value / 100.0
        upper = library.limit("fuse_opening_percent").value / 100.0
        out = np.empty((len(self.effects), self.draws, len(self.fuses)))
        for j, (name, rating_a) in enumerate(self.fuses.items()):
            share = lower + (upper - lower) * self.network.draws.share(f"{name}: opening")
            for k, one in enumerate(self.effects):
                out[k, :, j] = share * one.fuse_rating_a.get(name, rating_a)
        return out

    def _numbered(self, state: State) -> int:
        if state not in self._number:
            self._number[state] = len(self.states)
            self.states.append(state)
        return self._number[state]

    def _start(self, opened_before: BoolArray | None) -> None:
        """Relays at rest, or held in where the position is one that only a history leads to."""
        network = self.network
        held = network.full.held_before(network.position) if network.has_battery else frozenset()
        for k, one in enumerate(self.effects):
            operated = frozenset(r.name for r in self.relays if starts_operated(one, r, held))
            self.state_of[k] = self._numbered(State(operated))
        if opened_before is not None and opened_before.any():
            self._start_blown(opened_before)

    def _start_blown(self, opened_before: BoolArray) -> None:
        """Take the fuses out of the states that were open already."""
        blown = opened_before.any(axis=2)
        rows = np.column_stack([self.state_of[blown], opened_before[blown]])
        distinct, which = np.unique(rows, axis=0, return_inverse=True)
        numbers = []
        for number, *was in distinct.tolist():
            names = frozenset(name for name, is_out in zip(self.fuses, was, strict=True) if is_out)
            numbers.append(self._numbered(replace(self.states[number], opened=names)))
        self.state_of[blown] = np.array(numbers)[which.reshape(-1)]

    def _settle(self) -> None:
        waiting = np.ones(self.state_of.shape, dtype=bool)
        rounds = 2 * (len(self.relays) + len(pull_coils(self.network.full.harness))) + 2
        for _ in range(rounds + len(self.fuses)):
            before = self.state_of.copy()
            for number in np.unique(self.state_of[waiting]).tolist():
                is_here = waiting & (before == number)
                places = np.flatnonzero(is_here.any(axis=1))
                self._look(number, places, is_here)
            waiting = self.state_of != before
            if not waiting.any():
                return
        self.restless = waiting

    def _look(self, number: int, places: IntArray, is_here: BoolArray) -> None:
        """Decide the next state of some faults from their solution in this one."""
        state, solved = self.states[number], self.solution(number, places)
        found = np.abs(solved.currents(self._deciding))
        amps = {name: found[:, j] for j, name in enumerate(self._deciding)}
        columns = [self._operated(state, amps, places), self._cut(state, amps, places)]
        opening = self._opening(state, amps, places)
        keys = np.concatenate([*columns, opening[..., None]], axis=-1)
        flat, which = np.unique(keys.reshape(-1, keys.shape[-1]), axis=0, return_inverse=True)
        next_of = np.array([self._numbered(self._next(state, row)) for row in flat.tolist()])
        new = next_of[which.reshape(-1)].reshape(places.size, self.draws)
        self.state_of[places] = np.where(is_here[places], new, self.state_of[places])

    def _next(self, state: State, row: list[int]) -> State:
        relays, coils = self.relays, pull_coils(self.network.full.harness)
        cut = row[len(relays) : len(relays) + len(coils)]
        cuts = frozenset(c.name for c, on in zip(coils, cut, strict=True) if on)
        fuse = row[-1]
        # a pull winding is off again before its fuse opens
        if fuse >= 0 and cuts <= state.cut_out:
            return replace(state, opened=state.opened | {list(self.fuses)[fuse]})
        operated = frozenset(r.name for r, on in zip(relays, row, strict=False) if on)
        return State(
            operated,
            cuts,
            state.opened,
        )

    @cached_property
    def _deciding(self) -> tuple[str, ...]:
        """Branches whose currents decide the next state: relay coils, windings, fuses."""
        coils = pull_coils(self.network.full.harness)
        windings = [f"{coil.name}/{winding}" for coil in coils for winding in ("hold", "pull")]
        return (*(relay.name for relay in self.relays), *windings, *self.fuses)

    def _operated(self, state: State, amps: Amps, places: IntArray) -> IntArray:
        out = np.zeros((places.size, self.draws, len(self.relays)), dtype=np.intp)
        for j, relay in enumerate(self.relays):
            force = amps[relay.name] * self._turns(relay.name, places)
            out[..., j] = self.pull_in.relay(relay, force, relay.name in state.operated)
            for k, place in enumerate(places.tolist()):
                if relay.name in self.effects[place].stuck:
                    out[k, :, j] = self.effects[place].stuck[relay.name]
        return out

    def _cut(self, state: State, amps: Amps, places: IntArray) -> IntArray:
        coils = pull_coils(self.network.full.harness)
        out = np.zeros((places.size, self.draws, len(coils)), dtype=np.intp)
        for j, coil in enumerate(coils):
            windings = [f"{coil.name}/{winding}" for winding in ("hold", "pull")]
            hold, pull = (amps[name] * self._turns(name, places) for name in windings)
            total = hold + pull
            moved = self.pull_in.pull_hold(coil, total, coil.name in state.cut_out)
            seized = [coil.name in self.effects[place].seized for place in places.tolist()]
            out[..., j] = moved & ~np.array(seized)[:, None]
        return out

    def _turns(self, branch: str, places: IntArray) -> FloatArray:
        """Share of a winding's turns that still work, (faults, 1)."""
        shares = [self.effects[place].turns.get(branch, 1.0) for place in places.tolist()]
        return np.array(shares)[:, None]

    def _opening(self, state: State, amps: Amps, places: IntArray) -> IntArray:
        """Number of the fuse that opens, -1 where none does, (faults, draws)."""
        load = np.zeros((places.size, self.draws, len(self.fuses)))
        for j, name in enumerate(self.fuses):
            if name not in state.opened:
                load[..., j] = amps[name] / self.opens_at_a[places, :, j]
        if not self.fuses:
            return np.full((places.size, self.draws), -1, dtype=np.intp)
        most = load.argmax(axis=-1)
        return np.where(load.max(axis=-1) > 1.0, most, -1)


def _faults_in(where: BoolArray) -> int:
    """Number of faults that a state holds for in any draw, (faults, draws)."""
    return int(where.any(axis=1).sum())
