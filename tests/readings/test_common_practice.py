"""Rules of the trade, each derived from a solved file; common practice, no source."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from scipy.optimize import brentq

from circuitcheck import read_harness, read_library
from circuitcheck.faults.fault import HIGH_RESISTANCE, AddedOhm, Fault
from circuitcheck.faults.fault_list import single_faults
from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.model.reading import Measurement, Situation
from circuitcheck.readings.instruments import predicted

EXAMPLES = Path(__file__).parents[2] / "examples"
LIBRARY = read_library()
SPRAYER = read_harness(EXAMPLES / "orchard_sprayer" / "harness.toml", LIBRARY)
BOTH = Situation("key on, left + right", supply_v=12.5)
SHARED_FEED = {"BAT", "TAP", "W1", "F1", "W2", "GRIP"}
SHARED_RETURN = {"SP1", "W9", "X1", "W10", "GS1", "CHASSIS", "W11", "BAT"}


def volts(circuits: FaultedCircuits, plus: str, minus: str) -> np.ndarray:
    return predicted(Measurement("digital voltmeter", plus, minus, BOTH), circuits)[:, 0]


def test_two_coils_weak_together_share_something_and_one_drop_decides() -> None:
    """High resistance anywhere: both coils below 0.9 of healthy only by what both hang on; then
    the drop from the coil to battery minus is what is lost where the return is at fault, and next
    to nothing where the feed is."""
    faults = [f for f in single_faults(SPRAYER, LIBRARY) if f.mode == HIGH_RESISTANCE]
    circuits = FaultedCircuits(SPRAYER, LIBRARY, faults, BOTH, draws=1)
    left, right = volts(circuits, "VL.1", "VL.2"), volts(circuits, "VR.1", "VR.2")
    to_minus, lost = volts(circuits, "VL.2", "BAT.-"), left[0] - left
    weak = (left < 0.9 * left[0]) & (right < 0.9 * right[0])
    assert weak.any()
    for k in np.flatnonzero(weak):
        subject = faults[k - 1].subject
        assert subject in SHARED_FEED | SHARED_RETURN, faults[k - 1].name
        share = (to_minus[k] - to_minus[0]) / lost[k]
        in_return = subject in SHARED_RETURN - SHARED_FEED
        assert share > 0.9 if in_return else share < 0.1, faults[k - 1].name
    alone = (left < 0.9 * left[0]) & ~weak
    assert {faults[k - 1].subject for k in np.flatnonzero(alone)} <= {
        "W3", "W5", "W7", "VL", "X1", "GRIP",
    }  # fmt: skip


def test_a_click_without_movement_points_past_the_wiring_unless_the_volts_are_low() -> None:
    """Every single fault in which the coil still pulls in leaves it its volts, or close to it."""
    faults = single_faults(SPRAYER, LIBRARY)
    circuits = FaultedCircuits(SPRAYER, LIBRARY, faults, BOTH, draws=1)
    clicks = predicted(Measurement("click", "VL", "", BOTH), circuits)[:, 0]
    across = volts(circuits, "VL.1", "VL.2")
    coil = SPRAYER.parts["VL"]
    assert (across[clicks == 1.0] >= 0.7 * coil.pull_in_fraction * coil.rated_v).all()
    assert (clicks[across < 0.5 * coil.rated_v] == 0.0).all()


def test_a_test_lamp_across_a_poor_joint_glows_in_series_with_the_coil() -> None:
    """X1 cavity 1 gone: lamp and coil in series, (12.5 - v) / (9 ohm and the wires) = i(v)."""
    gone = Fault("X1 cavity 1 open", "X1", "open", changes=(AddedOhm("X1/1"),))
    at = Situation("key on, left", supply_v=12.5)
    circuits = FaultedCircuits(SPRAYER, LIBRARY, [gone], at, draws=1)
    ends = ("X1.plug.1", "X1.receptacle.1")
    lamp = LIBRARY.instrument("5 W test lamp and voltmeter").filament
    assert lamp is not None
    open_v = float(circuits.between_v(*ends)[1, 0])
    source_ohm = open_v / float(circuits.between_v(*ends, 1.0)[1, 0]) - 1.0  # a load of 1 ohm

    def excess(v: float) -> float:
        hot = lamp.current_a.nominal * (v / lamp.rated_v) ** lamp.exponent
        return (open_v - v) / source_ohm - hot

    by_hand = brentq(excess, 0.5, open_v)
    assert 8.5 < source_ohm < 10.5
    shown = predicted(Measurement("5 W test lamp and voltmeter", *ends, at), circuits)
    assert abs(shown[1, 0] - by_hand) < 0.02
    assert shown[0, 0] < 0.02, "across a sound joint it is dark"
    level = predicted(Measurement("test lamp", *ends, at), circuits)
    assert level[0, 0] == 0.0
    assert level[1, 0] >= 1.0
