"""What a position asks for, and what one short to the frame works, read off the wiring by hand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from circuitcheck import Harness, read_harness
from circuitcheck.circuit.asked_for import asked_loads
from circuitcheck.circuit.build import build_network
from circuitcheck.circuit.netlist import Network
from circuitcheck.circuit.positions import switch_positions
from circuitcheck.model.diode import Diode
from circuitcheck.model.library import Library

GOOD = Path(__file__).parents[1] / "harnesses" / "good"


def read(library: Library, name: str) -> Harness:
    return read_harness(GOOD / f"{name}.toml", library)


def network(harness: Harness, library: Library, name: str, *operated: str) -> Network:
    position = next(p for p in switch_positions(harness) if p.name == name)
    settled = replace(position, energised_relays=frozenset(operated))
    return build_network(harness, library, settled)


@pytest.mark.parametrize(
    ("file", "position", "operated", "asked"),
    [
        # nothing pressed: the LED across the relay contact is fed, but returns through the coil
        ("relay_indicators_12v", "key on", (), set()),
        ("relay_indicators_12v", "key on, BTN", (), {"K1"}),
        ("relay_indicators_12v", "key on, BTN", ("K1",), {"K1", "VL", "LAMP"}),
        # the isolator in the return takes all of it off
        ("relay_indicators_12v", "key on, ISO off + BTN", ("K1",), set()),
        ("relay_indicators_12v", "key off, BTN", ("K1",), set()),
        ("pull_hold_low_side_12v", "key on, gate", (), {"VL"}),
        ("pull_hold_low_side_12v", "key on, STOP", (), {"Y1/hold", "Y1/pull"}),
        ("pull_hold_low_side_12v", "key on, START", (), {"K2"}),
        ("pull_hold_low_side_12v", "key on, START", ("K2",), {"K2", "VB"}),
        # behind the converter, and beside it
        ("trailer_converter_24v", "key on, SW", (), {"VL"}),
        ("trailer_converter_24v", "key on, SW + SW2", (), {"VL", "VR"}),
        # two valves, one bridge of returns: nobody asks for the other
        ("bridge_return", "key on", (), set()),
    ],
)
def test_asked_loads(
    library: Library, file: str, position: str, operated: tuple[str, ...], asked: set[str]
) -> None:
    made = network(read(library, file), library, position, *operated)
    # the break contact of K1 leads nowhere, so it asks for nothing
    assert asked_loads(made) == asked


@pytest.mark.parametrize(("turned", "asked"), [(False, {"VL"}), (True, set())])
def test_a_diode_in_the_feed_lets_one_way_through(
    library: Library, turned: bool, asked: set[str]
) -> None:
    harness = read(library, "two_valves_12v")
    diode = Diode("D1", "cab", library.diode("3 A silicon diode, 1000 V").forward_v, 3.0, None)
    wires = dict(harness.wires)
    ends = ("cathode", "anode") if turned else ("anode", "cathode")
    first, second = (replace(wires["W3"].end, part="D1", name=end) for end in ends)
    wires["W30"] = replace(wires["W3"], name="W30", start=second)
    wires["W3"] = replace(wires["W3"], end=first)
    changed = replace(harness, parts={**harness.parts, "D1": diode}, wires=wires)
    assert asked_loads(network(changed, library, "key on, left")) == asked
