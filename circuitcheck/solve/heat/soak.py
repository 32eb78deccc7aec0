"""How hot each winding of a harness gets over all switch positions, before any pull-in is asked.

Its voltage is bounded with every winding anywhere between cold and as hot as the whole supply
could make it, and every wire up to where its heating is cut off: wider than what can happen.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np

from circuitcheck.circuit.netlist import Network
from circuitcheck.model.conditions import CONTINUOUS_PRESS_S, Use
from circuitcheck.model.harness import Harness
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.bounds import bounds
from circuitcheck.solve.bounds.box import open_box
from circuitcheck.solve.heat.coil_heat import at_temperature_of, coil_heat, shared_heat
from circuitcheck.solve.heat.windings import Winding, windings
from circuitcheck.solve.network_ranges import NetworkRanges
from circuitcheck.solve.solution import CoilHeat, Range

HELD = Use(longest_press_s=2.0 * CONTINUOUS_PRESS_S, presses_per_hour=1.0)
LEAST_COIL_V = 1e-6
"""A coil with less than a microvolt is not energised."""


@record
class Placed:
    """A network with its compiled shape and its supply; alike where the last two are the same."""

    network: Network
    shape: bounds.Network
    supply_v: Band

    @property
    def alike(self) -> tuple[bounds.Network, Band]:
        """What positions have in common that share one solution."""
        return self.shape, self.supply_v


@dataclass
class _Seen:
    """Highest and lowest voltage seen across one winding, and where the highest was."""

    most: Range = field(default_factory=lambda: Range(0.0, 0.0, 0.0))
    least_v: float = math.inf
    position: str = "no position"
    is_held: bool = False

    def note(self, volts: Range, position: str, lasts: bool) -> None:
        if abs(volts.nominal) < LEAST_COIL_V or math.isnan(volts.nominal):
            return
        self.is_held |= lasts
        self.least_v = min(self.least_v, volts.smallest())
        if volts.largest() > self.most.largest():
            self.most, self.position = volts, position

    def range(self) -> Range:
        most = self.most
        lower = min(self.least_v, abs(most.nominal))
        return Range(lower, abs(most.nominal), most.largest(), most.gap, most.method)


@record
class Soak:
    """Heat of each winding by its duty, by the name of its branch.

    `widest` are the ranges it was found in, of each shape and supply: no winding or wire can be
    colder or hotter than there.
    """

    heat: Mapping[str, CoilHeat]
    widest: Mapping[tuple[bounds.Network, Band], NetworkRanges]


def soak_coils(harness: Harness, placed: Iterable[Placed]) -> Soak:
    """Return the heat of each winding by its duty.

    From the highest voltage that any position but cranking puts on it, down to the lowest that it
    is worked with.
    """
    every = windings(harness)
    seen = {winding.branch: _Seen() for winding in every}
    together: dict[str, _Seen] = {}
    # Positions alike in their contacts may differ in supply: a tap that is live with the key off.
    momentary = harness.momentary
    done: dict[tuple[bounds.Network, Band], NetworkRanges] = {}
    first = _hottest_there_is(harness)
    for one in placed:
        network = one.network
        if not network.live or network.position.key == "cranking" or one.alike in done:
            continue
        glowing = np.full(len(network.branches), np.inf)
        box = open_box(network, first, glowing)
        there = [winding for winding in every if winding.branch in network.branch_of]
        ranges = done[one.alike] = NetworkRanges(network, one.shape, box, one.supply_v)
        found = ranges.between([_ends(network, winding) for winding in there])
        volts = {w.branch: bounded.range for w, bounded in zip(there, found, strict=True)}
        for winding in there:
            at = (network.position.name, not network.position.pressed & momentary)
            seen[winding.branch].note(volts[winding.branch], *at)
            _note_together(together, winding, volts, *at)
    return Soak(_heat(harness, every, seen, together), done)


def _note_together(
    together: dict[str, _Seen],
    winding: Winding,
    volts: Mapping[str, Range],
    position: str,
    lasts: bool,
) -> None:
    """Note the voltages of a body's two windings while both are on, under its hold winding."""
    other = volts.get(winding.beside or "")
    own = volts[winding.branch]
    if other is None or min(abs(own.nominal), abs(other.nominal)) < LEAST_COIL_V:
        return
    for name in (winding.branch, winding.beside or ""):
        together.setdefault(name, _Seen()).note(own, position, lasts)


def _heat(
    harness: Harness,
    every: tuple[Winding, ...],
    seen: Mapping[str, _Seen],
    together: Mapping[str, _Seen],
) -> dict[str, CoilHeat]:
    by_name = {winding.branch: winding for winding in every}
    found: dict[str, CoilHeat] = {}
    for winding in every:
        air_c = harness.zone_of(winding.zone).ambient_c
        both, other = together.get(winding.branch), by_name.get(winding.beside or "")
        if both is not None and other is not None and winding.carries_on and other.carries_on:
            found[winding.branch], _ = shared_heat(
                winding, other, air_c, harness.use, both.range(), both.position
            )
        elif not winding.carries_on and winding.beside in found:
            ohm = winding.resistance_20c_ohm
            found[winding.branch] = at_temperature_of(found[winding.beside], ohm)
        else:
            own = seen[winding.branch]
            use = HELD if winding.may_be_held and own.is_held else harness.use
            found[winding.branch] = coil_heat(winding, air_c, use, own.range(), own.position)
    return found


def _hottest_there_is(harness: Harness) -> dict[str, CoilHeat]:
    """Heat of each winding with the whole supply on it: wider than any position can make it."""
    supply = harness.conditions.running_v()
    volts = Range(0.0, supply.nominal, supply.upper)
    every = {winding.branch: winding for winding in windings(harness)}
    found = {}
    for name, winding in every.items():
        air_c = harness.zone_of(winding.zone).ambient_c
        if winding.beside is not None:
            other = every[winding.beside]
            found[name], _ = shared_heat(winding, other, air_c, harness.use, volts, "whole supply")
        else:
            found[name] = coil_heat(winding, air_c, harness.use, volts, "whole supply")
    return found


def _ends(network: Network, winding: Winding) -> tuple[int, int]:
    branch = network.branches[network.branch_of[winding.branch]]
    return branch.start, branch.end
