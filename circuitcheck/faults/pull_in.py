"""Whether a coil moves its plunger, or a relay its contacts, on the current that it carries.

    moves where  I turns >= s s_p U_r / R_run

R_run is the draw's winding at the temperature that the pull-in voltage is stated for, s_p the
stated share of the rated voltage U_r, which moves every coil of the type, and s from LEAST_SHARE to
1: most coils need less (common practice, no source). Force follows ampere-turns, so shorted turns
count.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.faults.tolerance_draws import FloatArray, ToleranceDraws
from circuitcheck.formulas.coil import steady_resistance_ohm
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.bounds.box import copper_factor
from circuitcheck.solve.relays.relay_states import drop_out_v, pull_in_v

BoolArray = NDArray[np.bool_]
LEAST_SHARE = 0.75
USUAL_PULL_IN = 0.85
USUAL_DROP_OUT = 0.1
"""Shares of rated voltage for a coil that does not say: rows coil_pull_in_fraction and
coil_drop_out_fraction of the library's limits."""
USUAL_RISE_K = 60.0
"""Of a coil of unknown heat path on rated voltage: common practice, no source."""


class PullIn:
    """Pull-in currents of all coils in each draw."""

    def __init__(self, full: FullNetwork, draws: ToleranceDraws) -> None:
        self.full, self.draws = full, draws

    def coil_a(self, coil: SolenoidCoil) -> FloatArray:
        """Current that moves every coil of the type, (draws,) [A]."""
        share = USUAL_PULL_IN if coil.pull_in_fraction is None else coil.pull_in_fraction
        hot = self._running_ohm(coil, coil.name, coil.resistance_20c_ohm)
        return np.asarray(share * coil.rated_v / hot)

    def pull_hold_a(self, coil: PullHoldCoil) -> FloatArray:
        """Sum of both windings' currents that moves every coil of the type, (draws,) [A].

        Both windings are taken to have the same number of turns: common practice, no source.
        """
        hold = self._running_ohm(coil, f"{coil.name}/hold", coil.hold_20c_ohm)
        # both on one body: the pull winding is as warm as the other
        pull = self._ohm_20c(f"{coil.name}/pull", coil.pull_20c_ohm)
        pull = pull * hold / self._ohm_20c(f"{coil.name}/hold", coil.hold_20c_ohm)
        share = USUAL_PULL_IN if coil.pull_in_fraction is None else coil.pull_in_fraction
        return np.asarray(share * coil.rated_v * (1.0 / hold + 1.0 / pull))

    def relay(self, relay: Relay, amps: FloatArray, is_on: bool) -> BoolArray:
        """Return whether a relay is operated on a current (faults, draws), from where it stands."""
        ohm = self._ohm_20c(relay.name, relay.resistance_20c_ohm)
        volts = amps * ohm * copper_factor(np.array(relay.coil_at_c))
        if is_on:
            return np.asarray(volts >= drop_out_v(relay))
        return np.asarray(volts >= self.own_share(relay.name) * pull_in_v(relay))

    def pull_hold(self, coil: PullHoldCoil, amps: FloatArray, is_in: bool) -> BoolArray:
        """Return whether the plunger is in on the sum of both windings' currents."""
        if is_in:
            band = coil.drop_out_fraction
            share = USUAL_DROP_OUT if band is None else band.upper
            hold = self._running_ohm(coil, f"{coil.name}/hold", coil.hold_20c_ohm)
            return np.asarray(amps >= share * coil.rated_v / hold)
        return np.asarray(amps >= self.own_share(coil.name) * self.pull_hold_a(coil))

    def own_share(self, name: str) -> FloatArray:
        """Share of the stated pull-in that each draw of a coil needs, (draws,)."""
        return LEAST_SHARE + (1.0 - LEAST_SHARE) * self.draws.share(f"{name}: pull-in")

    def _ohm_20c(self, branch: str, band: Band) -> FloatArray:
        return self.draws.within(f"{branch}: metal", band)

    def _running_ohm(
        self, coil: SolenoidCoil | PullHoldCoil, branch: str, band: Band
    ) -> FloatArray:
        """The draw's winding as warm as rated voltage in rated air makes it [ohm]."""
        r20 = self._ohm_20c(branch, band)
        heat = coil.thermal_resistance_k_per_w
        if heat is None:
            return np.asarray(r20 * copper_factor(np.array(coil.rated_ambient_c + USUAL_RISE_K)))
        duty = 1.0 if coil.duty is None else coil.duty
        volts, air_c = coil.rated_v, coil.rated_ambient_c
        return steady_resistance_ohm(r20, volts, air_c, heat.nominal * duty)
