"""States of relays that tolerances decide, by plain voltage dividers."""

from circuitcheck.checks.contacts.relay_state import CHECK, STATE
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS

WIRES = ["PLUS SW.line", "SW.load K.86", "K.85 MINUS", "PLUS K.30", "K.87 VL.1", "VL.2 MINUS"]


def relay(on_parts, *, wires=WIRES, more=None, use="", **changes):
    parts = {"SW": "button", "K": ("relay", changes), "VL": "coil", **(more or {})}
    return on_parts(CHECK, parts, wires, use=use)[f"K: {STATE}"]


def test_every_state_is_certain(on_parts):
    found = relay(on_parts)
    assert (found.result, found.conditions) == (PASS, ())


def test_a_state_that_hangs_on_tolerances_fails(on_parts):
    # 60 ohm in the feed leave 12 * 90 / 150 = 7.2 V: 7.5 V with 54 ohm, 6.92 V with 66 ohm
    ohm = '{ value = "60 ohm", tolerance = "10 %" }'
    line = {"R": ("", {"kind": '"resistor"', "resistance": ohm, "power": '"5 W"'})}
    wires = ["PLUS SW.line", "SW.load R.1", "R.2 K.86", "K.85 MINUS", *WIRES[3:]]
    found = relay(on_parts, wires=wires, more=line)
    assert found.result == FAIL
    assert "6.92 V to 7.5 V on its coil" in found.reason
    assert any("key on, SW" in words for words in found.conditions)


def test_a_relay_that_takes_away_its_own_supply(on_parts):
    # its break contact feeds its coil: it buzzes
    wires = ["PLUS SW.line", "SW.load K.30", "K.87a K.86", "K.85 MINUS"]
    parts = {"SW": "button", "K": ("relay", {"contacts": '"break"', "make_resistance": None,
                                             "making_limit": None, "rating": None})}  # fmt: skip
    found = on_parts(CHECK, parts, wires)[f"K: {STATE}"]
    assert found.result == FAIL
    assert "never comes to rest" in found.reason


def test_what_is_not_known_is_not_judged(on_parts):
    for key in ("pull_in", "drop_out"):
        found = relay(on_parts, **{key: '"unknown"'})
        assert found.result == (NOT_JUDGED if key == "pull_in" else PASS)


def test_how_hot_its_use_makes_it(on_parts):
    # held on for good 10.1 V become 12.2 V, more than there are; pressed for 20 s it stays cool
    held = 'longest_press = "400 s"\npresses_per_hour = 9'
    pressed = 'longest_press = "20 s"\npresses_per_hour = 9'
    assert relay(on_parts, pull_in='"10.1 V"', use=held).result == FAIL
    assert relay(on_parts, pull_in='"10.1 V"', use=pressed).result == PASS


def test_an_unknown_heat_path_leaves_it_open(on_parts):
    # as hot as class F, 155 degC, 10 V become 15.3 V: that it gets so hot nobody knows
    found = relay(on_parts, pull_in='"10 V"', thermal='{ class = "F" }')
    assert found.result == NOT_JUDGED
    assert "heat of the relay is not known" in found.reason


def test_a_coil_that_hangs_on_nothing_rests_for_sure(on_parts):
    parts = {"A": "switch", "B": "switch", "K": "relay", "VL": "coil"}
    wires = [
        "PLUS A.line",
        "A.load K.86",
        "K.85 B.line",
        "B.load MINUS",
        "PLUS K.30",
        "K.87 VL.1",
        "VL.2 MINUS",
    ]
    assert on_parts(CHECK, parts, wires)[f"K: {STATE}"].result == PASS


def test_without_a_relay_there_is_nothing_to_say(on_parts):
    assert on_parts(CHECK, {"V": "coil"}, ["PLUS V.1", "V.2 MINUS"]) == {}
