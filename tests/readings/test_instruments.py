"""What instruments show, against hand circuits."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

from circuitcheck import read_harness, read_library
from circuitcheck.circuit.positions import switch_positions
from circuitcheck.faults.fault import (
    AddedOhm,
    Change,
    CoilSeized,
    CurveOpen,
    Fault,
    Joined,
    OhmTimes,
)
from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.model.instrument import KINDS, OBSERVATION
from circuitcheck.model.reading import Measurement, Situation
from circuitcheck.read.readings.reading_points import subjects, terminals
from circuitcheck.readings.instruments import predicted
from circuitcheck.readings.meter_error import limit_of_error, spread

EXAMPLES = Path(__file__).parents[2] / "examples"
LIBRARY = read_library()
SPRAYER = read_harness(EXAMPLES / "orchard_sprayer" / "harness.toml", LIBRARY)
SUPPLY_V = 12.5
LEFT = Situation("key on, left", supply_v=SUPPLY_V)


def fault(*changes: Change) -> Fault:
    return Fault("one", "W3", "high resistance", changes=changes)


def shown(
    instrument: str, plus: str, minus: str, *changes: Change, at: Situation = LEFT
) -> tuple[float, float]:
    """Return what the nominal machine shows, healthy and with the changes."""
    circuits = FaultedCircuits(SPRAYER, LIBRARY, [fault(*changes)], at, draws=1)
    found = predicted(Measurement(instrument, plus, minus, at), circuits)
    assert found.shape == (2, 1)
    return float(found[0, 0]), float(found[1, 0])


UNPLUGGED = replace(LEFT, unplugged=frozenset({"X1"}))


@pytest.mark.parametrize(
    ("instrument", "input_ohm"),
    [("digital voltmeter", 10e6), ("cheap digital voltmeter", 1e6), ("moving-coil voltmeter", 1e6)],
)
def test_a_meter_on_a_point_that_hangs_on_1_megohm_divides(
    instrument: str, input_ohm: float
) -> None:
    """X1 apart, W3 corroded to 1 Mohm: V = 12.5 Rm / (Rm + 1 M). 20 kohm/V x 50 V = 1 Mohm."""
    healthy, faulted = shown(instrument, "X1.plug.1", "BAT.-", AddedOhm("W3", 1e6), at=UNPLUGGED)
    assert healthy == pytest.approx(SUPPLY_V, abs=0.15)
    assert faulted == pytest.approx(healthy * input_ohm / (input_ohm + 1e6), rel=1e-3)


def test_full_voltage_open_and_little_under_load_is_a_poor_joint() -> None:
    """Common practice, no source; here it follows from the circuit solved with 20 ohm in W3.

    By hand: (12.5 - v) / 20 = I0 (v / V0)^0.55 for the filament of each lamp.
    """
    joint = AddedOhm("W3", 20.0)
    _, open_v = shown("digital voltmeter", "X1.plug.1", "BAT.-", joint, at=UNPLUGGED)
    assert open_v > 12.3
    for name in ("5 W test lamp and voltmeter", "21 W bulb and voltmeter"):
        filament = LIBRARY.instrument(name).filament
        assert filament is not None

        def excess(v: float, f=filament) -> float:
            hot = f.current_a.nominal * (v / f.rated_v) ** f.exponent
            cold = f.cold_ratio.nominal * f.current_a.nominal * v / f.rated_v
            return (open_v - v) / 20.0 - min(hot, cold)

        by_hand = brentq(excess, 1e-6, open_v)
        healthy, faulted = shown(name, "X1.plug.1", "BAT.-", joint, at=UNPLUGGED)
        assert faulted == pytest.approx(by_hand, rel=0.01)
        assert healthy > 11.8
    assert by_hand < 0.15 * open_v  # of what the bulb of 21 W leaves
    bright, dim = shown("test lamp", "X1.plug.1", "BAT.-", joint, at=UNPLUGGED)
    assert bright == 2.0
    assert 0.5 < dim < 1.5


def test_an_led_tester_proves_no_joint() -> None:
    """5 mA over 20 ohm is 0.1 V: it lights as on a sound wire, and on 1 kohm still."""
    for ohm in (20.0, 1000.0):
        healthy, faulted = shown("LED tester", "X1.plug.1", "BAT.-", AddedOhm("W3", ohm),
                                 at=UNPLUGGED)  # fmt: skip
        assert (healthy, faulted) == (2.0, 2.0)
    _, lost = shown("LED tester", "X1.plug.1", "BAT.-", AddedOhm("W3"), at=UNPLUGGED)
    assert lost == 0.0


def test_an_ohmmeter_sees_the_coil_in_parallel() -> None:
    """9 ohm in the plug of another 9 ohm: 4.5 ohm and the leads; unplugged 9 ohm."""
    off = Situation("key off")
    join = Joined("X1.plug.1", "X1.plug.2", 1e-6)
    alone, parallel = shown("ohmmeter", "VL.1", "VL.2", join, at=off)
    lead = LIBRARY.instrument("ohmmeter").lead_ohm
    warm = alone - lead  # the coil at the air of its zone
    assert warm == pytest.approx(9.0 * (254.5 + 20.0 - 20.0 + 0.0) / 254.5, rel=0.08)
    assert parallel - lead == pytest.approx(warm / 2.0, rel=0.02)
    unplugged = replace(off, unplugged=frozenset({"VL"}))
    assert shown("ohmmeter", "VL.1", "VL.2", join, at=unplugged)[1] == pytest.approx(alone)


def test_an_ohmmeter_shows_a_diode_only_where_its_voltage_turns_it_on() -> None:
    """Winding open: what is left across it is the suppressor's diode, cathode at VL.1."""
    at = Situation("key off", unplugged=frozenset({"VL"}))
    broken = AddedOhm("VL")
    assert math.isinf(shown("ohmmeter", "VL.2", "VL.1", broken, at=at)[1])
    assert math.isinf(shown("ohmmeter, diode turned on", "VL.1", "VL.2", broken, at=at)[1])
    forward = shown("ohmmeter, diode turned on", "VL.2", "VL.1", broken, at=at)[1]
    assert 100.0 < forward < 2000.0
    lost = CurveOpen("VL/suppression")
    known = FaultedCircuits(SPRAYER, LIBRARY, [], at, draws=1).full.curve_of
    if lost.curve in known:
        assert math.isinf(
            shown("ohmmeter, diode turned on", "VL.2", "VL.1", broken, lost, at=at)[1]
        )


def test_clamp_and_fuse_millivolts_tell_the_same_current() -> None:
    """One coil: about 12.4 V / 9 ohm; the fuse's element times that, cold since little loaded."""
    amps, _ = shown("clamp ammeter", "W3", "")
    volts, _ = shown("fuse millivolts", "F1", "")
    row = LIBRARY.fuse("blade", 7.5)
    cold, hot = row.resistance_ohm.nominal, row.drop_at_rated_v / 7.5
    assert 1.1 < amps < 1.6
    assert volts == pytest.approx(amps * (cold + (hot - cold) * (amps / 7.5) ** 2), rel=1e-9)


def test_a_seized_coil_pulls_the_blade_and_does_not_click() -> None:
    seized, broken = CoilSeized("VL"), AddedOhm("VL")
    direct = replace(LEFT, position="key off", unplugged=frozenset({"VL"}))
    for instrument, at, healthy, when_seized, when_broken in (
        ("click", LEFT, 1, 0, 0),
        ("valve moves", LEFT, 1, 0, 0),
        ("steel blade", LEFT, 1, 1, 0),
        ("fed directly", direct, 1, 0, 0),
    ):
        assert shown(instrument, "VL", "", seized, at=at) == (healthy, when_seized), instrument
        assert shown(instrument, "VL", "", broken, at=at) == (healthy, when_broken), instrument
    weak = OhmTimes("VL", 0.99)
    assert shown("fed directly", "VL", "", weak, at=direct) == (1, 1)


def test_a_poor_joint_that_carries_the_coil_is_warm() -> None:
    """1.3 A through 2 ohm: 2.4 W or so; through a sound wire far less than half a watt."""
    for joint in ("W3", "X1.plug.1"):
        branch = "W3" if joint == "W3" else "X1/1"
        assert shown("warm joint", joint, "", AddedOhm(branch, 2.0)) == (0.0, 1.0)
    assert shown("fuse looked at", "F1", "", AddedOhm("F1")) == (1.0, 0.0)
    assert shown("fuse looked at", "TAP", "", AddedOhm("F1")) == (1.0, 1.0)


@pytest.mark.parametrize("folder", sorted(p.name for p in EXAMPLES.iterdir() if p.is_dir()))
def test_every_instrument_shows_something_on_every_example(folder: str) -> None:
    harness = read_harness(EXAMPLES / folder / "harness.toml", LIBRARY)
    position = switch_positions(harness)[-1].name
    circuits = FaultedCircuits(harness, LIBRARY, [], Situation(position), draws=2)
    points = terminals(harness)
    seen = set()
    for row in LIBRARY.instruments.values():
        if row.system_v not in (None, harness.system_v):
            continue
        asked = [(points[0], points[-1])] if row.at == "two points" else [
            (name, "") for name in subjects(row, harness)
        ]  # fmt: skip
        for plus, minus in asked:
            at = Measurement(row.name, plus, minus, Situation(position))
            found = predicted(at, circuits)
            assert found.shape == (1, 2)
            assert not np.isnan(found).any(), (row.name, plus)
            off = spread(at, found, LIBRARY)
            assert off.shape == found.shape
            assert (off >= 0.0).all()
            seen.add(row.kind)
    assert {kind for kind in KINDS if kind != OBSERVATION} <= seen


def test_spread_of_a_meter_by_hand() -> None:
    """12.00 V on 20 V of a 2000-count meter, 0.5 % + 2 digits: sqrt(60^2 + 20^2) / sqrt(3) mV."""
    at = Measurement("digital voltmeter", "VL.1", "VL.2", LEFT)
    assert spread(at, 12.0, LIBRARY) == pytest.approx(math.hypot(0.060, 0.020) / math.sqrt(3.0))
    row = LIBRARY.instrument("digital voltmeter")
    assert limit_of_error(row, 12.0) == pytest.approx(0.080)
    # 0.15 V is on the 200 mV range: 0.75 mV + 2 x 0.1 mV
    assert limit_of_error(row, 0.15) == pytest.approx(0.00095)
    both = spread(at, np.array([0.15, 12.0]), LIBRARY)
    assert both[1] == pytest.approx(float(spread(at, 12.0, LIBRARY)))
    ohm = Measurement("ohmmeter", "VL.1", "VL.2", LEFT)
    assert spread(ohm, math.inf, LIBRARY) == 0.0
    coil = LIBRARY.instrument("moving-coil voltmeter")
    assert limit_of_error(coil, 12.0) == pytest.approx(0.03 * 50.0)


def test_the_tolerance_of_a_fuse_is_in_what_its_millivolts_may_be() -> None:
    circuits = FaultedCircuits(SPRAYER, LIBRARY, [], LEFT, draws=64)
    volts = predicted(Measurement("fuse millivolts", "F1", "", LEFT), circuits)
    amps = predicted(Measurement("clamp ammeter", "F1", "", LEFT), circuits)
    row = LIBRARY.fuse("blade", 7.5)
    share = volts / amps / row.resistance_ohm.nominal
    assert 0.85 <= share.min() < 0.92
    assert 1.08 < share.max() <= 1.15 * 1.05
