"""Each kind of part as nodes, branches and curves, counted out by hand from the harness files."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from circuitcheck import Harness, read_harness
from circuitcheck.circuit.build import build_network, pull_states
from circuitcheck.circuit.netlist import HOLDING, PULLING, DiodeCurve, LampCurve, Network
from circuitcheck.circuit.positions import switch_positions
from circuitcheck.circuit.structural_faults import structural_faults
from circuitcheck.circuit.topology import load_ends, read_topology
from circuitcheck.model.harness import Part
from circuitcheck.model.indicator import LedIndicator
from circuitcheck.model.library import Library
from circuitcheck.model.pull_hold_coil import CUT_OUTS, PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil, Suppression

GOOD = Path(__file__).parents[1] / "harnesses" / "good"


@pytest.fixture(scope="module")
def relay_harness(library: Library) -> Harness:
    return read_harness(GOOD / "relay_indicators_12v.toml", library)


@pytest.fixture(scope="module")
def low_side(library: Library) -> Harness:
    return read_harness(GOOD / "pull_hold_low_side_12v.toml", library)


@pytest.fixture(scope="module")
def trailer(library: Library) -> Harness:
    return read_harness(GOOD / "trailer_converter_24v.toml", library)


def network(
    harness: Harness,
    library: Library,
    name: str,
    *,
    operated: tuple[str, ...] = (),
    pull_state: str = PULLING,
) -> Network:
    position = next(p for p in switch_positions(harness) if p.name == name)
    settled = replace(position, energised_relays=frozenset(operated))
    return build_network(harness, library, settled, pull_state=pull_state)


def owned(made: Network, owner: str) -> dict[str, tuple[str, str, str]]:
    names = made.node_names
    found = {
        b.name: (b.role, names[b.start], names[b.end]) for b in made.branches if b.owner == owner
    }
    found |= {d.name: ("diode", names[d.anode], names[d.cathode]) for d in made.diodes
              if d.owner == owner}  # fmt: skip
    curves = {c.name: (c.role, names[c.start], names[c.end]) for c in made.curves
              if c.owner == owner}  # fmt: skip
    return found | curves


def with_part(harness: Harness, part: Part) -> Harness:
    return replace(harness, parts={**harness.parts, part.name: part})


def test_relay_at_rest_and_operated(relay_harness: Harness, library: Library) -> None:
    coil = {
        "K1": ("relay coil", "K1.86", "K1.85"),
        # ring on 86, the positive end: it blocks while the coil is fed the right way round
        "K1/suppressor": ("diode", "K1.85", "K1.86"),
    }
    at_rest = network(relay_harness, library, "key on")
    assert owned(at_rest, "K1") == {**coil, "K1/break": ("relay contact", "K1.30", "K1.87a")}
    operated = network(relay_harness, library, "key on", operated=("K1",))
    assert owned(operated, "K1") == {**coil, "K1/make": ("relay contact", "K1.30", "K1.87")}
    assert at_rest.closed_contacts() != operated.closed_contacts()


@pytest.mark.parametrize(
    ("contacts", "terminals", "closed"),
    [
        ("make", ("85", "86", "30", "87"), {False: [], True: ["make"]}),
        ("break", ("85", "86", "30", "87a"), {False: ["break"], True: []}),
        ("changeover", ("85", "86", "30", "87", "87a"), {False: ["break"], True: ["make"]}),
    ],
)
def test_terminals_and_contacts_of_each_set(
    relay_harness: Harness, contacts: str, terminals: tuple[str, ...], closed: dict[bool, list[str]]
) -> None:
    # DIN 72552: 85 and 86 ends of the winding; 30 common, 87 make, 87a break.
    relay = replace(relay_harness.of_kind(Relay)[0], contacts=contacts)
    assert relay.terminals == terminals
    for operated, sides in closed.items():
        assert [s.side for s in relay.contact_sides if s.closed(operated)] == sides


def test_suppressor_inside_a_relay(relay_harness: Harness, library: Library) -> None:
    relay = relay_harness.of_kind(Relay)[0]
    for kind, role in (("resistor", "suppressor"), ("diode", "diode"), ("none", None)):
        inside = Suppression(kind, cathode="85", resistance_ohm=relay.resistance_20c_ohm)
        changed = with_part(relay_harness, replace(relay, suppression=inside))
        found = owned(network(changed, library, "key on"), "K1").get("K1/suppressor")
        assert (found and found[0]) == role
        if kind == "diode":
            assert found == ("diode", "K1.86", "K1.85")  # reversed: across the supply


def test_contactor_returns_through_its_body(low_side: Harness, library: Library) -> None:
    contactor = low_side.of_kind(Relay)[0]
    assert contactor.terminals == ("A1", "1", "2")
    made = owned(network(low_side, library, "key on", operated=("K2",)), "K2")
    assert made == {
        "K2": ("relay coil", "K2.A1", "K2.A2"),
        "K2/body": ("bond", "K2.A2", "CHASSIS"),
        "K2/make": ("relay contact", "K2.1", "K2.2"),
    }
    ends = next(e for e in load_ends(low_side) if e.part == "K2")
    assert (ends.ends, ends.wired) == (("K2.A1", "K2.A2"), ("K2.A1",))
    assert read_topology(low_side).side_of("K2.A2") == "return"


def test_coil_returns_through_its_body(low_side: Harness, library: Library) -> None:
    coil = next(c for c in low_side.of_kind(SolenoidCoil) if c.name == "VB")
    assert coil.terminals == ("1",)
    assert owned(network(low_side, library, "key on"), "VB") == {
        "VB": ("coil", "VB.1", "VB.2"),
        "VB/body": ("bond", "VB.2", "CHASSIS"),
    }


@pytest.mark.parametrize("cut_out", CUT_OUTS)
def test_pull_winding_is_on_until_it_is_cut_out(
    low_side: Harness, library: Library, cut_out: str
) -> None:
    coil = replace(low_side.of_kind(PullHoldCoil)[0], cut_out=cut_out)
    harness = with_part(low_side, coil)
    start = "Y1.hold" if cut_out == "internal switch" else "Y1.pull"
    assert coil.terminals == (
        ("hold", "common") if cut_out == "internal switch" else ("pull", "hold", "common")
    )
    hold = {"Y1/hold": ("hold winding", "Y1.hold", "Y1.common")}
    both = {**hold, "Y1/pull": ("pull winding", start, "Y1.common")}
    assert owned(network(harness, library, "key on, STOP"), "Y1") == both
    holding = network(harness, library, "key on, STOP", pull_state=HOLDING)
    cuts_out = cut_out in ("internal switch", "outside timer")
    assert owned(holding, "Y1") == (hold if cuts_out else both)
    assert holding.pull_state == HOLDING
    assert pull_states(harness) == ((PULLING, HOLDING) if cuts_out else (PULLING,))


def test_no_holding_state_without_such_a_coil(relay_harness: Harness) -> None:
    assert pull_states(relay_harness) == (PULLING,)


def test_bidirectional_suppressor_is_no_branch(low_side: Harness, library: Library) -> None:
    assert owned(network(low_side, library, "key on"), "VL") == {"VL": ("coil", "VL.1", "VL.2")}


def test_lamp_led_and_diode_are_curves(relay_harness: Harness, library: Library) -> None:
    made = network(relay_harness, library, "key on")
    assert owned(made, "LAMP") == {"LAMP": ("lamp", "LAMP.1", "LAMP.2")}
    assert owned(made, "LED") == {"LED": ("LED", "LED.1", "LED.2")}
    assert owned(made, "D1") == {"D1": ("diode", "D1.anode", "D1.cathode")}
    curves = {curve.name: curve.parameters for curve in made.curves}
    lamp, led = curves["LAMP"], curves["LED"]
    assert isinstance(lamp, LampCurve)
    assert lamp.current_a.nominal == pytest.approx(1.2 / 13.5)  # 1.2 W at 13.5 V
    assert isinstance(led, DiodeCurve)
    assert led.current_a == pytest.approx((12.0 - 2.1) / 1000.0)  # green: 2.1 V, 1 kohm


@pytest.mark.parametrize(
    ("plus", "ends"),
    [
        ("1", {"LED": ("LED", "LED.1", "LED.2")}),
        ("2", {"LED": ("LED", "LED.2", "LED.1")}),
        (None, {"LED": ("LED", "LED.1", "LED.2"), "LED/other way": ("LED", "LED.2", "LED.1")}),
    ],
)
def test_led_from_its_plus(
    relay_harness: Harness,
    library: Library,
    plus: str | None,
    ends: dict[str, tuple[str, str, str]],
) -> None:
    led = replace(relay_harness.of_kind(LedIndicator)[0], plus=plus)
    made = network(with_part(relay_harness, led), library, "key on")
    assert owned(made, "LED") == ends


def test_isolator_opens_the_return(relay_harness: Harness, library: Library) -> None:
    closed = network(relay_harness, library, "key on")
    assert owned(closed, "ISO") == {"ISO/ISO off": ("switch contact", "ISO.1", "ISO.2")}
    assert owned(network(relay_harness, library, "key on, ISO off"), "ISO") == {}
    names = [p.name for p in switch_positions(relay_harness) if p.key == "key on"]
    assert names == ["key on", "key on, ISO off", "key on, BTN", "key on, ISO off + BTN"]


def test_resistor_before_a_load_is_part_of_the_line(
    relay_harness: Harness, library: Library
) -> None:
    # R1 stands before the LED; D1 lies across the coil VL, so it is no link.
    assert read_topology(relay_harness).in_line == {"R1"}
    made = network(relay_harness, library, "key on")
    assert owned(made, "R1") == {"R1": ("line resistor", "R1.1", "R1.2")}


def test_resistor_across_a_load_is_a_load(relay_harness: Harness, library: Library) -> None:
    wires = dict(relay_harness.wires)
    # R1 from the splice before the coil to the splice behind it, where D1 was
    wires["W12"] = replace(wires["W12"], end=wires["W17"].end)
    wires["W13"] = replace(wires["W13"], start=wires["W18"].start)
    wires["W7"] = replace(wires["W7"], end=wires["W20"].end)
    for name in ("W16", "W17", "W18", "W19", "W20"):
        wires.pop(name)
    parts = {n: p for n, p in relay_harness.parts.items() if n not in ("LED", "D1", "S3", "S6")}
    changed = replace(relay_harness, parts=parts, wires=wires)
    assert read_topology(changed).in_line == frozenset()
    assert owned(network(changed, library, "key on"), "R1") == {"R1": ("resistor", "R1.1", "R1.2")}


def test_converter_joins_input_output_and_minus(trailer: Harness, library: Library) -> None:
    made = network(trailer, library, "key on")
    [converter] = made.converters
    names = made.node_names
    assert [names[n] for n in (converter.source, converter.output, converter.minus)] == [
        "C1.in", "C1.out", "C1.minus",
    ]  # fmt: skip
    assert converter.output_v.lower == pytest.approx(13.4 * 0.97)
    topology = read_topology(trailer)
    assert topology.side_of("C1.out") == "feed"
    assert topology.side_of("C1.minus") == "return"


def test_copper_clad_aluminium_heats_as_its_resistance(trailer: Harness, library: Library) -> None:
    made = network(trailer, library, "key on")
    copper = made.branches[made.branch_of["W3"]]
    clad = made.branches[made.branch_of["W7"]]
    assert trailer.wires["W7"].gauge == trailer.wires["W3"].gauge
    assert copper.heating_k_per_a2
    assert clad.heating_k_per_a2
    # ASTM B566: at least 62 % of the conductivity of copper, so 1 / 0.62 of its resistance
    ratio = clad.heating_k_per_a2 / copper.heating_k_per_a2
    bundles = [library.bundle_factor(trailer.wires[w].bundled).factor for w in ("W3", "W7")]
    assert ratio * (bundles[1] / bundles[0]) ** 2 == pytest.approx(1 / 0.62, rel=1e-3)


@pytest.mark.parametrize("name", ["D1", "LED"])
def test_a_part_the_wrong_way_round_is_no_structural_fault(
    relay_harness: Harness, name: str
) -> None:
    # Whether it harms is for the solved circuit to say.
    wires = {}
    for wire in relay_harness.wires.values():
        turned = wire
        for end in ("start", "end"):
            terminal = getattr(wire, end)
            if terminal.part == name:
                other = {"anode": "cathode", "cathode": "anode", "1": "2", "2": "1"}[terminal.name]
                turned = replace(turned, **{end: replace(terminal, name=other)})
        wires[wire.name] = turned
    assert wires != relay_harness.wires
    assert structural_faults(replace(relay_harness, wires=wires)) == ()


@pytest.mark.parametrize(
    ("wire", "fault"),
    [
        ("W10", ("open end", "Y1")),  # common of the pull and hold coil
        ("W8", ("open end", "Y1")),  # pull
        ("W12", ("open end", "K2")),  # coil of the contactor
        ("W5", ("no return", "VL")),  # low side of the valve
    ],
)
def test_a_wire_left_out_is_told(low_side: Harness, wire: str, fault: tuple[str, str]) -> None:
    wires = {name: w for name, w in low_side.wires.items() if name != wire}
    faults = structural_faults(replace(low_side, wires=wires))
    assert fault in {(found.kind, found.subject) for found in faults}


def test_feeding_everything_past_the_fuse_is_told(low_side: Harness) -> None:
    wires = dict(low_side.wires)
    plus = replace(wires["W15"].end, name="+")
    wires["W2"] = replace(wires["W2"], start=plus)
    faults = structural_faults(replace(low_side, wires=wires))
    unprotected = {f.subject for f in faults if f.kind == "unprotected feed"}
    assert unprotected == {"VL", "VB", "Y1", "K2"}
