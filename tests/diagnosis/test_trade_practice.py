"""What the trade knows, derived from a solved file. Common practice, no source.

Full voltage open and little under load is a poor joint; two coils weak together share something and
one drop decides; a click without movement points past the coil's wiring unless the volts are low.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np

from circuitcheck.diagnosis.complaint import ComplaintReader
from circuitcheck.diagnosis.diagnosis import Diagnosis
from circuitcheck.diagnosis.opening import Workshop
from circuitcheck.model.reading import Measurement, Reading, Situation
from circuitcheck.read.harness_file import read_harness
from circuitcheck.read.library.library_tables import read_library

ROOT = Path(__file__).parents[2]
LIBRARY = read_library()
LEFT, RIGHT = Situation("key on, left"), Situation("key on, right")
OFF = Situation("key on, left", unplugged=frozenset({"VL"}))
METER, BULB = "digital voltmeter", "21 W bulb and voltmeter"


@cache
def workshop() -> Workshop:
    return Workshop(read_harness(ROOT / "examples/orchard_sprayer/harness.toml", LIBRARY), LIBRARY)


def opened(*complaints: str) -> Diagnosis:
    shop = workshop()
    reader = ComplaintReader(shop.full.harness, shop.candidates.places, shop.full.positions)
    return shop.open([reading for words in complaints for reading in reader.read(words)])


def read(instrument: str, plus: str, minus: str, value: float, at: Situation = LEFT) -> Reading:
    return Reading(Measurement(instrument, plus, minus, at), value)


def share(diagnosis: Diagnosis, *words: str) -> float:
    """Probability of all causes that have one of some words in their label."""
    causes, belief = diagnosis.suspects.causes, diagnosis.belief
    hit = np.array([any(word in cause.label for word in words) for cause in causes])
    return float(belief.probability[hit].sum())


def test_full_voltage_open_and_little_under_load_is_a_poor_joint() -> None:
    start = opened("VL does not click", "VR works")
    open_only = start.with_reading(read(METER, "VL.1", "VL.2", 12.3, OFF))
    loaded = open_only.with_reading(read(BULB, "VL.1", "VL.2", 3.1, OFF))
    # The voltmeter alone clears no joint: any resistance below a megohm shows full voltage.
    assert share(open_only, "high resistance") > 0.2
    assert share(loaded, "high resistance") > 0.9
    whole = open_only.with_reading(read(BULB, "VL.1", "VL.2", 11.9, OFF))
    assert share(whole, "high resistance") < 0.05
    assert share(whole, "winding", "seized", "turns shorted") > 0.8


def test_a_load_is_worth_more_than_a_voltmeter_alone_where_a_joint_is_in_doubt() -> None:
    # It follows from the circuit: with the coil off, a voltmeter sees 12 V behind any joint.
    start = opened("VL does not click", "VR works")
    alone, bulb = (
        start.suspects.table.measurements.index(Measurement(name, "VL.1", "VL.2", OFF))
        for name in (METER, BULB)
    )
    assert start.information_bit[bulb] > 1.2 * start.information_bit[alone]
    assert start.choice is not None
    chosen = start.suspects.table.measurements[start.choice.number]
    # the drop under load, with the coil on, is what is asked for
    assert chosen.situation.unplugged == frozenset() or chosen.instrument == BULB


def test_two_coils_weak_together_share_something_and_one_drop_decides() -> None:
    start = opened("VL does not click", "VR does not click")
    shared = ("GS1", "TAP", "BAT", "F1", "W1 ", "W2 ", "W9", "W10", "W11", "X1")
    own = ("VL winding", "VR winding", "VL seized", "VR seized", "W5 open", "W6 open")
    assert share(start, *shared) > 10.0 * share(start, *own)
    # The two coils' common terminal to battery minus: volts there are lost in the return.
    returned = start.with_reading(read(METER, "VL.2", "BAT.-", 6.2))
    assert share(returned, "GS1", "W9", "W10", "W11", "X1 cavity 3") > 0.8
    fed = start.with_reading(read(METER, "VL.2", "BAT.-", 0.04))
    assert share(fed, "GS1", "W9 h", "W10 h", "W11 h", "X1 cavity 3 h") < 0.1


def test_a_click_without_movement_points_past_the_wiring() -> None:
    start = opened("VL clicks but does not move", "VR works")
    valve = "valve of VL"
    full = start.with_reading(read(METER, "VL.1", "VL.2", 12.0))
    assert share(full, valve) > share(start, valve)
    assert share(full, valve) > 0.7
    # ... unless the volts are low
    low = start.with_reading(read(METER, "VL.1", "VL.2", 5.0))
    assert share(low, "high resistance", "BAT low", "TAP weak") > share(low, valve)


def test_what_a_healthy_voltage_proves_depends_on_where_it_is_read() -> None:
    # 12 V at VL.1 with VL on clears the feed and says nothing of the return: by this circuit.
    start = opened("VL does not click", "VR works")
    found = start.with_reading(read(METER, "VL.1", "BAT.-", 12.2))
    assert share(found, "W3 open", "W5 open", "contact left") < 0.1
    assert share(found, "W7 open", "VL winding open") > 0.3
