"""What gets hot under each fault: windings by degrees Celsius, joints and shorts by watts.

    T = T_air + R_th s V^2 / R(T),  R(T) = R20 (234.5 + T) / 254.5, solved together

On the highest supply, in the hottest air of the zone, for the longest press of [use]; without end
where the fault keeps a coil on that nobody presses for. Hot is a winding above its class, and a
pull winding that is on for longer than it stands. How warm a joint gets hangs on what it sits in:
only its power is known.
Source: iec-60085 (classes), vde-0580 (duty). Not covered: the hottest spot inside a winding.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from circuitcheck.circuit.positions import Position
from circuitcheck.faults.fault import AddedOhm, Fault, Joined, OhmTimes, RelayStuck
from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.formulas.wire_resistance import resistance_at_ohm
from circuitcheck.model.conditions import Use
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.record import record
from circuitcheck.solve.heat.coil_heat import BURNT_C, coil_heat
from circuitcheck.solve.heat.soak import HELD
from circuitcheck.solve.heat.windings import Winding, windings
from circuitcheck.solve.solution import Range

FloatArray = NDArray[np.float64]
HOT_JOINT_W = 1.0
"""A joint or a contact that turns more than this to heat cannot be touched for long: common
practice, no source."""
MORE_HEAT = 1.02
"""A winding counts as hotter from this many times the power of the sound one."""
UNKNOWN_CLASS_C = 105.0
"""Class A of IEC 60085, the lowest of enamelled wire: stands in for a class that is not given."""
LEAST_W = 0.1
"""Less than this warms no coil of the trade: what leaks through a lamp or an LED."""


@record
class Heat:
    """What one fault, by its number, makes hot: power [W], temperature and its limit [degC]."""

    fault: int
    subject: str
    power_w: float
    temperature_c: float | None = None
    limit_c: float | None = None
    note: str = ""


class PartHeat:
    """One position with all faults; `circuits` stand on the highest supply, one draw."""

    def __init__(self, full: FullNetwork, circuits: FaultedCircuits, position: Position) -> None:
        self.full, self.circuits, self.position = full, circuits, position
        self.asked = full.asked(position)
        self.momentary = full.harness.momentary

    def found(self) -> Iterator[Heat]:
        """Yield what gets hot, joints first."""
        yield from self._joints()
        yield from self._windings()

    def _fault(self, k: int) -> Fault:
        fault = self.circuits.faults[k]
        return fault if isinstance(fault, Fault) else fault[0]

    def _joints(self) -> Iterator[Heat]:
        wanted: dict[str, list[tuple[int, float]]] = {}
        shorts: dict[tuple[str, str], list[tuple[int, float]]] = {}
        for k in range(len(self.circuits.faults)):
            for change in self._fault(k).changes:
                if isinstance(change, AddedOhm) and np.isfinite(change.ohm):
                    wanted.setdefault(change.branch, []).append((k, change.ohm))
                elif isinstance(change, Joined):
                    pair = (change.first, change.second)
                    shorts.setdefault(pair, []).append((k, change.ohm))
        if shorts:
            across = self.circuits.between_many_v(list(shorts))[:, :, 0]
            for column, some in enumerate(shorts.values()):
                for k, ohm in some:
                    yield from self._joint(k, float(across[k + 1, column] ** 2 / ohm))
        if not wanted:
            return
        amps = self.circuits.currents_a(list(wanted))[:, :, 0]
        for column, some in enumerate(wanted.values()):
            for k, ohm in some:
                yield from self._joint(k, float(amps[k + 1, column] ** 2 * ohm))

    def _joint(self, k: int, power_w: float) -> Iterator[Heat]:
        if power_w >= HOT_JOINT_W:
            note = "temperature not judged: what the joint sits in is not known"
            yield Heat(k, self._fault(k).subject, power_w, note=note)

    def _windings(self) -> Iterator[Heat]:
        every = windings(self.full.harness)
        if not every:
            return
        amps = np.abs(self.circuits.currents_a([w.branch for w in every])[:, :, 0])
        coils: dict[str, list[tuple[Winding, FloatArray]]] = {}
        for column, winding in enumerate(every):
            if winding.carries_on:
                coils.setdefault(winding.owner, []).append((winding, amps[:, column]))
            else:
                yield from self._pull_winding(winding, amps[:, column])
        for some in coils.values():
            yield from self._coil(some)

    def _factors(self, branch: str) -> FloatArray:
        """Return what shorted turns leave of a winding's resistance, (faults + 1,)."""
        out = np.ones(len(self.circuits.faults) + 1)
        for k in range(len(self.circuits.faults)):
            for change in self._fault(k).changes:
                if isinstance(change, OhmTimes) and change.branch == branch:
                    out[k + 1] *= change.factor
        return out

    def _ohm(self, branch: str) -> float:
        return float(self.circuits.draws.resistance_ohm[self.full.branch_of[branch], 0])

    def _coil(self, some: list[tuple[Winding, FloatArray]]) -> Iterator[Heat]:
        """Yield a body whose windings take more than in the sound circuit, and pass their class."""
        shape = np.zeros(len(self.circuits.faults) + 1)
        power_w, siemens_20c, volts = shape.copy(), shape.copy(), shape.copy()
        for winding, amps in some:
            factors = self._factors(winding.branch)
            across = amps * factors * self._ohm(winding.branch)
            power_w = power_w + amps * across
            on = amps * across > LEAST_W
            siemens_20c = siemens_20c + on / (factors * winding.resistance_20c_ohm.lower)
            volts = np.maximum(volts, across)
        winding = some[0][0]
        hotter = (power_w > MORE_HEAT * power_w[0]) & (siemens_20c > 0.0)
        use = self._use(winding.owner)
        for k in np.flatnonzero(hotter[1:]).tolist():
            r20 = 1.0 / float(siemens_20c[k + 1])
            yield from self._body(k, winding, r20, float(volts[k + 1]), use)

    def _use(self, coil: str) -> Use:
        """Return how long a coil is on: as used, or without end where no press ends it."""
        pressed = self.position.pressed & self.momentary
        return self.full.harness.use if pressed or coil in self.asked else HELD

    def _body(self, k: int, winding: Winding, r20: float, volts: float, use: Use) -> Iterator[Heat]:
        band = winding.resistance_20c_ohm
        scale = r20 / band.lower
        faulted = replace(winding, resistance_20c_ohm=band.scaled(scale))
        air_c = self.full.harness.zone_of(winding.zone).ambient_c
        across = Range(volts, volts, volts)
        heat = coil_heat(faulted, air_c, use, across, self.position.name)
        held = "held on without end" if use is HELD else ""
        if not heat.judged:
            if scale < 1.0 and volts**2 / r20 >= HOT_JOINT_W:
                note = "degC not known: its thermal resistance is not given"
                yield Heat(k, winding.owner, volts**2 / r20, note=note)
            return
        hot_c = heat.temperature_c.upper
        limit_c = winding.temperature_limit_c
        most_c = UNKNOWN_CLASS_C if limit_c is None else limit_c
        if hot_c <= most_c:
            return
        notes = [held]
        if limit_c is None:
            notes.append("that of class A, its class is not given")
        if hot_c >= BURNT_C:
            notes.append("it burns out before it settles")
        power_w = volts**2 / resistance_at_ohm(r20, hot_c)
        yield Heat(k, winding.owner, power_w, hot_c, most_c, "; ".join(n for n in notes if n))

    def _pull_winding(self, winding: Winding, amps: FloatArray) -> Iterator[Heat]:
        """Yield a pull winding that nothing takes off within the time that it stands."""
        part = self.full.harness.parts[winding.owner]
        assert isinstance(part, PullHoldCoil)
        use = self._use(part.name)
        on_s = np.inf if use is HELD else use.longest_press_s
        stands_s = part.longest_pull_s
        if on_s is not None and stands_s is not None and on_s <= stands_s:
            return
        power_w = amps**2 * self._ohm(winding.branch) * self._factors(winding.branch)
        stuck = RelayStuck(part.name, operated=False)
        for k in range(len(self.circuits.faults)):
            if stuck in self._fault(k).changes:
                # the same volts as on the hold winding beside it
                hold = f"{part.name}/hold"
                volts = float(self.circuits.current_a(hold)[k + 1, 0]) * self._ohm(hold)
                power_w[k + 1] = volts**2 / self._ohm(winding.branch)
            elif part.cut_out == "outside timer":
                power_w[k + 1] = 0.0
        for k in np.flatnonzero(power_w[1:] > LEAST_W).tolist():
            stays = "its pull winding stays on"
            held = "without end" if on_s == np.inf else "" if on_s is None else f"for {on_s:g} s"
            stands = "" if stands_s is None else f", it stands {stands_s:g} s"
            note = f"{stays} {held}".strip() + stands
            yield Heat(k, part.name, float(power_w[k + 1]), note=note)
