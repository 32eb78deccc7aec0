"""Relays, indicators, diodes, converters and the rest: what the file says, in SI, in the records.

Values of library types are worked out here from what their source prints.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from circuitcheck import Harness, InputError, read_harness, read_library
from circuitcheck.model.connector import Connector
from circuitcheck.model.converter import Converter
from circuitcheck.model.diode import Diode
from circuitcheck.model.ground import Frame
from circuitcheck.model.harness import Part
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.resistor import Resistor
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.switch import SwitchHandle
from circuitcheck.model.tolerance_band import Band

GOOD = Path(__file__).parents[1] / "harnesses" / "good"
HEAD = """
format = 1
circuit = "A part by itself"
system = "{system}"
[zone.cab]
ambient = "20 degC"
[part.BAT]
kind = "battery"
type = "{battery}"
[part.CHASSIS]
kind = "frame"
bonds = [{{ to = "BAT.-", by = "bolts" }}]
[part.NEW]
"""


def read(name: str) -> Harness:
    return read_harness(GOOD / f"{name}.toml", read_library())


def part(kind: str, *lines: str, system: str = "12 V") -> Part:
    battery = "12 V flooded, 60 Ah" if system == "12 V" else "24 V flooded, 100 Ah"
    text = HEAD.format(system=system, battery=battery)
    text += "\n".join([f'kind = "{kind}"', *lines])
    return read_harness("part.toml", read_library(), text=text).parts["NEW"]


def refusal(kind: str, *lines: str, system: str = "12 V") -> str:
    with pytest.raises(InputError) as caught:
        part(kind, *lines, system=system)
    return "\n".join(str(problem) for problem in caught.value.problems)


def close(band: Band | None, lower: float, upper: float) -> bool:
    assert band is not None
    return (band.lower, band.upper) == pytest.approx((lower, upper), rel=1e-9)


def test_relay_of_a_trade_type() -> None:
    relay = read("relay_indicators_12v").of_kind(Relay)[0]
    # Data sheet of a mini relay: 85 ohm at 23 degC, +/- 10 %; 8.0 V pull-in, 1.5 V release.
    at_20c = 85.0 * 254.5 / 257.5
    assert close(relay.resistance_20c_ohm, 0.9 * at_20c, 1.1 * at_20c)
    assert (relay.pull_in_v, relay.drop_out_v, relay.coil_at_c) == (8.0, 1.5, 23.0)
    assert relay.terminals == ("85", "86", "30", "87", "87a")
    assert (relay.making_limit_a, relay.break_making_limit_a) == (120.0, 45.0)
    # The diode inside has its ring on 86, which must then be positive.
    assert (relay.suppression.kind, relay.suppression.cathode, relay.plus) == ("diode", "86", "86")
    carrying = [r for r in relay.ratings if r.load == "carrying" and r.ambient_c == 85.0]
    assert [r.current_a for r in carrying] == [35.0]
    breaking = {(r.load, r.voltage_v): r.current_a for r in relay.break_ratings}
    assert breaking["DC resistive", 12.0] == 20.0


def test_relay_of_given_values() -> None:
    relay = part(
        "relay",
        'resistance = "90 ohm"', 'contacts = "make"', 'pull_in = "7.2 V"', 'drop_out = "1.2 V"',
        'coil_at = "23 degC"', 'make_resistance = ["1 mohm", "5 mohm"]',
        'rating = { current = "25 A", voltage = "14 V", load = "DC resistive", '
        'ambient = "85 degC" }',
        'suppression = { kind = "resistor", resistance = "680 ohm" }', 'polarity = { plus = "85" }',
    )  # fmt: skip
    assert isinstance(relay, Relay)
    assert relay.resistance_20c_ohm == Band(81.0, 90.0, 99.0)
    assert (relay.contacts, relay.break_ohm, relay.break_ratings) == ("make", None, ())
    assert close(relay.make_ohm, 0.001, 0.005)
    assert relay.highest_v is None
    assert [(r.current_a, r.voltage_v, r.load, r.ambient_c) for r in relay.ratings] == [
        (25.0, 14.0, "DC resistive", 85.0)
    ]
    assert close(relay.suppression.resistance_ohm, 680.0, 680.0)
    assert relay.plus == "85"


def test_relay_of_unknown_type_spans_the_library_of_its_voltage() -> None:
    relay = part("relay", 'type = "unknown"')
    assert isinstance(relay, Relay)
    rows = [r for r in read_library().relays.values() if (r.kind, r.rated_v) == ("relay", 12.0)]
    for row in rows:
        assert relay.resistance_20c_ohm.lower <= row.resistance_20c_ohm.lower
        assert relay.resistance_20c_ohm.upper >= row.resistance_20c_ohm.upper
    assert (relay.contacts, relay.pull_in_v, relay.drop_out_v) == ("changeover", None, None)
    assert relay.suppression.kind == "unknown"


def test_contactor_with_its_body_as_return() -> None:
    contactor = read("pull_hold_low_side_12v").of_kind(Relay)[0]
    assert (contactor.kind, contactor.terminals) == ("contactor", ("A1", "1", "2"))
    assert contactor.body_frame == "CHASSIS"
    frame_bond = read_library().contact("frame bond").resistance_ohm
    assert contactor.body_ohm == frame_bond
    plain = part("contactor", 'type = "contactor 80 A, 12 V"')
    assert isinstance(plain, Relay)
    assert (plain.terminals, plain.body_frame) == (("A1", "A2", "1", "2"), None)
    assert "returns through its body" in refusal(
        "contactor", 'type = "starter-type contactor, body is return, 12 V"'
    )


def test_what_a_relay_must_say() -> None:
    said = refusal("relay")
    assert "resistance is missing" in said
    assert "contacts is missing" in said
    assert 'there is no frame "FRAME"' in refusal(
        "contactor", 'type = "contactor 80 A, 12 V"', 'body = { frame = "FRAME" }'
    )
    assert "BAT is a battery" in refusal(
        "solenoid coil", 'type = "medium valve coil, 12 V"', 'body = { frame = "BAT" }'
    )


def test_isolator_and_switch_of_a_trade_type() -> None:
    switches = {s.name: s for s in read("relay_indicators_12v").of_kind(SwitchHandle)}
    isolator, button = switches["ISO"], switches["BTN"]
    assert (isolator.kind, isolator.terminals, isolator.buttons) == (
        "isolator", ("1", "2"), ("ISO off",),
    )  # fmt: skip
    assert isolator.contacts[0].normally_closed
    assert isolator.contacts[0].action == "maintained"
    assert close(isolator.contact_ohm, 0.1e-3, 1.5e-3)
    assert [(r.load, r.current_a, r.voltage_v) for r in isolator.ratings] == [
        ("carrying", 100.0, float("inf"))
    ]
    # The file's rating stands instead of the type's; the rest is the type's.
    assert [(r.load, r.current_a) for r in button.ratings] == [("lamp", 2.0)]
    assert button.least_current_a == 0.1


def test_least_current_of_a_handle() -> None:
    handles = {s.name: s for s in read("pull_hold_low_side_12v").of_kind(SwitchHandle)}
    assert handles["LOW"].least_current_a == 0.1
    assert handles["STOP"].least_current_a is None


def test_lamp_by_type_power_and_current() -> None:
    by_type = read("relay_indicators_12v").of_kind(IndicatorLamp)[0]
    # 1.2 W at 13.5 V, 15 %
    assert by_type.rated_v == 13.5
    assert close(by_type.current_a, 0.85 * 1.2 / 13.5, 1.15 * 1.2 / 13.5)
    assert by_type.exponent == 0.55
    by_power = part("indicator lamp", 'power = { value = "5 W", tolerance = "10 %" }',
                    'rated = "13.5 V"', "cold_ratio = 12")  # fmt: skip
    assert isinstance(by_power, IndicatorLamp)
    assert close(by_power.current_a, 4.5 / 13.5, 5.5 / 13.5)
    assert by_power.cold_ratio == Band.exact(12.0)
    by_current = part("indicator lamp", 'current = ["90 mA", "110 mA"]')
    assert isinstance(by_current, IndicatorLamp)
    assert (by_current.rated_v, by_current.current_a) == (12.0, Band(0.09, 0.1, 0.11))
    assert "both power and current" in refusal(
        "indicator lamp", 'power = "5 W"', 'current = "0.4 A"'
    )
    assert "neither type nor power" in refusal("indicator lamp")


def test_unknown_lamp_is_any_of_the_library_at_any_voltage() -> None:
    unknown = part("indicator lamp", 'type = "unknown"')
    assert isinstance(unknown, IndicatorLamp)
    for row in read_library().lamps.values():
        if row.system_v == 12.0:
            # At its own rated voltage each lamp of the library lies inside the band.
            scale = (row.rated_v / unknown.rated_v) ** unknown.exponent
            assert unknown.current_a.lower * scale <= row.current_a.lower * (1 + 1e-12)
            assert unknown.current_a.upper * scale >= row.current_a.upper * (1 - 1e-12)


def test_led_by_type_and_by_values() -> None:
    by_type = read("relay_indicators_12v").of_kind(LedIndicator)[0]
    assert (by_type.forward_v.nominal, by_type.series_ohm.nominal) == (2.1, 1000.0)
    assert (by_type.plus, by_type.reverse_v) == ("1", 5.0)
    own = part("LED indicator", 'forward = ["1.8 V", "2.2 V"]', 'series = "2.2 kohm"')
    assert isinstance(own, LedIndicator)
    assert close(own.series_ohm, 1980.0, 2420.0)
    assert (own.plus, own.reverse_v) == (None, None)
    assert "no LED for 12 V" in refusal("LED indicator", 'forward = "12 V"', 'series = "100 ohm"')
    assert "neither type nor forward and series" in refusal("LED indicator", 'series = "1 kohm"')


def test_diode_and_resistor() -> None:
    harness = read("relay_indicators_12v")
    diode, resistor = harness.of_kind(Diode)[0], harness.of_kind(Resistor)[0]
    assert (diode.current_a, diode.reverse_v, diode.forward_v.upper) == (1.0, 400.0, 1.1)
    assert close(resistor.resistance_ohm, 950.0, 1050.0)
    assert resistor.power_w == 1.0
    unknown = part("diode", 'type = "unknown"')
    assert isinstance(unknown, Diode)
    assert unknown.current_a == min(r.current_a for r in read_library().diodes.values())
    assert unknown.reverse_v is None
    assert "neither type nor forward and current" in refusal("diode")
    assert "resistance is missing" in refusal("resistor")


def test_converter_by_type_and_by_values() -> None:
    own = read("trailer_converter_24v").of_kind(Converter)[0]
    assert close(own.output_v, 13.4 * 0.97, 13.4 * 1.03)
    assert (own.rated_a, own.input_v) == (5.0, (20.0, 32.0))
    by_type = part("converter", 'type = "24 V to 12 V, 10 A"', system="24 V")
    assert isinstance(by_type, Converter)
    assert (by_type.rated_a, by_type.idle_a) == (10.0, Band.exact(0.02))
    assert close(by_type.output_v, 13.0, 13.8)
    unknown = part("converter", 'type = "unknown"', system="24 V")
    assert isinstance(unknown, Converter)
    assert unknown.rated_a == 5.0  # the least of the library
    assert "steps up is not handled" in refusal("converter", 'type = "24 V to 12 V, 5 A"')
    assert "neither type nor output" in refusal("converter", 'output = "5 V"')


def test_pull_and_hold_coil() -> None:
    coil = read("pull_hold_low_side_12v").of_kind(PullHoldCoil)[0]
    # Manuals of engine stop solenoids: 32 A at 12 V pull, 15 to 16 ohm hold; here 5 % and 10 %.
    assert close(coil.pull_20c_ohm, 0.9 * 0.375, 1.1 * 0.375)
    assert close(coil.hold_20c_ohm, 0.95 * 15.5, 1.05 * 15.5)
    assert (coil.cut_out, coil.longest_pull_s, coil.hold_fraction) == ("outside timer", 1.2, 0.4)
    assert (coil.duty, coil.temperature_limit_c, coil.plus) == (1.0, 155.0, "hold")
    assert (coil.suppression.kind, coil.suppression.standoff_v) == ("bidirectional TVS", 24.0)
    by_type = part("pull and hold coil", 'type = "engine stop solenoid with internal switch, 12 V"')
    assert isinstance(by_type, PullHoldCoil)
    assert by_type.terminals == ("hold", "common")
    unknown = part("pull and hold coil", 'type = "engine stop solenoid, 12 V"',
                   'cut_out = "unknown"')  # fmt: skip
    assert isinstance(unknown, PullHoldCoil)
    assert not unknown.cuts_out
    assert "are they swapped?" in refusal(
        "pull and hold coil", 'pull_resistance = "15 ohm"', 'hold_resistance = "0.4 ohm"'
    )
    assert "pull_resistance is missing" in refusal("pull and hold coil")


def test_suppressors_without_polarity() -> None:
    coils = {c.name: c for c in read("pull_hold_low_side_12v").of_kind(SolenoidCoil)}
    tvs = coils["VL"].suppression
    assert (tvs.kind, tvs.cathode, tvs.standoff_v) == ("bidirectional TVS", None, None)
    assert "this is a diode + Zener" in refusal(
        "solenoid coil", 'type = "medium valve coil, 12 V"',
        'suppression = { kind = "bidirectional TVS", type = "diode + Zener 24 V, 12 V" }',
    )  # fmt: skip


@pytest.mark.parametrize(("more", "forward_a"), [("", 1.0), (', forward = "3 A"', 3.0)])
def test_the_diode_of_a_zener_pair_has_a_current_of_its_own(more: str, forward_a: float) -> None:
    pair = f'kind = "diode + Zener", cathode = "1", type = "diode + Zener 24 V, 12 V"{more}'
    coil = part("solenoid coil", 'resistance = "7 ohm"', f"suppression = {{ {pair} }}")
    assert isinstance(coil, SolenoidCoil)
    assert coil.suppression.forward_a == forward_a


def test_coil_lets_go_below_its_drop_out() -> None:
    by_type = part("solenoid coil", 'type = "medium valve coil, 12 V"')
    own = part("solenoid coil", 'resistance = "7 ohm"', 'drop_out = ["8 %", "30 %"]')
    bare = part("solenoid coil", 'resistance = "7 ohm"')
    assert isinstance(by_type, SolenoidCoil)
    assert isinstance(own, SolenoidCoil)
    assert isinstance(bare, SolenoidCoil)
    assert (
        by_type.drop_out_fraction
        == read_library().coil("medium valve coil, 12 V").drop_out_fraction
    )
    assert close(own.drop_out_fraction, 0.08, 0.3)
    limit = read_library().limit("coil_drop_out_fraction").value
    assert bare.drop_out_fraction == Band.exact(limit)


def test_trailer_socket_sets_cavities_and_contact() -> None:
    connectors = {c.name: c for c in read("trailer_converter_24v").of_kind(Connector)}
    socket, plain = connectors["X1"], connectors["X2"]
    assert (socket.socket, socket.cavities) == ("ISO 1185", 7)
    assert socket.contact is not None
    assert socket.contact.kind == "trailer contact"
    assert (plain.socket, plain.plating) == (None, ("tin", "gold"))
    by_family = part("connector", "cavities = 2", 'contact = "2.8 mm sealed"')
    assert isinstance(by_family, Connector)
    assert by_family.plating == ("tin", "tin")
    both = part("connector", "cavities = 2", 'contact = "2.8 mm sealed"', 'plating = "gold"')
    assert isinstance(both, Connector)
    assert both.plating == ("gold", "gold")


def test_sockets_that_cannot_be() -> None:
    assert "has 7 cavities" in refusal("connector", 'socket = "ISO 1724"', "cavities = 13")
    assert "this is a 24 V socket" in refusal("connector", 'socket = "ISO 1185"')
    said = refusal("connector")
    assert "cavities is missing" in said
    assert "contact is missing" in said


def test_bonds_by_what_joins_the_frames() -> None:
    frames = {f.name: f for f in read("trailer_converter_24v").of_kind(Frame)}
    coupling, strap = frames["TRAILER"].bonds
    [hinge] = frames["BODY"].bonds
    library = read_library()
    assert (coupling.by, strap.by, hinge.by) == ("coupling", "strap", "hinge")
    assert coupling.resistance_ohm == library.frame_bond("coupling").resistance_ohm
    assert hinge.resistance_ohm == library.frame_bond("hinge").resistance_ohm
    assert close(strap.resistance_ohm, 0.001, 0.005)


def test_wire_of_another_metal_has_its_resistance() -> None:
    wires = read("trailer_converter_24v").wires
    copper = wires["W3"].conductor.resistance_ohm_per_m
    tinned = wires["W6"].conductor.resistance_ohm_per_m
    clad = wires["W7"].conductor.resistance_ohm_per_m
    assert [wires[w].material for w in ("W3", "W6", "W7", "W10")] == [
        "copper", "tinned copper", "copper-clad aluminium", "copper-clad aluminium",
    ]  # fmt: skip
    assert close(tinned, copper.lower, copper.upper * 1.03)
    # ASTM B566, 10 % copper by volume: 63 % of the conductivity of copper
    assert clad.nominal == pytest.approx(copper.nominal / 0.63, rel=1e-3)
    assert wires["W10"].conductor == wires["W7"].conductor


@pytest.mark.parametrize("temperature_c", [-60.0, -40.0, 20.0, 105.0, 250.0])
def test_copper_clad_aluminium_holds_at_every_temperature(temperature_c: float) -> None:
    wires = read("trailer_converter_24v").wires
    copper = wires["W3"].conductor.resistance_ohm_per_m
    clad = wires["W7"].conductor.resistance_ohm_per_m
    # aluminium: R goes with 228 + T, copper with 234.5 + T (IEC 60364-5-54); 62 to 66.7 % IACS
    truly = (228.0 + temperature_c) / 248.0
    taken = (234.5 + temperature_c) / 254.5
    assert clad.lower * taken <= copper.lower / 0.667 * truly * (1 + 1e-3)
    assert clad.upper * taken >= copper.upper / 0.62 * truly * (1 - 1e-3)
    assert clad.upper < copper.upper / 0.62 * 1.02
