"""Relays settled position by position: from rest, after a press, undetermined, never at rest.

The circuits are those of every relay handbook: button and relay, self-holding with a break button,
two relays that lock each other out, a relay that opens its own feed (a buzzer).
"""

from __future__ import annotations

import pytest
from solve.part_harnesses import circuit_text
from solve.small_harnesses import library, solved_text

from circuitcheck import Solution, read_harness, solve_harness
from circuitcheck.circuit.positions import switch_positions
from circuitcheck.errors import CircuitError
from circuitcheck.solve.relays import relay_states
from circuitcheck.solve.relays.relay_certificate import at_temperature_v
from circuitcheck.solve.solution import COIL_STATES

COLD, SOAKED = COIL_STATES

BUTTON_AND_RELAY = (
    [("S", "splice"), ("B", "button"), ("K", "relay"), ("V", "valve")],
    [
        ("TAP", "F1.line"),
        ("F1.load", "S"),
        ("S", "B.line"),
        ("B.load", "K.86"),
        ("K.85", "CHASSIS"),
        ("S", "K.30"),
        ("K.87", "V.1"),
        ("V.2", "CHASSIS"),
    ],
)
SELF_HOLDING = (
    [
        ("S", "splice"),
        ("OFF", "break button"),
        ("A", "splice"),
        ("C", "splice"),
        ("ON", "button"),
        ("K", "relay"),
        ("V", "valve"),
    ],
    [
        ("TAP", "F1.line"),
        ("F1.load", "OFF.line"),
        ("OFF.load", "A"),
        ("A", "ON.line"),
        ("ON.load", "C"),
        ("C", "K.86"),
        ("K.85", "CHASSIS"),
        ("A", "K.30"),
        ("K.87", "C"),
        ("C", "V.1"),
        ("V.2", "CHASSIS"),
    ],
)
BUZZER = (
    [("S", "splice"), ("B", "button"), ("K", "relay")],
    [
        ("TAP", "F1.line"),
        ("F1.load", "B.line"),
        ("B.load", "K.30"),
        ("K.87a", "K.86"),
        ("K.85", "CHASSIS"),
    ],
)


def circuit(what: tuple[list, list], **changed: object) -> Solution:
    return solved_text(circuit_text(*what, **changed))


def energised(solution: Solution) -> dict[str, frozenset[str]]:
    return {p.position.name: p.position.energised_relays for p in solution.positions}


def test_a_button_works_a_relay_and_the_relay_a_valve() -> None:
    found = circuit(BUTTON_AND_RELAY)
    assert energised(found) == {
        "key off": frozenset(),
        "key off, B": frozenset(),
        "key on": frozenset(),
        "key on, B": {"K"},
        "cranking": frozenset(),
        "cranking, B": {"K"},
    }
    pressed = found.of("key on, B", COLD)
    # 12.4 V to 14.9 V less little over 8 ohm
    assert pressed.current_a("V").nominal == pytest.approx(13.4 / 8.08, rel=0.02)
    assert pressed.energised() == ("V",)
    assert set(pressed.carrying()) == {"K", "V"}
    assert pressed.current_a("K").nominal == pytest.approx(13.4 / 85, rel=0.01)
    released = found.of("key on", COLD)
    assert released.energised() == ()
    assert released.carrying() == ()
    assert found.came_from == {}


def test_while_cranking_a_weak_battery_leaves_a_relay_open() -> None:
    # 6.5 V to 11 V while cranking, 7.2 V to pull in: some machines do, some do not
    (open_one,) = circuit(BUTTON_AND_RELAY).undetermined_relays
    assert (open_one.relay, open_one.position, open_one.coil_state) == ("K", "cranking, B", COLD)
    assert open_one.across_v.lower < 7.2 < open_one.across_v.upper
    assert open_one.operate_v == pytest.approx(7.2, rel=1e-9)
    assert open_one.taken_energised
    assert "needs 7.2 V" in open_one.reason


def test_a_hot_coil_needs_more() -> None:
    # 234.5 + 90 over 234.5 + 20, by the temperature law of copper
    assert at_temperature_v(7.2, 20.0, 90.0) == pytest.approx(7.2 * 324.5 / 254.5, rel=1e-12)
    # heated on 14.9 V with 76.5 ohm and 40 K/W in 80 degC air: T = 80 + 40 * 14.9**2 / R and
    # R = 76.5 (234.5 + T) / 254.5 by turns settle at T = 155.7, R = 117.3
    low = {"off": '"11.0 V", "12.8 V"', "press": "400 s"}
    found = solved_text(circuit_text(*BUTTON_AND_RELAY, hot=80.0, **low))
    assert abs(80.0 + 40.0 * 14.9**2 / 117.3 - 155.7) < 0.05
    assert found.heat["K"].temperature_c.upper == pytest.approx(155.7, abs=0.5)
    open_ones = {u.position: u for u in found.undetermined_relays}
    assert set(open_ones) == {"key on, B", "cranking, B"}
    hot_one = open_ones["key on, B"]
    assert hot_one.coil_state == SOAKED
    assert hot_one.operate_v == pytest.approx(7.2 * (234.5 + 155.7) / 254.5, rel=2e-3)  # 11.04
    assert hot_one.across_v.lower < 11.0 < hot_one.operate_v
    # in 60 degC air it needs 10.6 V, and a battery of 11.9 V gives more
    cooler = solved_text(circuit_text(*BUTTON_AND_RELAY, hot=60.0, press="400 s"))
    assert {u.position for u in cooler.undetermined_relays} == {"cranking, B"}


def test_a_relay_that_holds_itself_is_hot_whatever_the_presses() -> None:
    pressed = circuit(BUTTON_AND_RELAY, hot=80.0).heat["K"]
    held = circuit(SELF_HOLDING, hot=80.0).heat["K"]
    assert held.basis == "held on without pause"
    assert held.temperature_c.upper == pytest.approx(155.7, abs=1.0)
    assert pressed.temperature_c.upper < 130.0
    assert "held" not in pressed.basis


def test_a_self_holding_relay_stands_otherwise_after_a_press() -> None:
    found = circuit(SELF_HOLDING)
    states = energised(found)
    assert states["key on"] == frozenset()
    assert states["key on, ON"] == {"K"}
    assert states["key on, K held in"] == {"K"}
    assert found.came_from["key on, K held in"] == "key on, ON"
    # the break button lets go, with the key off nothing holds
    assert states["key on, stop"] == frozenset()
    assert "key on, stop, K held in" not in states
    assert not any(name.startswith("key off") and "held" in name for name in states)
    assert found.of("key on", COLD).energised() == ()
    assert found.of("key on, K held in", COLD).energised() == ("V",)
    amps = found.of("key on, K held in", SOAKED).current_a("V")
    assert amps.lower > 0.0
    # pressed while held: the state that a press from rest gives too
    assert "key on, ON, K held in" not in states
    # cranking may be reached with the relay held
    assert states["cranking, K held in"] == {"K"}


def test_some_positions_alone_are_settled_from_rest() -> None:
    text = circuit_text(*SELF_HOLDING)
    harness = read_harness("harness.toml", library(), text=text)
    some = [p for p in switch_positions(harness) if p.name in ("key on", "key on, ON")]
    found = solve_harness(harness, library(), some)
    assert energised(found) == {"key on": frozenset(), "key on, ON": {"K"}}


def test_a_relay_that_opens_its_own_feed_never_comes_to_rest() -> None:
    found = circuit(BUZZER)
    open_ones = {u.position: u for u in found.undetermined_relays}
    assert set(open_ones) == {"key on, B", "cranking, B"}
    assert "never comes to rest" in open_ones["key on, B"].reason


def test_two_relays_lock_each_other_out() -> None:
    # each coil is fed through the other's break contact: whoever is pressed first stays
    parts = [("S", "splice"), ("B1", "button"), ("B2", "button"), ("K1", "relay"), ("K2", "relay")]
    wires = [
        ("TAP", "F1.line"),
        ("F1.load", "S"),
        ("S", "B1.line"),
        ("S", "B2.line"),
        ("B1.load", "K2.30"),
        ("K2.87a", "K1.86"),
        ("B2.load", "K1.30"),
        ("K1.87a", "K2.86"),
        ("K1.85", "CHASSIS"),
        ("K2.85", "CHASSIS"),
    ]
    found = circuit((parts, wires))
    states = energised(found)
    assert states["key on, B1"] == {"K1"}
    assert states["key on, B2"] == {"K2"}
    both = {name: e for name, e in states.items() if name.startswith("key on, B1 + B2")}
    assert {"K1"} in both.values()
    assert {"K2"} in both.values()
    assert set(found.came_from.values()) >= {"key on, B1", "key on, B2"}


def test_a_weak_coil_voltage_rests_with_certainty() -> None:
    # 1 kohm before the coil's 76.5 to 93.5 ohm leaves at most 14.9 * 93.5 / 1093.5 = 1.27 V
    parts = [*BUTTON_AND_RELAY[0], ("R", 'kind = "resistor"\nresistance = "RR"\npower = "1 W"')]
    wires = [w if w != ("B.load", "K.86") else ("B.load", "R.1") for w in BUTTON_AND_RELAY[1]]
    wires.append(("R.2", "K.86"))

    def with_ohms(ohms: str) -> Solution:
        return solved_text(circuit_text(parts, wires).replace("RR", ohms))

    open_ones = {u.position for u in with_ohms("1 kohm").undetermined_relays}
    assert open_ones == {"key on, B"}
    assert with_ohms("2 kohm").undetermined_relays == ()
    assert energised(with_ohms("1 kohm"))["key on, B"] == frozenset()


def test_unknown_voltages_are_undetermined_never_passed() -> None:
    text = circuit_text(*BUTTON_AND_RELAY).replace('pull_in = "7.2 V"', 'pull_in = "unknown"')
    found = solved_text(text)
    open_ones = {u.position: u for u in found.undetermined_relays}
    assert set(open_ones) == {"key on, B", "cranking, B"}
    assert open_ones["key on, B"].operate_v is None
    assert "pull-in voltage is not known" in open_ones["key on, B"].reason
    assert energised(found)["key on, B"] == {"K"}
    text = circuit_text(*BUTTON_AND_RELAY).replace('drop_out = "1.2 V"', 'drop_out = "unknown"')
    assert {u.position for u in solved_text(text).undetermined_relays} == {"cranking, B"}


def test_too_many_states_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(relay_states, "MOST_STATES", 5)
    with pytest.raises(CircuitError, match="more than 5 states"):
        solved_text.__wrapped__(circuit_text(*SELF_HOLDING))
