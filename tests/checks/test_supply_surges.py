"""Jump start, load dump and reversed battery, by hand on the bench: 12 V, 10 ohm, 5 K/W, 1200 s."""

import math

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.release import suppression_rating
from circuitcheck.checks.supply import jump_start, load_dump, reverse_battery

WIRES = ["PLUS SW.line", "SW.load V.1", "V.2 MINUS"]
JUMP, DUMP, REVERSED = jump_start.CHECK, load_dump.CHECK, reverse_battery.CHECK
ON_24_V = {"on_24_v": "yes"}
TVS = '{ kind = "bidirectional TVS", type = "bidirectional TVS 600 W, 12 V" }'


def thermal(limit):
    return f'{{ resistance = "5 K/W", time_constant = "1200 s", limit = "{limit} degC" }}'


def found_on(on_parts, check, more=None, wires=WIRES, base=None, **coil):
    parts = {"SW": "button", "V": ("coil", coil), **(more or {})}
    return on_parts(check, parts, wires, **(base or {}))


def test_a_coil_through_a_jump_start(on_parts):
    found = found_on(on_parts, JUMP)["V: winding after 60 s of jump start"]
    start_c = found.working.terms[0].value
    # 26 V for 60 s: V^2/R R_th of the warm winding, less what it stands above its air
    ohm = 10.0 * (234.5 + start_c) / 254.5
    rise = (26.0**2 / ohm * 5.0 - (start_c - 20.0)) * (1.0 - math.exp(-60.0 / 1200.0))
    assert found.value == pytest.approx(start_c + rise)
    assert 30.0 < start_c < found.value < 60.0
    for limit, result in ((found.value + 0.1, PASS), (found.value - 0.1, FAIL)):
        again = found_on(on_parts, JUMP, thermal=thermal(f"{limit:.4f}"))
        assert again["V: winding after 60 s of jump start"].result == result


def test_a_coil_too_hot_without_any_event_is_told_elsewhere(on_parts):
    assert "V" not in str(found_on(on_parts, DUMP, thermal=thermal("40"), base={"use": ""}))


def test_heat_that_is_not_known(on_parts):
    found = found_on(on_parts, JUMP, thermal='{ resistance = "5 K/W", time_constant = "1200 s" }')
    assert found["V: winding after 60 s of jump start"].result == NOT_JUDGED


def test_no_jump_start_on_24_v(on_parts):
    coil = {"rated": '"24 V"', "resistance": '{ at_20degC = "40 ohm", tolerance = "0 %" }'}
    assert found_on(on_parts, JUMP, base=ON_24_V, **coil) == {}
    found = found_on(on_parts, DUMP, base=ON_24_V, **coil)["V: winding after 0.4 s of load dump"]
    assert found.result == PASS


@pytest.mark.parametrize(("ohm", "jump", "dump"), [(600, PASS, PASS), (500, PASS, FAIL),
                                                   (400, FAIL, FAIL)])  # fmt: skip
def test_an_led(on_parts, ohm, jump, dump):
    # (26 - 2) V over 60 mA is 400 ohm, (35 - 2) V 550 ohm
    led = ("", {
        "kind": '"LED indicator"', "forward": '{ value = "2 V", tolerance = "0 %" }',
        "series": f'{{ value = "{ohm - 0.5 if ohm == 400 else ohm} ohm", tolerance = "0 %" }}',
        "polarity": '{ plus = "1" }',
    })  # fmt: skip
    wires = [*WIRES, "PLUS H.1", "H.2 MINUS"]
    assert found_on(on_parts, JUMP, {"H": led}, wires)[
        "H: current of the LED in a jump start"].result == jump  # fmt: skip
    assert found_on(on_parts, DUMP, {"H": led}, wires)[
        "H: current of the LED in a load dump"].result == dump  # fmt: skip


def test_a_lamp_loses_life(on_parts):
    lamp = ("", {"kind": '"indicator lamp"', "type": '"12 V, 5 W"'})
    wires = [*WIRES, "PLUS H.1", "H.2 MINUS"]
    found = found_on(on_parts, JUMP, {"H": lamp}, wires)["H: life that a jump start costs the lamp"]
    assert found.value == pytest.approx((26.0 / 13.5) ** 12 / 60.0)
    assert found.limit == 100.0


def test_a_relay_by_the_figure_of_data_sheets(on_parts):
    wires = ["PLUS SW.line", "SW.load K.86", "K.85 MINUS", "PLUS K.30", "K.87 V.1", "V.2 MINUS"]
    relay = ("relay", {"suppression": '{ kind = "resistor", resistance = "680 ohm" }'})
    found = found_on(on_parts, JUMP, {"K": relay}, wires)["K: relay coil in a jump start"]
    assert (found.value, found.limit, found.result) == (26.0, 27.0, PASS)


@pytest.mark.parametrize(("power", "result"), [("6.8 W", PASS), ("6.7 W", FAIL)])
def test_a_resistor_on_26_v(on_parts, power, result):
    resistor = f'{{ kind = "resistor", resistance = "100 ohm", power = "{power}" }}'
    found = found_on(on_parts, JUMP, suppression=resistor, polarity=None)
    assert found["V: power of the resistor in a jump start"].value == pytest.approx(6.76)
    assert found["V: power of the resistor in a jump start"].result == result


def test_a_tvs_of_24_v_stands_a_jump_start_and_not_a_load_dump(on_parts):
    bare = {"suppression": TVS, "polarity": None}
    jump = found_on(on_parts, JUMP, **bare)["V: voltage of the bidirectional TVS in a jump start"]
    assert (jump.limit, jump.result) == (26.7, PASS)
    dump = found_on(on_parts, DUMP, **bare)["V: energy of a load dump in the bidirectional TVS"]
    # 35 V behind 0.5 ohm into 26.7 V and (38.9 - 29.5) / 15.5 ohm, for 0.4 s
    ohm = 9.4 / 15.5
    amps = 8.3 / (0.5 + ohm)
    assert dump.value == pytest.approx((26.7 + ohm * amps) * amps * 0.4)
    assert (dump.limit, dump.result) == (pytest.approx(0.6), FAIL)
    high = '{ kind = "bidirectional TVS", standoff = "36 V", clamp = "60 V", power = "600 W" }'
    found = found_on(on_parts, DUMP, suppression=high, polarity=None)
    assert found["V: voltage of a load dump at the bidirectional TVS"].result == PASS


def test_a_converter_asks_for_its_figure(on_parts):
    wires = [*WIRES, "PLUS C.in", "C.minus MINUS", "C.out Y.1", "Y.2 MINUS"]
    more = {"C": "converter", "Y": "coil"}
    coil = {"rated": '"24 V"', "resistance": '{ at_20degC = "40 ohm", tolerance = "0 %" }'}
    joint = {"C.minus MINUS"}
    assert joint <= set(wires)
    found = found_on(on_parts, DUMP, more, wires, ON_24_V, **coil)
    assert found["C: input of the converter in a load dump"].result == NOT_JUDGED
    assert not [key for key in found if key.startswith("Y:")]  # it lives on 12 V
    turned = found_on(on_parts, REVERSED, more, wires, ON_24_V, **coil)
    assert turned["C: input of the converter on a reversed battery"].result == NOT_JUDGED
    wide = {**more, "C": ("converter", {"input": '["20 V", "60 V"]'})}
    found = found_on(on_parts, DUMP, wide, wires, ON_24_V, **coil)
    assert found["C: input of the converter in a load dump"].result == PASS


def test_a_bare_diode_is_a_short_that_the_fuse_clears(on_parts):
    found = found_on(on_parts, REVERSED)
    (short,) = [f for key, f in found.items() if key.startswith("V: time until")]
    assert short.result == PASS
    assert short.value < 60.0
    # the diode does not outlast the fuse: a pass, but not in silence
    assert "renew diode and fuse" in short.caution
    # 12 V empty, 1.1 V diode; fuse 10 mohm, button 10 mohm, the machine's fuse, an aged battery
    weakest = short.working.steps[-1]
    terms = {term.symbol: term.value for term in weakest.terms}
    assert terms["V_e"] - terms["V_f"] == pytest.approx(10.9)
    assert weakest.result.value == pytest.approx(10.9 / (terms["R_b"] + terms["R_w"]))


def test_a_fuse_that_may_never_open(on_parts):
    # 10.9 V over 0.8 ohm and more: under 13.5 A, where a 10 A fuse must open
    weak = ("button", {"contact_resistance": '"0.8 ohm"'})
    found = found_on(on_parts, REVERSED, {"SW": weak})
    (short,) = [f for key, f in found.items() if key.startswith("V: weakest current")]
    assert short.result == FAIL
    assert short.value == pytest.approx(10.9 / (0.8 + 0.03), rel=0.05)
    assert short.limit == pytest.approx(13.5, rel=0.1)  # colder than 25 degC it carries more


def test_a_zener_pair_blocks(on_parts):
    pair = '{ kind = "diode + Zener", cathode = "1", type = "diode + Zener 24 V, 12 V" }'
    found = found_on(on_parts, REVERSED, suppression=pair)
    (key,) = found
    assert found[key].result == PASS
    assert found[key].value == 14.0


@pytest.mark.parametrize(("volts", "result"), [("15 V", PASS), ("13 V", FAIL)])
def test_an_led_reversed(on_parts, volts, result):
    led = ("", {
        "kind": '"LED indicator"', "type": '"12 V, red"', "reverse": f'"{volts}"',
        "polarity": '{ plus = "1" }',
    })  # fmt: skip
    wires = [*WIRES, "PLUS H.1", "H.2 MINUS"]
    found = found_on(on_parts, REVERSED, {"H": led}, wires)
    assert found["H: reverse voltage of the LED on a reversed battery"].result == result


def test_no_suppressor_nothing_reversed(on_parts):
    assert found_on(on_parts, REVERSED, suppression='"none"', polarity=None) == {}


def test_an_alternator_that_does_not_clamp(on_parts):
    # ISO 16750-2, test A: 101 V on 12 V; the file says so under [conditions]
    base = {"charging": '["12 V", "12 V"]\nload_dump = "not clamped"'}
    key = "V: winding after 0.4 s of load dump without clamp"
    found = found_on(on_parts, DUMP, base=base)[key]
    assert found.value - found.working.terms[0].value == pytest.approx(
        (101.0 / 35.0) ** 2 * 0.4 * 35.0**2 / 240.0 / 10.5, rel=0.1
    )
    parts = {"SW": "button", "V": ("coil", {})}
    parts["V"] = ("coil", {"suppression": '{ kind = "diode", cathode = "1", reverse = "100 V", '
                           'forward = "3 A" }'})  # fmt: skip
    rated = on_parts(suppression_rating.CHECK, parts, WIRES, **base)
    assert rated["V: reverse voltage of the diode"].value == 101.0
    assert rated["V: reverse voltage of the diode"].result == FAIL
