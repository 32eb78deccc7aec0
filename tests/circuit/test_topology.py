"""What hangs on what: sides, fuses passed, ways."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from circuitcheck.circuit.topology import Link, coil_sides, reach, read_topology, wires_at
from circuitcheck.model.harness import Harness

FEED = {"BAT.+", "TAP", "F1.line", "F1.load", "GRIP.feed", "GRIP.out_left", "GRIP.out_right"}
RETURN = {"BAT.-", "CHASSIS", "GND", "X1.plug.3", "X1.receptacle.3", "S1", "VL.2", "VR.2"}


def test_sides_of_the_good_harness(harness_of: Callable[..., Harness]) -> None:
    topology = read_topology(harness_of())
    behind = {"X1.plug.1", "X1.receptacle.1", "VL.1", "X1.plug.2", "X1.receptacle.2", "VR.1"}
    assert topology.feed == FEED | behind
    assert topology.returned == RETURN
    assert topology.unfused == {"BAT.+"}
    assert {topology.side_of(t) for t in FEED} == {"feed"}
    assert {topology.side_of(t) for t in RETURN} == {"return"}
    assert topology.side_of("nowhere") == "neither"


def test_a_coil_is_no_link(harness_of: Callable[..., Harness]) -> None:
    harness = harness_of()
    assert coil_sides(harness, read_topology(harness)) == {
        "VL": ("feed", "return"),
        "VR": ("feed", "return"),
    }


def test_both_sides_where_feed_and_return_are_joined(harness_of: Callable[..., Harness]) -> None:
    harness = harness_of(W10={"from": '"F1.load"'})
    topology = read_topology(harness)
    assert topology.side_of("F1.load") == topology.side_of("CHASSIS") == "both"
    assert topology.side_of("S1") == "neither"


@pytest.mark.parametrize(
    ("machine_fuse", "unfused"),
    [
        ('"15 A blade"', {"BAT.+"}),
        ('"none"', {"BAT.+", "TAP", "F1.line"}),
        ('"unknown"', {"BAT.+", "TAP", "F1.line"}),
    ],
)
def test_what_no_fuse_protects(
    machine_fuse: str, unfused: set[str], harness_of: Callable[..., Harness]
) -> None:
    topology = read_topology(harness_of(upstream={"fuse": machine_fuse}))
    assert topology.unfused == unfused


def test_ways_name_the_owners_passed(harness_of: Callable[..., Harness]) -> None:
    ways = read_topology(harness_of()).ways_from("BAT.+")
    assert ways["BAT.+"] == ()
    assert ways["F1.load"] == ("TAP", "W1", "F1")
    assert ways["VL.1"] == ("TAP", "W1", "F1", "W2", "GRIP", "W3", "X1", "W5")
    assert "CHASSIS" not in ways


def test_of_two_ways_the_one_with_fewer_owners(harness_of: Callable[..., Harness]) -> None:
    by_pass = '[wire.W20]\nfrom = "F1.load"\nto = "X1.plug.1"\ngauge = "14 AWG"\nlength = "9 m"\n'
    ways = read_topology(harness_of(more=by_pass)).ways_from("BAT.+")
    assert ways["X1.plug.1"] == ("TAP", "W1", "F1", "W20")


def test_reach_does_not_look_past_the_stop() -> None:
    links = [Link("a", "b", "1"), Link("b", "c", "2"), Link("d", "c", "3"), Link("e", "f", "4")]
    assert reach(links, "a") == {"a", "b", "c", "d"}
    assert reach(links, "a", stop="c") == {"a", "b", "c"}
    assert reach(links, "c", stop="c") == {"c"}


def test_wires_at_each_terminal(harness_of: Callable[..., Harness]) -> None:
    landed = wires_at(harness_of())
    assert landed["S1"] == ["W7", "W8", "W9"]
    assert landed["X1.plug.3"] == ["W10"]
    assert "BAT.+" not in landed
