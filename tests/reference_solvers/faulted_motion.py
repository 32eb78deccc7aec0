"""What moves in a faulted machine: relays, plungers, fuses, by the currents of its circuit."""

from __future__ import annotations

import math

from circuitcheck.faults import fault as f
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.supply_tap import SupplyTap
from reference_solvers.exported_elements import ExportedElements
from reference_solvers.faulted_circuit import Machine, State

HOT_SHARE = 0.85
COPPER_ZERO_C = 234.5


class Motion:
    """Which coils pull in, which relays operate and which fuse opens next."""

    def __init__(self, exported: ExportedElements) -> None:
        self.harness, self.elements = exported.harness, exported.elements

    def next_state(self, machine: Machine, state: State) -> State:
        changes = f.changes_of(machine.faults)
        ratings = self.fuses() | {c.fuse: c.rating_a for c in changes
                                   if isinstance(c, f.FuseRated)}  # fmt: skip
        load = {
            name: abs(state.volts.get(f"i {name}", 0.0))
            / (ratings[name] * (1.1 + 0.25 * machine.shares[name]))
            for name in ratings if name not in state.opened
        }  # fmt: skip
        worst = max(load, key=lambda name: load[name], default=None)
        if worst is not None and load[worst] > 1.0:
            return State(state.operated, state.cut_out, state.opened | {worst})
        stuck = {c.relay: c.operated for c in changes if isinstance(c, f.RelayStuck)}
        operated = {r.name for r in self.harness.of_kind(Relay)
                    if stuck.get(r.name, self._relay_on(machine, state, r))}  # fmt: skip
        coils = [c.name for c in self.harness.of_kind(PullHoldCoil) if c.cuts_out]
        cut = {name for name in coils if stuck.get(name, self.moves(machine, state, name))}
        return State(frozenset(operated), frozenset(cut), state.opened)

    def fuses(self) -> dict[str, float]:
        out = {p.name: p.row.rating_a for p in self.harness.of_kind(Fuse)}
        for tap in self.harness.of_kind(SupplyTap):
            if tap.upstream.fuse is not None:
                out[f"{tap.name}/fuse"] = tap.upstream.fuse.rating_a
        return out

    def _relay_on(self, machine: Machine, state: State, relay: Relay) -> bool:
        turns = self._turns(machine, relay.name)
        amps = abs(state.volts.get(f"i {relay.name}", 0.0)) * turns
        # its winding as drawn, at the temperature that pull-in is stated for
        ohm = self._ohm_20c(machine, relay.name) * (COPPER_ZERO_C + relay.coil_at_c) / 254.5
        pull, drop = relay.pull_in_v, relay.drop_out_v
        pull = 0.7 * relay.rated_v if pull is None else pull
        drop = 0.1 * relay.rated_v if drop is None else drop
        share = 0.75 + 0.25 * machine.shares[relay.name]
        return amps * ohm >= (drop if relay.name in state.operated else share * pull)

    def _ohm_20c(self, machine: Machine, branch: str) -> float:
        """Winding at 20 degC by where its draw lies in its band, air and tolerance together."""
        part = self.harness.parts[branch.partition("/")[0]]
        band = (part.resistance_20c_ohm if isinstance(part, SolenoidCoil | Relay) else
                part.hold_20c_ohm if branch.endswith("/hold") else part.pull_20c_ohm)  # fmt: skip
        lower, _, upper = self.elements[branch].ohms
        share = (machine.ohms[branch] - lower) / (upper - lower) if upper > lower else 0.5
        return band.lower + share * (band.upper - band.lower)

    def _turns(self, machine: Machine, branch: str) -> float:
        return math.prod(c.factor for c in f.changes_of(machine.faults)
                         if isinstance(c, f.OhmTimes) and c.branch == branch)  # fmt: skip

    def moves(self, machine: Machine, state: State, name: str) -> bool:
        """Whether a coil moves its plunger, or a relay its contacts."""
        part = self.harness.parts[name]
        if any(isinstance(c, f.CoilSeized) and c.coil == name
               for c in f.changes_of(machine.faults)):  # fmt: skip
            return False
        if isinstance(part, Relay):
            stuck = any(isinstance(c, f.RelayStuck) and c.relay == name
                        for c in f.changes_of(machine.faults))  # fmt: skip
            return not stuck and self._relay_on(machine, state, part)
        share = 0.75 + 0.25 * machine.shares[name]
        asked = HOT_SHARE if part.pull_in_fraction is None else part.pull_in_fraction
        if isinstance(part, SolenoidCoil):
            amps = abs(state.volts.get(f"i {name}", 0.0)) * self._turns(machine, name)
            hot = self._hot_ohm(part, self._ohm_20c(machine, name))
            return amps >= share * asked * part.rated_v / hot
        windings = (f"{name}/hold", f"{name}/pull")
        amps = sum(abs(state.volts.get(f"i {w}", 0.0)) * self._turns(machine, w) for w in windings)
        hold20, pull20 = (self._ohm_20c(machine, w) for w in windings)
        hold = self._hot_ohm(part, hold20)
        if name in state.cut_out:
            drop = 0.1 if part.drop_out_fraction is None else part.drop_out_fraction.upper
            return amps >= drop * part.rated_v / hold
        pull = pull20 * hold / hold20
        return amps >= share * asked * part.rated_v * (1.0 / hold + 1.0 / pull)

    def _hot_ohm(self, part: SolenoidCoil | PullHoldCoil, ohm_20c: float) -> float:
        """Steady winding on rated voltage, by turns: power heats, heat adds ohms."""
        heat, ohm = part.thermal_resistance_k_per_w, ohm_20c
        for _ in range(60):
            rise = 60.0
            if heat is not None:
                duty = 1.0 if part.duty is None else part.duty
                rise = heat.nominal * duty * part.rated_v**2 / ohm
            ohm = ohm_20c * (COPPER_ZERO_C + part.rated_ambient_c + rise) / 254.5
        return ohm
