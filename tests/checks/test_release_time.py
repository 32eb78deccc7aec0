"""Release time against [use] longest_release: worked by hand on the bench, 12 V and 10 ohm."""

import math

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.release.release_time import CHECK

WIRES = ["PLUS SW.line", "SW.load V.1", "V.2 MINUS"]
AMPS = 12.0 / 10.0217  # coil, fuse 0.01, button 0.01, the machine's fuse 1.7 mohm
# 12 V on 10 ohm and 5 K/W in air of 20 degC: R^2 = 10 R + 10 * 5 * 144 / 254.5
RUNNING_OHM = 5.0 + math.sqrt(25.0 + 7200.0 / 254.5)
DROP_OUT_A = 0.1 * 12.0 / RUNNING_OHM
ZENER = '{ kind = "diode + Zener", cathode = "1", type = "diode + Zener 24 V, 12 V" }'
TVS = '{ kind = "bidirectional TVS", type = "bidirectional TVS 600 W, 12 V" }'


def use(longest):
    return f'longest_press = "20 s"\npresses_per_hour = 45\nlongest_release = "{longest}"'


def found_on(on_parts, longest="30 ms", coil=None, **base):
    parts = {"SW": "button", "V": ("coil", coil or {})}
    found = on_parts(CHECK, parts, WIRES, use=use(longest), **base)
    return found["V: longest time until the current lets the plunger go"]


def by_hand_s(clamp_v, series_ohm=0.0, henry=0.06):
    ohm = 10.0 + series_ohm
    return henry / ohm * math.log((AMPS * ohm + clamp_v) / (DROP_OUT_A * ohm + clamp_v))


@pytest.mark.parametrize(("longest", "result"), [("13.2 ms", PASS), ("13.1 ms", FAIL)])
def test_a_diode_holds_on(on_parts, longest, result):
    # a hot silicon diode just conducting: 0.6 V less 0.2 V
    found = found_on(on_parts, longest)
    assert found.value == pytest.approx(by_hand_s(0.4), rel=1e-4)
    assert found.value == pytest.approx(13.18e-3, rel=1e-3)
    assert found.result == result


def test_a_failure_names_what_is_quick_enough(on_parts):
    found = found_on(on_parts, "8 ms")
    assert found.result == FAIL
    assert "diode + Zener 24 V, 12 V" in found.reason
    assert "No usual suppressor" in found_on(on_parts, "0.01 ms").reason


@pytest.mark.parametrize(("suppression", "clamp_v"), [(ZENER, 22.8 + 0.4), (TVS, 26.7)])
def test_a_zener_pair_and_a_tvs_are_quicker(on_parts, suppression, clamp_v):
    found = found_on(on_parts, coil={"suppression": suppression, "polarity": None})
    assert found.value == pytest.approx(by_hand_s(clamp_v), rel=1e-4)
    assert found.value < by_hand_s(0.4) / 3.0


def test_a_resistor(on_parts):
    resistor = '{ kind = "resistor", resistance = { value = "68 ohm", tolerance = "0 %" } }'
    found = found_on(on_parts, coil={"suppression": resistor, "polarity": None})
    # The resistor takes its share of the feed's drop too: 68 ohm beside 10 ohm, under 0.05 %.
    assert found.value == pytest.approx(0.06 / 78.0 * math.log(AMPS / DROP_OUT_A), rel=2e-3)


def test_the_upper_end_of_the_inductance_counts(on_parts):
    found = found_on(on_parts, coil={"inductance": '["60 mH", "120 mH"]'})
    assert found.value == pytest.approx(by_hand_s(0.4, henry=0.12), rel=1e-4)


def test_nominal_passes_and_the_worst_case_fails(on_parts):
    found = found_on(on_parts, "20 ms", coil={"inductance": '["30 mH", "120 mH"]'})
    assert by_hand_s(0.4, henry=0.075) < 20e-3 < found.value
    assert found.result == FAIL


@pytest.mark.parametrize(
    ("coil", "words"),
    [
        ({"suppression": '"none"', "polarity": None}, "beyond this model"),
        ({"suppression": '"unknown"'}, "not known"),
    ],
)
def test_not_judged(on_parts, coil, words):
    found = found_on(on_parts, coil=coil)
    assert found.result == NOT_JUDGED
    assert words in found.reason


def test_without_a_longest_time_it_says_nothing(on_parts):
    assert on_parts(CHECK, {"SW": "button", "V": "coil"}, WIRES) == {}


def test_a_relay_of_unknown_inductance_takes_a_usual_time_constant(on_parts):
    wires = ["PLUS SW.line", "SW.load K.86", "K.85 MINUS", "PLUS K.30", "K.87 V.1", "V.2 MINUS"]
    diode = {"suppression": '{ kind = "diode", cathode = "86" }'}
    parts = {"SW": "button", "K": ("relay", diode), "V": "coil"}
    found = on_parts(CHECK, parts, wires, use=use("50 ms"))
    relay = found["K: longest time until the current lets the plunger go"]
    # L/R up to 12.5 ms; 12 V, 90 ohm, released below 1.2 V at 20 degC
    assert relay.value == pytest.approx(12.5e-3 * math.log(12.4 / 1.6), rel=2e-3)
    assert "inductance not known" in " ".join(relay.conditions)


RELAY_WIRES = ["PLUS SW.line", "SW.load K.86", "K.85 MINUS", "PLUS K.30", "K.87 V.1", "V.2 MINUS"]
SECONDS = "V: longest time until the current lets the plunger go"


def through_a_relay(on_parts, longest, relay=(), wires=RELAY_WIRES):
    diode = {"suppression": '{ kind = "diode", cathode = "86" }', **dict(relay)}
    parts = {"SW": "button", "K": ("relay", diode), "V": "coil"}
    return on_parts(CHECK, parts, wires, use=use(longest))[SECONDS]


@pytest.mark.parametrize(("longest", "result"), [("21 ms", FAIL), ("22 ms", PASS)])
def test_a_relay_lets_go_first(on_parts, longest, result):
    # the coil by itself takes 13.18 ms, less a hair for the relay's contact
    found = through_a_relay(on_parts, longest, {"release_time": '["4 ms", "8.5 ms"]'})
    assert found.value == pytest.approx(8.5e-3 + by_hand_s(0.4), rel=2e-3)
    assert found.result == result
    assert "K opens first, after up to 8.5 ms" in " ".join(found.conditions)


def test_a_relay_of_unknown_release_time_does_not_fail_and_does_not_pass(on_parts):
    # its own current takes 25.6 ms at usual L/R, longer than the 20 ms of usual relays
    found = through_a_relay(on_parts, "35 ms")
    relay_s = 12.5e-3 * math.log(12.4 / 1.6)
    assert found.value == pytest.approx(relay_s + by_hand_s(0.4), rel=3e-3)
    assert found.result == NOT_JUDGED
    assert "write its release_time" in found.reason
    assert through_a_relay(on_parts, "45 ms").result == PASS
    # by itself too slow: no relay is needed for that
    assert through_a_relay(on_parts, "10 ms").result == FAIL


def test_a_button_behind_the_relay_opens_at_once(on_parts):
    # the relay hangs on the key alone and never moves when the button is let go
    wires = ["PLUS K.86", "K.85 MINUS", "PLUS K.30", "K.87 SW.line", "SW.load V.1", "V.2 MINUS"]
    found = through_a_relay(on_parts, "15 ms", wires=wires)
    assert found.value == pytest.approx(by_hand_s(0.4), rel=3e-3)
    assert found.result == PASS


def test_a_relay_whose_suppressor_is_not_known_is_asked_for(on_parts):
    found = through_a_relay(on_parts, "50 ms", {"suppression": '"unknown"'})
    assert found.result == NOT_JUDGED
    assert "write the release_time of K" in found.reason
    # with nothing across it: the longest of usual relays, 20 ms
    bare = through_a_relay(on_parts, "50 ms", {"suppression": '"none"'})
    assert bare.value == pytest.approx(20e-3 + by_hand_s(0.4), rel=3e-3)


def test_one_relay_after_the_other(on_parts):
    wires = ["PLUS SW.line", "SW.load K.86", "K.85 MINUS", "PLUS K.30", "K.87 L.86", "L.85 MINUS",
             "PLUS L.30", "L.87 V.1", "V.2 MINUS"]  # fmt: skip
    parts = {
        "SW": "button", "V": "coil",
        "K": ("relay", {"suppression": '"none"', "release_time": '"6 ms"'}),
        "L": ("relay", {"suppression": '"none"', "release_time": '"9 ms"'}),
    }  # fmt: skip
    found = on_parts(CHECK, parts, wires, use=use("40 ms"))[SECONDS]
    assert found.value == pytest.approx(15e-3 + by_hand_s(0.4), rel=3e-3)
    assert "K, L" in str(found.working)
