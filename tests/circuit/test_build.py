"""Branches of the good harness counted out by hand, and what each switch position makes of them."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from circuitcheck.circuit.build import build_network, tap_is_live
from circuitcheck.circuit.netlist import Branch, Network
from circuitcheck.circuit.positions import switch_positions
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.tolerance_band import Band

MINUS = "BAT.-"
ALWAYS_THERE = {
    # name: (role, start, end), read off the text of the harness
    "TAP/fuse": ("upstream fuse", "BAT.+", "TAP/fuse load"),
    "TAP/wire": ("upstream wire", "TAP/fuse load", "TAP/key"),
    "TAP/present load": ("present load", "TAP", MINUS),
    "F1": ("fuse", "F1.line", "F1.load"),
    "X1/1": ("contact", "X1.plug.1", "X1.receptacle.1"),
    "X1/2": ("contact", "X1.plug.2", "X1.receptacle.2"),
    "X1/3": ("contact", "X1.plug.3", "X1.receptacle.3"),
    "GND": ("bond", "GND", "CHASSIS"),
    "VL": ("coil", "VL.1", "VL.2"),
    "VR": ("coil", "VR.1", "VR.2"),
    "W1": ("wire", "TAP", "F1.line"),
    "W2": ("wire", "F1.load", "GRIP.feed"),
    "W3": ("wire", "GRIP.out_left", "X1.plug.1"),
    "W4": ("wire", "GRIP.out_right", "X1.plug.2"),
    "W5": ("wire", "X1.receptacle.1", "VL.1"),
    "W6": ("wire", "X1.receptacle.2", "VR.1"),
    "W7": ("wire", "VL.2", "S1"),
    "W8": ("wire", "VR.2", "S1"),
    "W9": ("wire", "S1", "X1.receptacle.3"),
    "W10": ("wire", "X1.plug.3", "GND"),
    "W11": ("wire", "CHASSIS", MINUS),
}
KEY = {"TAP/key contact": ("key contact", "TAP/key", "TAP")}
LEFT = {"GRIP/left": ("switch contact", "GRIP.feed", "GRIP.out_left")}
RIGHT = {"GRIP/right": ("switch contact", "GRIP.feed", "GRIP.out_right")}
WIRES = {
    # gauge row, metres, contacts besides two crimps that its ends land on
    "W1": ("14 AWG", 0.15, ("crimp splice",)),  # the tap's joint
    "W2": ("14 AWG", 0.8, ()),
    "W3": ("14 AWG", 3.0, ()),
    "W5": ("14 AWG", 0.6, ()),
    "W7": ("14 AWG", 0.5, ("crimp splice",)),  # its end in S1
    "W9": ("14 AWG", 0.2, ("crimp splice",)),
    "W10": ("14 AWG", 3.2, ()),  # the stud's bond is a branch of its own
    "W11": ("8 AWG", 0.4, ("ring terminal on stud", "battery post clamp")),
}


@pytest.fixture(scope="session")
def network_in(library: Library) -> Callable[[Harness, str], Network]:
    def make(harness: Harness, name: str) -> Network:
        position = next(p for p in switch_positions(harness) if p.name == name)
        return build_network(harness, library, position)

    return make


def described(network: Network) -> dict[str, tuple[str, str, str]]:
    names = network.node_names
    return {b.name: (b.role, names[b.start], names[b.end]) for b in network.branches}


def branch(network: Network, name: str) -> Branch:
    return network.branches[network.branch_of[name]]


def sum_of(bands: list[Band]) -> tuple[float, float, float]:
    return (
        sum(band.lower for band in bands),
        sum(band.nominal for band in bands),
        sum(band.upper for band in bands),
    )


def ends(band: Band) -> tuple[float, float, float]:
    return band.lower, band.nominal, band.upper


@pytest.mark.parametrize(
    ("position", "added"),
    [
        ("key off", {}),
        ("key off, left", LEFT),
        ("key on", KEY),
        ("key on, left", KEY | LEFT),
        ("key on, right", KEY | RIGHT),
        ("cranking", {}),
        ("cranking, right", RIGHT),
    ],
)
def test_branches_of_each_position(
    position: str,
    added: dict[str, tuple[str, str, str]],
    harness_of: Callable[..., Harness],
    network_in: Callable[[Harness, str], Network],
) -> None:
    network = network_in(harness_of(), position)
    assert described(network) == ALWAYS_THERE | added
    assert network.live == ("key on" in position)
    names = network.node_names
    assert (names[network.source], names[network.reference]) == ("BAT.+", MINUS)
    assert len(set(names)) == len(names)


def test_every_terminal_with_a_wire_is_a_node(
    harness_of: Callable[..., Harness], network_in: Callable[[Harness, str], Network]
) -> None:
    harness = harness_of()
    network = network_in(harness, "key on")
    for wire in harness.wires.values():
        assert str(wire.start) in network.node_of
        assert str(wire.end) in network.node_of


@pytest.mark.parametrize("name", WIRES)
def test_a_wire_is_copper_two_crimps_and_what_it_lands_on(
    name: str,
    library: Library,
    harness_of: Callable[..., Harness],
    network_in: Callable[[Harness, str], Network],
) -> None:
    found = branch(network_in(harness_of(), "key on"), name)
    row, metres, landing = WIRES[name]
    per_m = library.conductors[row].resistance_ohm_per_m
    assert ends(found.resistance_20c_ohm) == pytest.approx(
        tuple(metres * end for end in ends(per_m)), rel=1e-12
    )
    joints = [library.contacts[kind].resistance_ohm for kind in ("crimp", "crimp", *landing)]
    assert ends(found.contact_ohm) == pytest.approx(sum_of(joints), rel=1e-12)


def test_the_first_wire_in_milliohms(
    harness_of: Callable[..., Harness], network_in: Callable[[Harness, str], Network]
) -> None:
    # 14 AWG SAE 8.037, 9.374, 9.879 milliohm per metre; crimp and splice 0.05, 0.1, 1 milliohm
    found = branch(network_in(harness_of(), "key on"), "W1")
    assert ends(found.resistance_20c_ohm) == pytest.approx((1.20555e-3, 1.4061e-3, 1.48185e-3))
    assert ends(found.contact_ohm) == pytest.approx((0.15e-3, 0.3e-3, 3e-3))


def test_fuse_and_tap(
    library: Library,
    harness_of: Callable[..., Harness],
    network_in: Callable[[Harness, str], Network],
) -> None:
    network = network_in(harness_of(), "key on")
    clip = library.contacts["fuse clip"].resistance_ohm
    for name, row in (("F1", "5 A blade"), ("TAP/fuse", "15 A blade")):
        element = library.fuses[row].resistance_ohm
        assert ends(branch(network, name).contact_ohm) == pytest.approx(
            sum_of([element, clip, clip]), rel=1e-12
        )
        assert ends(branch(network, name).resistance_20c_ohm) == (0.0, 0.0, 0.0)
    wire = branch(network, "TAP/wire")
    per_m = library.conductors["12 AWG"].resistance_ohm_per_m
    assert ends(wire.resistance_20c_ohm) == pytest.approx([1.8 * end for end in ends(per_m)])
    # at the battery end it sits under the post's clamp
    assert wire.contact_ohm == library.contacts["battery post clamp"].resistance_ohm
    assert ends(branch(network, "TAP/key contact").contact_ohm) == (1e-3, 3e-3, 5e-3)


def test_the_present_load_is_a_resistance_that_may_be_switched_off(
    harness_of: Callable[..., Harness], network_in: Callable[[Harness, str], Network]
) -> None:
    load = branch(network_in(harness_of(), "key on"), "TAP/present load").contact_ohm
    assert load.lower == load.nominal == pytest.approx(12.0 / 3.5)
    assert load.upper == 1e6  # off: twelve microamperes


@pytest.mark.parametrize("stated", ['"0 A"', '"unknown"'])
def test_no_present_load_no_branch(
    stated: str, harness_of: Callable[..., Harness], network_in: Callable[[Harness, str], Network]
) -> None:
    network = network_in(harness_of(upstream={"present_load": stated}), "key on")
    assert "TAP/present load" not in network.branch_of


def test_air_along_a_route_runs_from_its_coldest_to_its_hottest_zone(
    harness_of: Callable[..., Harness], network_in: Callable[[Harness, str], Network]
) -> None:
    harness = harness_of(cab={"ambient": '["-25 degC", "30 degC"]'})
    network = network_in(harness, "key on")
    both = branch(network, "W3")
    assert both.zones == ("cab", "boom")
    assert ends(both.ambient_c) == (-25.0, (2.5 + 20.0) / 2, 50.0)
    assert ends(branch(network, "W2").ambient_c) == (-25.0, 2.5, 30.0)
    assert ends(branch(network, "VL").ambient_c) == (-10.0, 20.0, 50.0)


def test_own_heating_is_such_that_the_ampacity_heats_to_the_limit(
    library: Library,
    harness_of: Callable[..., Harness],
    network_in: Callable[[Harness, str], Network],
) -> None:
    network = network_in(harness_of(), "key on")
    row = library.ampacity_row("14 AWG", "XLPE 125")
    assert (row.current_a, row.ambient_c, row.temperature_c) == (40.0, 30.0, 125.0)
    single, two = branch(network, "W2"), branch(network, "W3")
    assert single.heating_k_per_a2 == pytest.approx((125.0 - 30.0) / 40.0**2)
    shared = 40.0 * library.bundle_factor(2).factor
    assert two.heating_k_per_a2 == pytest.approx((125.0 - 30.0) / shared**2)
    assert single.hottest_c == 125.0
    assert branch(network, "VL").heating_k_per_a2 is None  # its duty, not its current, heats it


def test_coil_and_its_suppressor(
    harness_of: Callable[..., Harness], network_in: Callable[[Harness, str], Network]
) -> None:
    network = network_in(harness_of(), "key on")
    assert ends(branch(network, "VL").resistance_20c_ohm) == pytest.approx((6.48, 7.2, 7.92))
    names = network.node_names
    assert [(d.name, names[d.anode], names[d.cathode]) for d in network.diodes] == [
        ("VL/suppressor", "VL.2", "VL.1"),
        ("VR/suppressor", "VR.2", "VR.1"),
    ]


@pytest.mark.parametrize(
    ("suppression", "branches", "diodes"),
    [
        ('"none"', 0, 0),
        ('"unknown"', 0, 0),
        ('{ kind = "diode + Zener", cathode = "1", reverse = "60 V" }', 0, 0),
        ('{ kind = "resistor", resistance = "75 ohm", power = "3 W" }', 1, 0),
        ('{ kind = "resistor", resistance = "unknown" }', 0, 0),
        ('{ kind = "diode", cathode = "unknown", reverse = "400 V" }', 0, 0),
        ('{ kind = "diode", cathode = "2", reverse = "400 V" }', 0, 1),
    ],
)
def test_which_suppressors_carry_steady_current(
    suppression: str,
    branches: int,
    diodes: int,
    harness_of: Callable[..., Harness],
    network_in: Callable[[Harness, str], Network],
) -> None:
    network = network_in(harness_of(VL={"suppression": suppression}), "key on")
    own = [b for b in network.branches if b.owner == "VL" and b.role == "suppressor"]
    assert len(own) == branches
    for found in own:
        assert found.contact_ohm.nominal == 75.0
        assert (found.start, found.end) == (network.node_of["VL.1"], network.node_of["VL.2"])
    assert len([d for d in network.diodes if d.owner == "VL"]) == diodes


@pytest.mark.parametrize("stated", ["on", "always", "unknown"])
@pytest.mark.parametrize("cranking", ["on", "off", "unknown"])
def test_when_a_tap_is_live(
    stated: str,
    cranking: str,
    harness_of: Callable[..., Harness],
    network_in: Callable[[Harness, str], Network],
) -> None:
    harness = harness_of(upstream={"key": f'"{stated}"', "cranking": f'"{cranking}"'})
    tap = harness.parts["TAP"]
    assert isinstance(tap, SupplyTap)
    live = {
        "key off": stated != "on",  # what is not known counts as live
        "key on": True,
        "cranking": cranking != "off",
    }
    for key, expected in live.items():
        assert tap_is_live(tap, key) is expected
        network = network_in(harness, key)
        assert network.live is expected
        assert ("TAP/key contact" in network.branch_of) is expected


def test_a_wire_on_the_battery_post_is_live_whatever_the_key(
    harness_of: Callable[..., Harness], network_in: Callable[[Harness, str], Network]
) -> None:
    harness = harness_of(W1={"from": '"BAT.+"'})
    for key in ("key off", "key on", "cranking"):
        assert network_in(harness, key).live


def test_a_fuse_in_the_machine_that_is_not_there_leaves_one_clip(
    library: Library,
    harness_of: Callable[..., Harness],
    network_in: Callable[[Harness, str], Network],
) -> None:
    network = network_in(harness_of(upstream={"fuse": '"none"'}), "key on")
    clip = library.contacts["fuse clip"].resistance_ohm
    assert branch(network, "TAP/fuse").contact_ohm == clip


def test_frames_bond_to_frames_and_to_the_battery(
    harness_of: Callable[..., Harness], network_in: Callable[[Harness, str], Network]
) -> None:
    harness = harness_of(
        without=("W11",),
        CHASSIS={"bonds": '[{ to = "BAT.-", resistance = ["1 mohm", "20 mohm"] }]'},
    )
    network = network_in(harness, "key on")
    found = branch(network, "CHASSIS/bond to BAT.-")
    assert described(network)[found.name] == ("bond", "CHASSIS", MINUS)
    assert (found.contact_ohm.lower, found.contact_ohm.upper) == (1e-3, 20e-3)


def test_one_button_on_two_contacts_gives_two_branches(
    harness_of: Callable[..., Harness], network_in: Callable[[Harness, str], Network]
) -> None:
    contacts = """[
      { button = "both", action = "momentary", closes = ["feed", "out_left"] },
      { button = "both", action = "momentary", closes = ["feed", "out_right"] },
    ]"""
    harness = harness_of(GRIP={"contacts": contacts, "interlock": None})
    network = network_in(harness, "key on, both")
    assert {"GRIP/both", "GRIP/both 2"} <= set(network.branch_of)
    assert network.closed_contacts() == {"GRIP/both", "GRIP/both 2", "TAP/key contact"}


def test_a_normally_closed_contact_is_a_branch_at_rest(
    harness_of: Callable[..., Harness], network_in: Callable[[Harness, str], Network]
) -> None:
    contacts = """[
      { button = "stop", action = "momentary", opens = ["feed", "out_left"] },
      { button = "right", action = "momentary", closes = ["feed", "out_right"] },
    ]"""
    harness = harness_of(GRIP={"contacts": contacts, "interlock": None})
    assert "GRIP/stop" in network_in(harness, "key on").branch_of
    assert "GRIP/stop" not in network_in(harness, "key on, stop").branch_of
    assert {"GRIP/stop", "GRIP/right"} <= set(network_in(harness, "key on, right").branch_of)


def test_a_spare_cavity_has_no_branch(
    harness_of: Callable[..., Harness], network_in: Callable[[Harness, str], Network]
) -> None:
    network = network_in(harness_of(X1={"cavities": "6"}), "key on")
    assert [b.name for b in network.branches if b.owner == "X1"] == ["X1/1", "X1/2", "X1/3"]


@pytest.mark.parametrize(
    ("position", "live", "dead"),
    [
        ("key off, left", {"TAP/fuse load", "TAP/key"}, {"TAP", "GRIP.feed", "VL.1"}),
        ("key on", {"TAP", "F1.load", "GRIP.feed"}, {"GRIP.out_left", "VL.1", "VR.1"}),
        ("key on, left", {"GRIP.out_left", "X1.receptacle.1", "VL.1"}, {"VR.1", "VL.2"}),
    ],
)
def test_what_battery_plus_reaches_without_passing_a_load(
    position: str,
    live: set[str],
    dead: set[str],
    harness_of: Callable[..., Harness],
    network_in: Callable[[Harness, str], Network],
) -> None:
    reached = network_in(harness_of(), position).reached_from_source()
    assert live | {"BAT.+"} <= reached
    assert not (dead | {MINUS, "CHASSIS", "S1"}) & reached
