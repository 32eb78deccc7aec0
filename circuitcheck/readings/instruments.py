"""What an instrument shows on faulted circuits: each is a circuit of its own, or a sense.

Voltmeter: its input resistance between the points. Test lamp and bulb: their filament, whose
resistance follows its voltage. Ohmmeter: battery off, every parallel path counts, its test voltage
turns diodes on or not; its leads add. Clamp: the current in a wire, whichever way round. Millivolts
across a fuse: current times its element. Observations: 1 for yes, 0 for no, between where a person
could see either.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from circuitcheck.errors import CircuitError
from circuitcheck.faults.fault import CoilSeized, changes_of
from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.model import instrument as i
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.library_rows import FuseRow
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.reading import Measurement
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.tolerance_band import Band
from circuitcheck.readings.direct_feed import DIRECT_FUSE_A, direct_feed
from circuitcheck.readings.loaded_points import filament_v
from circuitcheck.readings.meter_error import FloatArray, highest

SOFT = 0.3
"""How far about its limit a glow is seen by some and not by others, as a share; common practice."""
BLADE_SHARE = 0.2
"""Share of a coil's rated current at which it pulls a steel blade; common practice, no source."""
WARM_W = (0.5, 1.5)
"""Heat in one joint that nobody feels, and that everybody feels; common practice, no source."""
LEAST_S = 1e-12
"""Conductance of an open winding."""


def predicted(measurement: Measurement, circuits: FaultedCircuits) -> FloatArray:
    """Return what an instrument would show, in its own unit, (faults + 1, draws).

    A lamp gives 0 dark, 1 dim, 2 bright and between; an observation 0 to 1; an ohmmeter infinity
    where its highest range shows nothing. The meter's own error is not in it (`meter_error.py`).
    The situation is that of `circuits`. Raises CircuitError for an unknown point.
    """
    row = circuits.library.instrument(measurement.instrument)
    if row.kind == i.OBSERVATION:
        return _OBSERVED[row.name](circuits, measurement.plus)
    return _SHOWN[row.kind](row, measurement, circuits)


def _volts(row: i.InstrumentRow, at: Measurement, circuits: FaultedCircuits) -> FloatArray:
    return circuits.between_v(at.plus, at.minus, row.load_ohm(circuits.harness.system_v))


def _loaded(row: i.InstrumentRow, at: Measurement, circuits: FaultedCircuits) -> FloatArray:
    return filament_v(circuits, at.plus, at.minus, _filament(row))


def _brightness(row: i.InstrumentRow, at: Measurement, circuits: FaultedCircuits) -> FloatArray:
    return _level(np.abs(_loaded(row, at, circuits)), row)


def _led(row: i.InstrumentRow, at: Measurement, circuits: FaultedCircuits) -> FloatArray:
    return _level(np.abs(_volts(row, at, circuits)), row)


def _ohms(row: i.InstrumentRow, at: Measurement, circuits: FaultedCircuits) -> FloatArray:
    seen = circuits.path_ohm(at.plus, at.minus, row.test_v or 1.0) + (row.lead_ohm or 0.0)
    return np.asarray(np.where(seen > highest(row), np.inf, seen))


def _clamped(row: i.InstrumentRow, at: Measurement, circuits: FaultedCircuits) -> FloatArray:
    return np.asarray(np.abs(_current(circuits, at.plus)))


def _millivolts(row: i.InstrumentRow, at: Measurement, circuits: FaultedCircuits) -> FloatArray:
    return _fuse_v(circuits, at.plus, row.load_ohm(circuits.harness.system_v))


def _filament(row: i.InstrumentRow) -> i.Filament:
    assert row.filament is not None
    return row.filament


def _level(volts: FloatArray, row: i.InstrumentRow) -> FloatArray:
    """Return dark, dim or bright, soft about the limits of the row."""
    lit, bright = row.lit_from_v or 0.0, row.bright_from_v or 0.0
    if bright <= lit:
        steps, levels = [lit * (1.0 - SOFT), lit * (1.0 + SOFT)], [i.DARK, i.BRIGHT]
    else:
        steps = [lit * (1.0 - SOFT), lit * (1.0 + SOFT), bright * (1.0 - SOFT / 2.0), bright]
        levels = [i.DARK, i.DIM, i.DIM, i.BRIGHT]
    return np.asarray(np.interp(volts, steps, levels))


def _current(circuits: FaultedCircuits, subject: str) -> FloatArray:
    """Return the current in a wire, fuse, coil or what a tap's fuse carries. [A]"""
    part = circuits.harness.parts.get(subject)
    if isinstance(part, SupplyTap):
        return circuits.current_a(f"{subject}/fuse")
    if isinstance(part, PullHoldCoil):
        return np.asarray(
            circuits.current_a(f"{subject}/hold") + circuits.current_a(f"{subject}/pull")
        )
    return circuits.current_a(subject)


def fuse_branch(circuits: FaultedCircuits, fuse: str) -> tuple[str, FuseRow]:
    """Return the branch of a fuse and its row; of a tap the machine's own fuse."""
    part = circuits.harness.parts.get(fuse)
    if isinstance(part, Fuse):
        return fuse, part.row
    if isinstance(part, SupplyTap) and part.upstream.fuse is not None:
        return f"{fuse}/fuse", part.upstream.fuse
    raise CircuitError(f"{fuse} is no fuse")


def _fuse_v(circuits: FaultedCircuits, fuse: str, load_ohm: float) -> FloatArray:
    """Voltage across the two test points: the element alone; where it is open, what the meter sees.

    The element warms with its current as in `fuse_current.py`; its tolerance is drawn.
    """
    branch, row = fuse_branch(circuits, fuse)
    amps = np.abs(circuits.current_a(branch))
    cold, hot = row.resistance_ohm.nominal, row.drop_at_rated_v / row.rating_a
    off = 1.0 - row.resistance_ohm.lower / cold
    share = circuits.draws.within(f"{fuse}: millivolts", Band(1.0 - off, 1.0, 1.0 + off))
    element = share * amps * (cold + (hot - cold) * np.minimum(amps / row.rating_a, 2.0) ** 2)
    is_open = circuits.fuse_open(branch)
    if not is_open.any():
        return np.asarray(element)
    part = circuits.harness.parts[fuse]
    ends = (f"{fuse}.line", f"{fuse}.load")
    if isinstance(part, SupplyTap):
        ends = (str(part.upstream.source), f"{fuse}/fuse load")
    return np.asarray(np.where(is_open, np.abs(circuits.between_v(*ends, load_ohm)), element))


def _clicks(circuits: FaultedCircuits, coil: str) -> FloatArray:
    return np.asarray(circuits.coil_on(coil), dtype=float)


def _pulls_blade(circuits: FaultedCircuits, coil: str) -> FloatArray:
    """A magnetised coil pulls a blade whether its plunger is free or seized."""
    share = np.abs(_current(circuits, coil)) / _rated_a(circuits, coil)
    return np.asarray(
        np.interp(share, [BLADE_SHARE * (1 - SOFT), BLADE_SHARE * (1 + SOFT)], [0, 1])
    )


def _rated_a(circuits: FaultedCircuits, coil: str) -> float:
    return circuits.harness.system_v / _usual_ohm(circuits, coil)


def _usual_ohm(circuits: FaultedCircuits, coil: str) -> float:
    part = circuits.harness.parts.get(coil)
    if isinstance(part, PullHoldCoil):
        return part.hold_20c_ohm.nominal
    if isinstance(part, (SolenoidCoil, Relay)):
        return part.resistance_20c_ohm.nominal
    raise CircuitError(f"{coil} is no coil")


def _fed_directly(circuits: FaultedCircuits, coil: str) -> FloatArray:
    """Unplugged and fed on the battery: it clicks where its winding is whole and it is free.

    A pull and hold coil is fed on both windings at once: the hold winding alone need not pull in.
    A winding that is nearly a short opens the lead's own fuse instead.
    """
    feed = direct_feed(circuits.harness, coil)
    siemens = sum(1.0 / circuits.path_ohm(*pair) for pair in feed.windings)
    ohm = 1.0 / np.maximum(siemens, LEAST_S)
    least = circuits.harness.system_v / (DIRECT_FUSE_A * 1.35)
    works = (ohm < 2.0 * feed.usual_ohm) & (ohm > min(least, 0.5 * feed.usual_ohm))
    seized = [False] + [
        any(isinstance(one, CoilSeized) and one.coil == coil for one in changes_of(fault))
        for fault in circuits.faults
    ]
    return np.asarray(works & ~np.array(seized)[:, None], dtype=float)


def _is_lit(circuits: FaultedCircuits, indicator: str) -> FloatArray:
    return np.asarray(circuits.lit(indicator), dtype=float)


def _is_whole(circuits: FaultedCircuits, fuse: str) -> FloatArray:
    return 1.0 - np.asarray(circuits.fuse_open(fuse_branch(circuits, fuse)[0]), dtype=float)


def _is_warm(circuits: FaultedCircuits, joint: str) -> FloatArray:
    branches = joint_branches(circuits, joint)
    if not branches:
        raise CircuitError(f"{joint} is no joint of this circuit")
    watts = np.stack([_heat_w(circuits, name) for name in branches]).max(axis=0)
    return np.asarray(np.interp(watts, WARM_W, [0.0, 1.0]))


def joint_branches(circuits: FaultedCircuits, joint: str) -> list[str]:
    """Return the branches whose heat is felt at a joint: its own, else the wires landing on it."""
    half, _, cavity = joint.rpartition(".")
    part = half.partition(".")[0]
    known = circuits.full.branch_of
    for name in (joint, f"{joint}/fuse", f"{part}/{cavity}"):
        if name in known:
            return [name]
    wires = circuits.harness.wires.values()
    return [w.name for w in wires if joint in (w.start.part, w.end.part, str(w.start), str(w.end))]


def _heat_w(circuits: FaultedCircuits, branch: str) -> FloatArray:
    one = circuits.full.branches[circuits.full.branch_of[branch]]
    names = circuits.full.node_names
    across = circuits.between_v(names[one.start], names[one.end])
    return np.abs(across * circuits.current_a(branch))


_OBSERVED: Mapping[str, Callable[[FaultedCircuits, str], FloatArray]] = {
    "click": _clicks,
    "valve moves": _clicks,
    "steel blade": _pulls_blade,
    "fed directly": _fed_directly,
    "indicator": _is_lit,
    "fuse looked at": _is_whole,
    "warm joint": _is_warm,
}
_SHOWN: Mapping[str, Callable[[i.InstrumentRow, Measurement, FaultedCircuits], FloatArray]] = {
    i.VOLTMETER: _volts,
    i.LOADED_VOLTMETER: _loaded,
    i.LAMP_BY_EYE: _brightness,
    i.LED_TESTER: _led,
    i.OHMMETER: _ohms,
    i.CLAMP_AMMETER: _clamped,
    i.FUSE_MILLIVOLTS: _millivolts,
}
