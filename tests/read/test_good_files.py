"""What the files of `harnesses/good` say, in SI, in the records of the model."""

from __future__ import annotations

from dataclasses import astuple
from pathlib import Path

import pytest

from circuitcheck import Harness, read_harness, read_library
from circuitcheck.model.connector import Connector
from circuitcheck.model.converter import Converter
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import Plunger, SolenoidCoil
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.switch import SwitchHandle
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.tolerance_band import Band

GOOD = Path(__file__).parents[1] / "harnesses" / "good"


def read(name: str) -> Harness:
    return read_harness(GOOD / f"{name}.toml", read_library())


def close(band: Band, lower: float, upper: float) -> bool:
    return (band.lower, band.upper) == pytest.approx((lower, upper), rel=1e-12)


def test_two_valves_top_and_conditions() -> None:
    harness = read("two_valves_12v")
    assert harness.circuit == "Boom section valves on an orchard sprayer"
    assert (harness.system_v, harness.revision, harness.author) == (12.0, "A", "workshop")
    assert "auxiliary socket" in harness.story
    assert harness.conditions.engine_off_v == (11.9, 12.8)
    assert harness.conditions.charging_v == (13.2, 14.9)
    assert harness.conditions.cranking_v == (6.5, 11.0)
    assert close(harness.zones["cab"].ambient_c, -10.0, 45.0)
    assert harness.zones["boom"].wet
    assert not harness.zones["cab"].wet
    assert harness.use.longest_press_s == 20.0
    assert harness.use.service_life_h == pytest.approx(5000.0)
    assert harness.use.duty() == pytest.approx(20 * 60 / 3600)


def test_two_valves_parts_and_wires() -> None:
    harness = read("two_valves_12v")
    assert list(harness.parts)[:4] == ["BAT", "CHASSIS", "GND", "TAP"]
    tap = harness.of_kind(SupplyTap)[0]
    assert tap.upstream.source == Terminal("BAT", "+")
    assert tap.upstream.fuse is not None
    assert tap.upstream.fuse.rating_a == 15.0
    assert tap.upstream.conductor is not None
    assert tap.upstream.conductor.name == "14 AWG"
    assert tap.upstream.length_m == Band.exact(1.8)
    assert (tap.upstream.key, tap.upstream.cranking) == ("on", "off")
    # With all its consumers off the tap carries nothing, so a single figure is the upper end.
    assert tap.upstream.present_load_a == Band(0.0, 1.0, 1.0)
    assert close(tap.upstream.key_contact_ohm, 0.001, 0.010)
    assert tap.upstream.key_contact_rated_a == 30.0
    assert tap.also_feeds == ("auxiliary socket",)
    grip = harness.of_kind(SwitchHandle)[0]
    assert grip.terminals == ("feed", "out_left", "out_right")
    assert grip.buttons == ("left", "right")
    assert grip.interlocks[0].kind == "mechanical"
    assert grip.ratings[0].current_a == 5.0
    assert grip.ratings[0].load == "DC inductive"
    assert close(grip.contact_ohm, 0.005, 0.030)
    assert harness.of_kind(Connector)[0].terminals[-1] == "receptacle.3"
    coil = harness.coils[0]
    assert close(coil.resistance_20c_ohm, 7.2 * 0.9, 7.2 * 1.1)
    assert (coil.pull_in_fraction, coil.highest_fraction) == (0.75, 1.3)
    assert coil.plus == "1"
    assert (coil.suppression.kind, coil.suppression.cathode) == ("diode", "1")
    assert (coil.suppression.reverse_v, coil.suppression.forward_a) == (400.0, 3.0)
    assert coil.moves.hazard == "spray"
    wire = harness.wires["W2"]
    assert wire.colour == ("RD", "WH")
    assert (wire.start, wire.end) == (Terminal("F1", "load"), Terminal("GRIP", "feed"))
    assert wire.insulation.temperature_c == 80.0


def test_two_valves_lines() -> None:
    text = (GOOD / "two_valves_12v.toml").read_text(encoding="utf-8").split("\n")
    line_of = read("two_valves_12v").line_of
    assert text[line_of["part GRIP"] - 1] == "[part.GRIP]"
    assert text[line_of["wire W7, length"] - 1] == 'length = "0.5 m"'
    assert text[line_of["zone boom, wet"] - 1] == "wet = true"


def test_bridge_return() -> None:
    harness = read("bridge_return")
    frames = {frame.name: frame for frame in harness.of_kind(Frame)}
    assert frames["BOOM"].bonds[0].to == "CHASSIS"
    assert close(frames["BOOM"].bonds[0].resistance_ohm, 0.001, 0.020)
    assert frames["CHASSIS"].bonds == ()
    studs = harness.of_kind(GroundStud)
    assert [stud.frame for stud in studs] == ["BOOM", "CHASSIS"]
    # ABYC E-11: no more than four conductors on one stud, where the file does not say.
    assert [stud.wires_allowed("") for stud in studs] == [4, 4]
    assert harness.of_kind(SwitchHandle)[0].interlocks[0].kind == "none"


def test_cable_24v() -> None:
    harness = read("cable_24v")
    assert harness.system_v == 24.0
    supply = read_library().supply(24.0, "charging").voltage_v
    assert harness.conditions.charging_v == (supply.lower, supply.upper)
    brown, black = harness.wires["C1-brown"], harness.wires["C1-black"]
    for core in (brown, black):
        assert core.cable == "C1"
        assert core.bundled == 2
        assert core.sheathed
        assert core.conductor.name == "1.5 mm2 (IEC 60228 class 5)"
        assert close(core.length_m, 9.0 * 0.95, 9.0 * 1.05)
        assert core.route == ("dash", "tail")
    assert (brown.end, black.end) == (Terminal("Y1", "1"), Terminal("Y2", "1"))
    assert harness.wires["C2-1"].colour == ("BU",)
    assert harness.wires["C2-2"].conductor.name == "1.5 mm2"
    assert harness.wires["W2"].colour == ("RD",)
    assert harness.wires["W2"].length_m == Band.exact(0.15)
    assert not harness.wires["W2"].sheathed
    switch = harness.of_kind(SwitchHandle)[0]
    assert (switch.kind, switch.terminals) == ("switch", ("line", "load"))
    assert (switch.contacts[0].button, switch.contacts[0].action) == ("SW1", "maintained")
    tap = harness.of_kind(SupplyTap)[0]
    assert close(tap.upstream.length_m, 5.0, 6.0)
    assert tap.upstream.key_contact_ohm == Band.exact(0.0)
    assert tap.upstream.zone == "dash"
    coil = harness.coils[0]
    row = read_library().coil("medium valve coil, 24 V")
    assert coil.resistance_20c_ohm == row.resistance_ohm
    assert coil.temperature_limit_c == row.temperature_class_c
    assert coil.duty == row.duty


def test_cable_24v_says_what_it_took() -> None:
    harness = read("cable_24v")
    said = {(a.subject, a.key): a for a in harness.assumptions}
    assert said["S1", "zone"].assumed == "dash, where its wires end"
    assert not said["S1", "zone"].stated_unknown
    assert ("Y1", "suppression.cathode") not in said or said["Y1", "suppression.cathode"].measure
    # One record for both cores of a cable, none for the crimps that every wire has.
    assert not any(a.key == "crimp_resistance" for a in harness.assumptions)


def test_the_same_file_reads_the_same_twice() -> None:
    assert read("bridge_return") == read("bridge_return")


def overridden(key: str, value: str, part: str, kind: str = "") -> Harness:
    text = (GOOD / "two_valves_12v.toml").read_text(encoding="utf-8")
    at = text.index(f"[{kind or 'part'}.{part}]")
    head, rest = text[:at], text[at:]
    lines = rest.split("\n\n", 1)
    kept = [line for line in lines[0].split("\n") if line.split("=")[0].strip() != key]
    body = "\n".join([*kept, f"{key} = {value}"])
    return read_harness("given.toml", read_library(), text=head + body + "\n\n" + lines[1])


def test_fields_of_a_row_can_be_overridden() -> None:
    fuse = overridden("breaking_capacity", '"2000 A"', "F1").parts["F1"]
    assert fuse.row.breaking_capacity_a == 2000.0  # type: ignore[union-attr]
    battery = overridden("internal_resistance", '["5 mohm", "20 mohm"]', "BAT").battery
    assert close(battery.internal_resistance_ohm, 0.005, 0.020)
    coil = next(
        c
        for c in overridden("thermal", '{ class = "F" }', "VL").of_kind(SolenoidCoil)
        if c.name == "VL"
    )
    # IEC 60085: class F is 155 degC.
    assert coil.temperature_limit_c == 155.0
    assert coil.thermal_resistance_k_per_w is not None


@pytest.mark.parametrize(
    ("gauge", "area", "row"),
    [
        ('"16 AWG"', '"SAE"', "16 AWG"),
        ('"16AWG"', '"AWG"', "16 AWG (AWG area)"),
        ('"1.50 mm2"', '"ISO 6722"', "1.5 mm2"),
        ('"4 mm²"', '"IEC 60228"', "4 mm2 (IEC 60228 class 5)"),
    ],
)
def test_gauge_and_area_choose_the_conductor(gauge: str, area: str, row: str) -> None:
    text = (GOOD / "two_valves_12v.toml").read_text(encoding="utf-8")
    text = text.replace('gauge = "16 AWG"', f"gauge = {gauge}\narea = {area}", 1)
    harness = read_harness("given.toml", read_library(), text=text)
    assert harness.wires["W1"].conductor.name == row


def test_electronic_fuse_upstream_is_kept_for_the_checks() -> None:
    text = (GOOD / "two_valves_12v.toml").read_text(encoding="utf-8")
    text = text.replace('fuse = "15 A blade"', 'fuse = "electronic fuse"')
    tap = read_harness("given.toml", read_library(), text=text).of_kind(SupplyTap)[0]
    assert tap.upstream.fuse is None
    assert tap.also_feeds == ("auxiliary socket", "electronic fuse")


def test_read_as_a_path_or_as_text_is_the_same() -> None:
    path = GOOD / "cable_24v.toml"
    text = path.read_text(encoding="utf-8")
    assert read_harness(path, read_library(), text=text) == read_harness(path, read_library())
    windows = "\ufeff" + text.replace("\n", "\r\n")
    assert read_harness(path, read_library(), text=windows) == read_harness(path, read_library())


def test_release_and_loss_of_a_coil() -> None:
    harness = read("pull_hold_low_side_12v")
    assert harness.use.longest_release_s == 0.3
    assert not harness.conditions.load_dump_clamped
    assert read("two_valves_12v").conditions.load_dump_clamped
    stop, gate = harness.parts["Y1"], harness.coils[0]
    assert isinstance(stop, PullHoldCoil)
    assert stop.moves.hazard_if_lost == "noise"
    assert gate.moves.hazard_if_lost is None
    assert read("two_valves_12v").use.longest_release_s is None


def test_what_switching_takes_its_time_from() -> None:
    coil = read("pull_hold_low_side_12v").of_kind(PullHoldCoil)[0]
    assert coil.pull_time_s is not None
    assert close(coil.pull_time_s, 0.5, 1.0)
    relay = read("relay_indicators_12v").of_kind(Relay)[0]
    assert relay.operate_s is not None
    assert close(relay.operate_s, 0.005, 0.010)
    assert relay.release_s == Band.exact(0.008)
    converter = read("trailer_converter_24v").of_kind(Converter)[0]
    assert converter.input_capacitance_f is not None
    assert close(converter.input_capacitance_f, 376e-6, 564e-6)
    with_plunger, without = read("bridge_return").coils[:2]
    assert with_plunger.plunger is not None
    expected = Plunger(0.0041, 0.02, 3.0, 5.0, 1.0, 0.0645, 0.1139)
    assert astuple(with_plunger.plunger) == pytest.approx(astuple(expected))
    assert without.plunger is None
