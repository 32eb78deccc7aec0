"""Every fault of a list in one situation of the machine, in some draws of its tolerances.

What an instrument shows, which coil pulls in, which lamp is lit and which fuse has opened, for all
faults and draws side by side. How: `port_response.py` (one network solved, each fault a change of
low rank to it), `curve_points.py` (lamps, diodes, converters), `settled_states.py` (relays,
cut-outs and fuses, decided for each fault and draw by itself).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from circuitcheck.errors import CircuitError
from circuitcheck.faults.contact_states import State
from circuitcheck.faults.fault import Change, Fault, changes_of
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.faults.ports import FloatArray, Ports
from circuitcheck.faults.settled_states import SettledStates
from circuitcheck.faults.situation_network import situation_network
from circuitcheck.faults.state_solution import StateSolution
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.reading import Situation
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil

BoolArray = NDArray[np.bool_]
METER_OPEN_V, METER_INNER_OHM = 1.0, 1000.0
"""An ohmmeter on its lowest range: what it puts on open leads, and behind what resistance. Common
practice, no source."""
LEAST_A = 1e-6
"""A lamp with less current is broken, whatever stands across it."""
NO_PATH_OHM = 1e8
"""More than any ohmmeter of the trade reads."""


class FaultedCircuits:
    """All given faults in one Situation, with `draws` tolerance draws each.

    Arrays have the shape (faults + 1, draws); index 0 of the fault axis is 'nothing wrong', index
    k the k-th of `faults`, each a Fault or a tuple of several at once. The machines drawn are the
    same for every fault and every situation of a harness with the same `seed`; draws=1 is the
    machine with every value nominal. Supply, air and coil heat are those of the situation.

    `full` may be passed on from one situation to the next, to save building it. `blown` are the
    fuses that an earlier situation has opened (its `blown`): without it every fuse that is not
    itself at fault starts whole. `windings_c` are temperatures of windings, by the names of their
    branches, in place of those of the situation.

    Raises CircuitError for an unknown position, part or terminal.
    """

    def __init__(
        self,
        harness: Harness,
        library: Library,
        faults: Sequence[Fault | tuple[Fault, ...]],
        situation: Situation,
        draws: int = 32,
        seed: int = 1,
        *,
        full: FullNetwork | None = None,
        blown: BoolArray | None = None,
        windings_c: Mapping[str, float] | None = None,
    ) -> None:
        self.harness, self.library = harness, library
        self.faults, self.situation = tuple(faults), situation
        self.full = full if full is not None else FullNetwork(harness, library)
        self.network = situation_network(self.full, situation, draws, seed, windings_c)
        self.draws = self.network.draws
        changes: list[tuple[Change, ...]] = [(), *(changes_of(fault) for fault in faults)]
        self._settled = SettledStates(self.network, changes, blown)

    @property
    def shape(self) -> tuple[int, int]:
        """Faults + 1, draws."""
        rows, columns = self._settled.state_of.shape
        return rows, columns

    @property
    def supply_v(self) -> FloatArray:
        """Voltage at the battery posts [V]."""
        return self._settled.supply_v

    def between_v(self, plus: str, minus: str, load_ohm: float = math.inf) -> FloatArray:
        """Voltage from terminal `minus` to `plus` with an instrument of `load_ohm` between [V].

        A terminal of a part that is unplugged is that of the wire that landed on it;
        `VL.1/part` is the part's own. Relays, fuses and cut-outs stay as they are without the
        instrument.
        """
        return self.between_many_v([(plus, minus)], load_ohm)[:, 0]

    def between_many_v(
        self, pairs: Sequence[tuple[str, str]], load_ohm: float = math.inf
    ) -> FloatArray:
        """Voltages of many pairs, the instrument on one at a time, (faults + 1, pairs, draws)."""
        if not load_ohm > 0.0:
            raise CircuitError(f"an instrument of {load_ohm} ohm is a short circuit")
        ports = Ports([self.network.port(plus, minus) for plus, minus in pairs])
        if math.isinf(load_ohm):
            return self._gather(lambda solved: solved.voltage(ports), (len(ports),))
        return self._gather(lambda solved: solved.loaded_voltage(ports, load_ohm), (len(ports),))

    def path_ohm(
        self,
        plus: str,
        minus: str,
        open_v: float = METER_OPEN_V,
        inner_ohm: float = METER_INNER_OHM,
    ) -> FloatArray:
        """Resistance between two terminals as an ohmmeter reads it, battery off [ohm].

        Every path counts; lamps are cold, diodes as far as the meter's own voltage drives them;
        relays are at rest, buttons and key as in the situation. Infinite where there is no path.
        Where both terminals belong to one part that is unplugged, the part itself is measured.
        """
        port = self.network.port(*self._part_side(plus, minus))
        out = np.empty(self.shape)
        for solved, where in self._unfed:
            found = solved.ohms(port, open_v, inner_ohm)
            out[solved.places] = np.where(where, found, out[solved.places])
        return np.where(out > NO_PATH_OHM, math.inf, out)

    def current_a(self, branch: str) -> FloatArray:
        """Current of a wire, fuse, contact or winding from its start to its end [A].

        By the name of its branch: `W3`, `F1`, `GRIP/left`, `X1/2`, `VL`, `Y1/hold`, `TAP/fuse`; a
        lamp, LED or diode by its own. 0 in what an unplugged connector or a lost wire would carry.
        """
        row = self.full.curve_of.get(branch)
        if row is not None and branch not in self.full.branch_of:
            return self._gather(lambda solved: solved.curve_current(row), ())
        return self.currents_a([branch])[:, 0]

    def currents_a(self, branches: Sequence[str]) -> FloatArray:
        """Currents of many branches at once, (faults + 1, branches, draws) [A]."""
        for name in branches:
            self.network.branch_port(name)
        return self._gather(lambda solved: solved.currents(branches), (len(branches),))

    def coil_on(self, coil: str) -> BoolArray:
        """Whether a coil moves what it works, or a relay its contacts (faults + 1, draws).

        True where its winding carries what this draw needs to pull in and its plunger is free; a
        relay where it has operated and not only its contacts are stuck.
        """
        part = self.harness.parts[coil]
        if isinstance(part, Relay):
            moves = self.relay_operated(coil)
            stuck = np.array([coil in one.stuck for one in self._settled.effects])
            moves = moves & ~stuck[:, None] & ~self._seized(coil)
        elif isinstance(part, PullHoldCoil) and part.cuts_out:
            moves = self.cut_out(coil) & ~self._seized(coil)
        else:
            moves = self.pull_share(coil) >= self._settled.pull_in.own_share(coil)
        return np.asarray(moves & ~self.restless)

    def pull_share(self, coil: str) -> FloatArray:
        """Current of a coil over the current that moves every coil of its type; 0 if it is seized.

        From 1 on it is sure to move, below LEAST_SHARE of `pull_in.py` sure not to. A pull and hold
        coil that has cut out counts as 1.
        """
        return self.pull_shares([coil])[coil]

    def pull_shares(self, coils: Sequence[str]) -> dict[str, FloatArray]:
        """Return `pull_share` of many coils, by name."""
        if not coils:
            return {}
        windings = [name for coil in coils for name in self._windings(coil)]
        amps = dict(zip(windings, np.moveaxis(self.currents_a(windings), 1, 0), strict=True))
        force = {name: np.abs(found) * self._turns(name) for name, found in amps.items()}
        out = {}
        for coil in coils:
            part = self.harness.parts[coil]
            total = np.sum([force[name] for name in self._windings(coil)], axis=0)
            if isinstance(part, PullHoldCoil):
                share = total / self._settled.pull_in.pull_hold_a(part)
                share = np.where(self.cut_out(coil), np.maximum(share, 1.0), share)
            elif isinstance(part, SolenoidCoil):
                share = total / self._settled.pull_in.coil_a(part)
            out[coil] = np.where(self._seized(coil), 0.0, share)
        return out

    def _windings(self, coil: str) -> tuple[str, ...]:
        part = self.harness.parts.get(coil)
        if isinstance(part, PullHoldCoil):
            return (f"{coil}/hold", f"{coil}/pull")
        if isinstance(part, SolenoidCoil):
            return (coil,)
        raise CircuitError(f"{coil} is no coil that moves something")

    def _turns(self, branch: str) -> FloatArray:
        """Share of a winding's turns that still work, (faults + 1, 1)."""
        return np.array([one.turns.get(branch, 1.0) for one in self._settled.effects])[:, None]

    def _seized(self, coil: str) -> BoolArray:
        return np.array([coil in one.seized for one in self._settled.effects])[:, None]

    def lit(self, indicator: str) -> BoolArray:
        """Whether a lamp or LED is seen to be lit, by the library's limits (faults + 1, draws)."""
        amps = self.current_a(indicator)
        row = self.full.curve_of[indicator]
        if self.network.parameters.is_lamp[row]:
            curve = self.full.curves[row].curve
            share = self.library.limit("lamp_glow_fraction").value
            across = self.between_many_v([(f"{indicator}.1", f"{indicator}.2")])[:, 0]
            rated_v = getattr(curve, "rated_v", math.inf)
            return np.asarray((np.abs(across) >= share * rated_v) & (np.abs(amps) > LEAST_A))
        other = f"{indicator}/other way"
        if other in self.full.curve_of:
            amps = np.maximum(amps, self.current_a(other))
        return np.asarray(amps >= self.library.limit("led_least_current_a").value)

    def fuse_open(self, fuse: str) -> BoolArray:
        """Whether a fuse is open: blown by the fault, or itself at fault (faults + 1, draws).

        `F1`, or `TAP/fuse` for the machine's own fuse ahead of a tap.
        """
        if fuse not in self._settled.fuses:
            raise CircuitError(f"{fuse} is no fuse")
        number = self.full.branch_of[fuse]
        sound = self.network.closed_s
        lost = [
            not self.network.edits(some, sound).branches.get(number, sound[number]).any()
            for some in self._settled.changes
        ]
        opened = self._in_state(lambda state: fuse in state.opened)
        return np.asarray(opened | np.array(lost)[:, None])

    def relay_operated(self, relay: str) -> BoolArray:
        """Whether a relay's contacts stand operated, by its coil or stuck (faults + 1, draws)."""
        return self._in_state(lambda state: relay in state.operated)

    def cut_out(self, coil: str) -> BoolArray:
        """Whether a coil's pull winding is cut out (faults + 1, draws)."""
        return self._in_state(lambda state: coil in state.cut_out)

    def _in_state(self, is_so: Callable[[State], bool]) -> BoolArray:
        holds = np.array([is_so(state) for state in self._settled.states])
        return np.asarray(holds[self._settled.state_of])

    @property
    def fuses(self) -> tuple[str, ...]:
        """Fuses by the names of their branches, in the order of `blown`."""
        return tuple(self._settled.fuses)

    @property
    def blown(self) -> BoolArray:
        """Fuses that are open at the end of this situation, (faults + 1, draws, fuses)."""
        if not self.fuses:
            return np.zeros((*self.shape, 0), dtype=bool)
        held = [[name in state.opened for name in self.fuses] for state in self._settled.states]
        return np.asarray(np.array(held)[self._settled.state_of])

    @property
    def restless(self) -> BoolArray:
        """Where relays or a cut-out never come to rest: they chatter (faults + 1, draws)."""
        return self._settled.restless

    @cached_property
    def _solutions(self) -> list[tuple[StateSolution, BoolArray]]:
        return self._settled.solutions()

    @cached_property
    def _unfed(self) -> list[tuple[StateSolution, BoolArray]]:
        return self._settled.unfed()

    def _gather(
        self, ask: Callable[[StateSolution], FloatArray], middle: tuple[int, ...]
    ) -> FloatArray:
        """Put the answers of all states together, each where it holds."""
        faults, draws = self.shape
        out = np.empty((faults, *middle, draws))
        for solved, where in self._solutions:
            wide = where.reshape(where.shape[0], *(1,) * len(middle), draws)
            out[solved.places] = np.where(wide, ask(solved), out[solved.places])
        return out

    def _part_side(self, plus: str, minus: str) -> tuple[str, str]:
        own = {name.partition(".")[0] for name in (plus, minus)}
        if len(own) == 1 and own <= self.situation.unplugged:
            sides = (f"{plus}/part", f"{minus}/part")
            if all(name in self.network.node_of for name in sides):
                return sides
        return plus, minus
