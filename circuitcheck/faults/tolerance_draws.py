"""Machines as they may come: the same few for every fault, so that only the fault tells them apart.

    u_k = (order_k + jitter_k) / n,   each value by its band: lower, nominal, upper at u = 0, 1/2, 1

Each quantity is spread evenly over its band and each by its own order (a Latin hypercube). The
order hangs on the quantity's name alone: a machine has the same contact in every switch position.
Source: M. D. McKay, R. J. Beckman, W. J. Conover, Technometrics 21 (1979) 239.
"""

from __future__ import annotations

import zlib
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from circuitcheck.circuit.netlist import WINDINGS, Branch
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.formulas.coil import steady_resistance_ohm, winding_temperature_c
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.reading import Situation
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.bounds.box import LEAST_OHM, copper_factor

FloatArray = NDArray[np.float64]

USUAL_RISE_K = 60.0
"""Rise of a coil of unknown heat path held on: common practice, no source."""
CRANKING_SHARES = (0.6, 0.85)
"""Supply while cranking over that of the resting battery, where nothing gives it: common practice,
no source."""
METER_SHARE = 0.005
"""What a voltmeter at the posts may be off: common practice, no source."""


class ToleranceDraws:
    """`count` machines within their tolerances; a single one has every value nominal.

    `resistance_ohm` (branches, count) in one situation, `supply_v` (count,). `windings_c` gives
    windings a temperature of their own.
    """

    def __init__(
        self,
        full: FullNetwork,
        situation: Situation,
        count: int,
        seed: int,
        windings_c: Mapping[str, float] | None = None,
    ) -> None:
        self.full, self.count, self.seed = full, count, seed
        self._windings_c = windings_c or {}
        self._air = {
            zone.name: self.within(f"air of {zone.name}", zone.ambient_c)
            for zone in full.harness.zones.values()
        }
        self.supply_v = self._supply_v(situation)
        self.resistance_ohm = self._resistances(situation)

    def share(self, name: str) -> FloatArray:
        """Return where each draw of a quantity lies in its band, 0 to 1, shape (count,)."""
        if self.count == 1:
            return np.array([0.5])
        key = (name, self.count, self.seed)
        if key not in self.full.shares:
            rng = np.random.default_rng([self.seed, zlib.crc32(name.encode())])
            spread = rng.permutation(self.count) + rng.random(self.count)
            self.full.shares[key] = np.asarray(spread / self.count)
        return self.full.shares[key]

    def within(self, name: str, band: Band) -> FloatArray:
        """Return the draws of a quantity of which the band is known, shape (count,)."""
        ends = np.array([[band.lower], [band.nominal], [band.upper]])
        return np.asarray(between(ends, self.share(name))[0])

    def _supply_v(self, situation: Situation) -> FloatArray:
        share = self.share("supply")
        if situation.supply_v is not None:
            off = METER_SHARE * (2.0 * share - 1.0)
            return np.asarray(situation.supply_v * (1.0 + off))
        lower, upper = self._supply_range(situation)
        return np.asarray(lower + (upper - lower) * share)

    def _supply_range(self, situation: Situation) -> tuple[float, float]:
        conditions = self.full.harness.conditions
        key = self.full.position(situation.position).key
        if situation.engine == "cranking" or key == "cranking":
            if conditions.cranking_v is not None:
                return conditions.cranking_v
            low, high = conditions.engine_off_v
            return low * CRANKING_SHARES[0], high * CRANKING_SHARES[1]
        return conditions.charging_v if situation.engine == "running" else conditions.engine_off_v

    def _resistances(self, situation: Situation) -> FloatArray:
        branches = self.full.branches
        shares = [(self.share(f"{b.name}: metal"), self.share(f"{b.name}: contact"))
                  for b in branches]  # fmt: skip
        copper = between(_rows([b.resistance_20c_ohm for b in branches]), [s for s, _ in shares])
        contact = between(_rows([b.contact_ohm for b in branches]), [s for _, s in shares])
        for number, branch in enumerate(branches):
            if branch.role == "present load":
                contact[number] = self._present_load_ohm(branch)
        warm = np.array([self._temperature_c(b, situation) for b in branches])
        total = copper * copper_factor(warm.reshape(len(branches), self.count)) + contact
        return np.maximum(total, LEAST_OHM)

    def _present_load_ohm(self, branch: Branch) -> FloatArray:
        """The machine's own consumers: any share of what the file states is on; nominally all."""
        if self.count == 1:
            return np.array([branch.contact_ohm.nominal])
        most_s = 1.0 / branch.contact_ohm.lower
        share = self.share(f"{branch.name}: on")
        return np.asarray(1.0 / np.maximum(most_s * share, 1.0 / branch.contact_ohm.upper))

    def _temperature_c(self, branch: Branch, situation: Situation) -> FloatArray:
        if branch.name in self._windings_c:
            return np.full(self.count, self._windings_c[branch.name])
        air: FloatArray = np.mean([self._air[zone] for zone in branch.zones], axis=0)
        if branch.role not in WINDINGS or situation.coils_warm is False:
            return air
        share = self.share(f"{branch.name}: warm")
        if situation.coils_warm:
            share = 0.5 + 0.5 * share
        return np.asarray(air + share * self._rise_k(branch))

    def _rise_k(self, branch: Branch) -> float:
        """Rise of a winding by the duty of its use at rated voltage, nominal [K]."""
        part = self.full.harness.parts[branch.owner]
        if not isinstance(part, SolenoidCoil | PullHoldCoil | Relay):
            return 0.0
        heat, r20 = part.thermal_resistance_k_per_w, branch.resistance_20c_ohm.nominal
        duty = self.full.harness.use.duty()
        if heat is None:
            return USUAL_RISE_K * duty
        air_c = branch.ambient_c.nominal
        if branch.role == "pull winding":
            return 0.0
        hot = steady_resistance_ohm(r20, part.rated_v, air_c, heat.nominal * duty)
        return float(winding_temperature_c(hot, r20)) - air_c


def between(ends: FloatArray, shares: FloatArray | Sequence[FloatArray]) -> FloatArray:
    """Return values at shares (m, n) of bands (3, m): lower at 0, nominal at a half, upper at 1."""
    share = np.atleast_2d(np.asarray(shares, dtype=float))
    lower, nominal, upper = (row.reshape(-1, 1) for row in ends)
    below = lower + (nominal - lower) * 2.0 * share
    above = nominal + (upper - nominal) * (2.0 * share - 1.0)
    return np.asarray(np.where(share < 0.5, below, above))


def _rows(bands: list[Band]) -> FloatArray:
    return np.array([(b.lower, b.nominal, b.upper) for b in bands], dtype=float).reshape(-1, 3).T
