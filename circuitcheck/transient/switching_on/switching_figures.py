"""Figures of one action: what its fuses see, when its coils can pull in, who dips meanwhile.

pull-in current   I_p = p U_r / R(T_ref)       the coil as warm as U_r makes it in its rated air
melting share     I2t of what flows above the current that the fuse holds for good, over the
                  fuse's melting I2t
heat share        how near the earliest fuse that meets the listed times comes to opening, in the
                  longest press, or held for an hour where the file gives none
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from circuitcheck.errors import LibraryError
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.library import FuseRow
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.record import record
from circuitcheck.solve.heat.reference_heat import reference_ohm
from circuitcheck.solve.worst_case import Solution
from circuitcheck.transient.heat.fuse_heat import FAST, FuseHeat
from circuitcheck.transient.heat.fuse_rating import rerated_a
from circuitcheck.transient.switching_on.actions import Action
from circuitcheck.transient.switching_on.coil_states import NOTHING_A, ON, CoilStates
from circuitcheck.transient.switching_on.switching_on import Switching
from circuitcheck.transient.waveform import Waveform

HELD_S = 3600.0
"""How long a button that is held without pause counts as held."""
NO_TIMES = (
    "no source gives the shortest opening times of a {} fuse: look at the time-current curve in "
    "its data sheet"
)


@record
class FuseFigures:
    """One fuse, by its branch: peak and when, settled current [A, s], what it is worth hot [A].

    `melting_share` and `heat_share` are None where the library has no figure for the fuse, or the
    fuse is not known; `not_judged` then says why. Both are for `press_s`, the longest press of
    [use]: None where it says none, or no button is held, and HELD_S then stands for it.
    `repeated_share` is for one such press after another at the rate in [use], or without pause
    where it says none, for good: None where current flows between the presses too.
    """

    branch: str
    row: FuseRow | None
    peak_a: float
    peak_at_s: float
    settled_a: float
    worth_a: float | None
    melting_share: float | None
    heat_share: float | None
    repeated_share: float | None = None
    press_s: float | None = None
    not_judged: str = ""


@record
class CoilFigures:
    """One coil: `state` is ON, HELD, OFF or UNASKED. Voltages at its winding [V], currents [A].

    A pull winding that is taken off again is ON with nothing settled.

    `reaches_s` is when its current reaches `pull_in_a`, None where it never does or it is not
    known. `holds_a` is what keeps every coil of its type in: its plunger follows the current, which
    falls later than the voltage. `seated_s` is when its plunger is in and stays there, None where
    it does not or is not followed, as `is_followed` tells. `is_late` is whether the longest press
    is over before its current or its plunger gets there.
    """

    branch: str
    state: str
    settled_a: float
    pull_in_a: float | None
    reaches_s: float | None
    lowest_v: float
    lowest_at_s: float
    lowest_a: float
    holds_a: float | None
    seated_s: float | None
    peak_a: float
    is_followed: bool = False
    is_late: bool = False

    @property
    def is_left_out(self) -> bool:
        """Whether it is switched on and its plunger is seen not to get in, or not to stay."""
        return self.state == ON and self.is_followed and self.seated_s is None


@record
class SwitchingFigures:
    """The figures of one action at one corner; `lasts_s` until all has settled."""

    fuses: tuple[FuseFigures, ...]
    coils: tuple[CoilFigures, ...]
    lasts_s: float


def switching_figures(solution: Solution, switching: Switching) -> SwitchingFigures:
    """Return the figures of one action at its corner."""
    lasts_s = max(float(wave.times_s[-1]) for wave in switching.currents.values())
    return SwitchingFigures(
        tuple(_fuses(solution, switching)), tuple(_coils(solution, switching)), lasts_s
    )


def fitted_fuses(solution: Solution) -> dict[str, tuple[FuseRow | None, float]]:
    """Return each fuse by its branch, with the hottest air that it may sit in [degC]."""
    harness = solution.harness
    found: dict[str, tuple[FuseRow | None, float]] = {}
    for part in harness.parts.values():
        if isinstance(part, Fuse):
            found[part.name] = (part.row, harness.zone_of(part.zone).ambient_c.upper)
        elif isinstance(part, SupplyTap):
            air = [harness.zone_of(z).ambient_c.upper for z in (part.zone, part.upstream.zone)]
            found[f"{part.name}/fuse"] = (part.upstream.fuse, max(air))
    return found


def press_of(solution: Solution, action: Action) -> float | None:
    """Return the longest time that the state after an action lasts, None for without pause [s]."""
    return solution.harness.use.longest_press_s if action.after.pressed else None


def held_press(current: Waveform, press_s: float) -> Waveform:
    """Return a current held at its last value until a press is over."""
    if press_s <= current.times_s[-1]:
        return current
    return Waveform(
        current.name,
        current.unit,
        np.append(current.times_s, press_s),
        np.append(current.values, current.values[-1]),
    )


def fuse_heat(solution: Solution, branch: str) -> FuseHeat | None:
    """Return the fast edge of a fuse in its hottest air; None where the fuse is not known.

    Raises LibraryError where the library cannot tell.
    """
    row, air_c = fitted_fuses(solution)[branch]
    if row is None:
        return None
    worth_a = rerated_a(solution.library, row, air_c)
    return FuseHeat(row, solution.library.fuse_opening_band(row.style), worth_a, FAST)


def _fuses(solution: Solution, switching: Switching) -> Iterator[FuseFigures]:
    press_s = press_of(solution, switching.action)
    for branch, (row, _) in fitted_fuses(solution).items():
        wave = switching.currents.get(branch)
        if wave is None:
            continue
        after = wave.values[1:]
        at = int(np.argmax(np.abs(after)))
        found = FuseFigures(
            branch,
            row,
            float(abs(after[at])),
            float(wave.times_s[1 + at]),
            float(abs(after[-1])),
            None,
            None,
            None,
            press_s=press_s,
        )
        try:
            heat = fuse_heat(solution, branch)
        except LibraryError as error:
            found = replace(found, not_judged=str(error))
        else:
            found = found if heat is None else _heated(solution, found, heat, wave)
        yield found


def _heated(solution: Solution, found: FuseFigures, heat: FuseHeat, wave: Waveform) -> FuseFigures:
    """Return the figures of a fuse with how near it comes to opening."""
    press_s = found.press_s
    press = held_press(wave, HELD_S) if press_s is None else one_press(wave, press_s)
    share, repeated = heat.share(press), _repeated_share(solution, heat, wave, press_s)
    found = replace(found, worth_a=heat.worth_a, melting_share=heat.melting_i2t_share(press))
    if not heat.fast_edge_known and max(share, repeated or 0.0) >= 1.0:
        return replace(found, not_judged=NO_TIMES.format(heat.row.style))
    return replace(found, heat_share=share, repeated_share=repeated)


def _repeated_share(
    solution: Solution, heat: FuseHeat, wave: Waveform, press_s: float | None
) -> float | None:
    # what else the machine's fuse feeds goes on between the presses
    between = wave.name.endswith("/fuse") or abs(float(wave.values[0])) > NOTHING_A
    if press_s is None or between:
        return None
    an_hour = solution.harness.use.presses_per_hour
    period_s = max(press_s, 3600.0 / an_hour) if an_hour else press_s
    return heat.repeated(one_press(wave, press_s), period_s).share


def one_press(current: Waveform, press_s: float) -> Waveform:
    """Return a current up to the end of a press, held at its last value or cut off there."""
    held = held_press(current, press_s)
    inside = held.times_s < press_s
    return Waveform(
        held.name,
        held.unit,
        np.append(held.times_s[inside], press_s),
        np.append(held.values[inside], held.at(press_s)),
    )


def _coils(solution: Solution, switching: Switching) -> Iterator[CoilFigures]:
    states = CoilStates(solution, switching)
    press_s = press_of(solution, switching.action)
    for branch, volts in switching.voltages.items():
        if branch not in solution.heat:
            continue
        wave = switching.currents[branch]
        state = states.of(branch, wave)
        if state is None:
            continue
        size = np.abs(volts.values)
        at = int(np.argmin(size[1:])) + 1
        needed_a = pull_in_a(solution, branch)
        rising = Waveform(wave.name, "A", wave.times_s, np.abs(wave.values))
        reaches = None
        if state == ON and needed_a is not None:
            reaches = rising.first_crossing_s(needed_a)
        seated = _seated_s(solution, switching, branch) if state == ON else None
        yield CoilFigures(
            branch,
            state,
            abs(float(wave.values[-1])),
            needed_a,
            reaches,
            float(size[at]),
            float(volts.times_s[at]),
            float(np.abs(wave.values[1:]).min()),
            holding_a(solution, branch),
            seated,
            abs(wave.peak),
            branch in switching.places,
            press_s is not None and max(reaches or 0.0, seated or 0.0) > press_s,
        )


def pull_in_a(solution: Solution, branch: str) -> float | None:
    """Return the current that moves a coil's plunger for certain, None where not known [A].

    For the winding of least resistance, which is that of both corners.
    """
    coil = solution.harness.parts.get(branch)
    if not isinstance(coil, SolenoidCoil) or coil.pull_in_fraction is None:
        return None
    return coil.pull_in_fraction * coil.rated_v / reference_ohm(solution, coil)


def holding_a(solution: Solution, branch: str) -> float | None:
    """Return the current that keeps a coil in for certain, None where not known [A].

    The upper end of its drop-out, stated for the winding on rated voltage: force follows current.
    """
    coil = solution.harness.parts.get(branch)
    if not isinstance(coil, SolenoidCoil) or coil.drop_out_fraction is None:
        return None
    return coil.drop_out_fraction.upper * coil.rated_v / reference_ohm(solution, coil)


def _seated_s(solution: Solution, switching: Switching, branch: str) -> float | None:
    """Return when a plunger is in to stay, None where it does not or its data are not given."""
    place = switching.places.get(branch)
    coil = solution.harness.parts.get(branch)
    if place is None or not isinstance(coil, SolenoidCoil) or coil.plunger is None:
        return None
    seated_m = coil.plunger.stroke_m * (1.0 - 1e-6)
    # its own swing may carry it to the stop, and the spring push it back
    return place.first_crossing_s(seated_m) if place.values[-1] >= seated_m else None
