"""Dead shorts of the good harness added up by hand: E / (sum of R), weakest and strongest.

Resistances per metre, of contacts and of fuses are those of the library's rows, in milliohm. The
battery is stated here: 12 V to 12.6 V open, 5 to 20 milliohm inside, an alternator of 60 A.
Without the machine's other load the fault is the end of a plain chain.
"""

from __future__ import annotations

from functools import lru_cache

import pytest
from checks.harness_text import harness_text
from solve.small_harnesses import library

from circuitcheck import CircuitError, read_harness
from circuitcheck.solve.shorts.short_circuit import ShortCircuits

BATTERY = {
    "open_circuit": '["12 V", "12.6 V"]',
    "internal_resistance": '["5 mohm", "20 mohm"]',
    "charging_current": '"60 A"',
    "post_resistance": '["0.1 mohm", "1 mohm"]',
}
ALTERNATOR_A = 60.0
HOT = (234.5 + 125.0) / 254.5  # copper at the limit of XLPE 125, over 20 degC
COLD = (234.5 - 10.0) / 254.5
# per metre, new to aged: 8, 12 and 14 AWG of the SAE areas
AWG8, AWG12, AWG14 = (1.999, 2.528), (5.054, 6.28), (8.037, 9.879)
CRIMP, SPLICE, CLIP, RING, BOND = (0.05, 1.0), (0.05, 1.0), (0.3, 10.0), (0.05, 2.0), (0.1, 5.0)
POST, KEY, GRIP, PAIR = (0.1, 1.0), (1.0, 5.0), (2.0, 30.0), (0.7, 10.0)
FUSE15 = (4.8 * 0.85, 102.0 / 15.0 * 1.15)  # cold less 15 %, hot at rated current plus 15 %
FUSE5 = (17.85 * 0.85, 128.0 / 5.0 * 1.15)
INSIDE = (5.0, 20.0)


def wire(metres: float, per_m: tuple[float, float], *lands: tuple[float, float]):
    crimps = (CRIMP, CRIMP, *lands)
    return (
        metres * per_m[0] * COLD + sum(low for low, _ in crimps),
        metres * per_m[1] * HOT + sum(high for _, high in crimps),
    )


TO_FUSE = [INSIDE, FUSE15, CLIP, CLIP]
UPSTREAM = [*TO_FUSE, (1.8 * AWG12[0] * COLD + POST[0], 1.8 * AWG12[1] * HOT + POST[1])]
TO_TAP = [*UPSTREAM, KEY]
TO_F1_LINE = [*TO_TAP, wire(0.15, AWG14, SPLICE)]
TO_F1_LOAD = [*TO_F1_LINE, FUSE5, CLIP, CLIP]
TO_GRIP = [*TO_F1_LOAD, wire(0.8, AWG14)]
TO_X1 = [*TO_GRIP, GRIP, wire(3.0, AWG14)]
TO_VL = [*TO_X1, PAIR, wire(0.6, AWG14)]
FRAME = [wire(0.4, AWG8, RING, POST)]
VALVE_RETURN = [wire(0.2, AWG14, SPLICE), PAIR, wire(3.2, AWG14), BOND, *FRAME]
FROM_VL, FROM_VR = wire(0.5, AWG14, SPLICE), wire(0.8, AWG14, SPLICE)


def weakest_a(chain) -> float:
    return 12.0 / (sum(high for _, high in chain) / 1000.0)


def strongest_a(chain) -> float:
    return 12.6 / (sum(low for low, _ in chain) / 1000.0)


@lru_cache(maxsize=32)
def _shorts(text: str) -> ShortCircuits:
    return ShortCircuits(read_harness("harness.toml", library(), text=text), library())


def shorts(**changes: object) -> ShortCircuits:
    base = {"BAT": BATTERY, "upstream": {"present_load": '"0 A"'}}
    merged = {k: {**base.get(k, {}), **v} if k in base else v for k, v in changes.items()}
    return _shorts(harness_text(**{**base, **merged}))


@pytest.mark.parametrize(
    ("name", "far", "there", "back_strong", "back_weak", "fuses", "position"),
    [
        ("TAP/wire", "TAP", TO_TAP, FRAME, FRAME, ["TAP/fuse"], "key on"),
        ("W1", "F1.line", TO_F1_LINE, FRAME, FRAME, ["TAP/fuse"], "key on"),
        ("W2", "GRIP.feed", TO_GRIP, FRAME, FRAME, ["TAP/fuse", "F1"], "key on"),
        # in the zone of the valves a wire may touch a coil's return as well: the longer way back
        ("W3", "X1.plug.1", TO_X1, FRAME, [FROM_VR, *VALVE_RETURN], ["TAP/fuse", "F1"],
         "key on, left"),
        ("W5", "VL.1", TO_VL, FRAME, [FROM_VR, *VALVE_RETURN], ["TAP/fuse", "F1"],
         "key on, left"),
    ],
)  # fmt: skip
def test_short_at_the_far_end_by_hand(name, far, there, back_strong, back_weak, fuses, position):
    found = shorts().at_far_end(name)
    assert found is not None
    assert (found.far_terminal, found.position) == (far, position)
    # the fault itself is a microohm, and the coils behind it take next to nothing
    assert found.weakest_a == pytest.approx(weakest_a([*there, *back_weak]), rel=1e-4)
    strong = strongest_a([*there, *back_strong])
    assert found.strongest_a == pytest.approx(strong + ALTERNATOR_A, rel=1e-4)
    assert [fuse.branch for fuse in found.fuses] == fuses
    for fuse in found.fuses:
        assert fuse.weakest_a == pytest.approx(found.weakest_a, rel=1e-3)
        assert fuse.strongest_a == pytest.approx(found.strongest_a, rel=1e-3)


def test_two_wires_in_one_cavity_are_each_shorted_in_a_position_that_feeds_them() -> None:
    # A double crimp: the short behind each wire flows through that wire, by its own button.
    found = shorts(X1={"double_crimps": '["plug.1"]'}, W4={"to": '"X1.plug.1"'})
    for name, position in (("W3", "key on, left"), ("W4", "key on, right")):
        short = found.at_far_end(name)
        assert (short.far_terminal, short.position) == ("X1.plug.1", position)
        weakest = weakest_a([*TO_X1, FROM_VR, *VALVE_RETURN])
        assert short.weakest_a == pytest.approx(weakest, rel=1e-4)
        assert [fuse.branch for fuse in short.fuses] == ["TAP/fuse", "F1"]


def test_conditions_in_words() -> None:
    found = shorts().at_far_end("W2")
    assert found.conditions_weakest == (
        "battery discharged, cold and aged, 12.0 V open",
        "wires hot, up to 125 degC",
        "contacts aged",
    )
    assert found.conditions_strongest == (
        "battery full, warm and new, 12.6 V open",
        "wires cold, down to -10 degC",
        "contacts new",
        "alternator charging",
    )


def test_right_behind_a_fuse() -> None:
    found = shorts().at_fuse_load("F1")
    assert found.weakest_a == pytest.approx(weakest_a([*TO_F1_LOAD, *FRAME]), rel=1e-4)
    strong = strongest_a([*TO_F1_LOAD, *FRAME]) + ALTERNATOR_A
    assert found.strongest_a == pytest.approx(strong, rel=1e-4)
    assert (found.owner, found.row.rating_a) == ("F1", 5.0)
    machine = shorts().at_fuse_load("TAP")
    assert machine.weakest_a == pytest.approx(weakest_a([*TO_FUSE, *FRAME]), rel=1e-4)
    strong = strongest_a([*TO_FUSE, *FRAME]) + ALTERNATOR_A
    assert machine.strongest_a == pytest.approx(strong, rel=1e-4)
    assert (machine.branch, machine.row.rating_a) == ("TAP/fuse", 15.0)


def test_the_other_load_of_the_tap_takes_a_share_of_the_weakest_short() -> None:
    alone = shorts().at_far_end("W3")
    beside = shorts(upstream={"present_load": '"10 A"'}).at_far_end("W3")
    assert 0.9 * alone.weakest_a < beside.weakest_a < 0.999 * alone.weakest_a
    # at the strongest it is switched off
    assert beside.strongest_a == pytest.approx(alone.strongest_a, rel=1e-4)
    # and the machine's own fuse carries both
    assert beside.fuses[0].strongest_a > beside.fuses[1].strongest_a


def test_which_wires_are_on_the_feed_side() -> None:
    feed = ("TAP/wire", "W1", "W2", "W3", "W4", "W5", "W6")
    assert shorts().feed_wires() == feed
    for name in ("W7", "W8", "W9", "W10", "W11"):
        assert shorts().at_far_end(name) is None


def test_a_wire_ahead_of_every_fuse() -> None:
    found = shorts(W1={"from": '"BAT.+"'}).at_far_end("W1")
    assert found.fuses == ()
    # 7.2 milliohm in all: here the fault's own microohm shows
    chain = [INSIDE, wire(0.15, AWG14, POST), *FRAME, (0.001, 0.001)]
    assert found.strongest_a == pytest.approx(strongest_a(chain) + ALTERNATOR_A, rel=1e-6)
    assert found.position == "key off"


def test_written_backwards_the_far_end_is_the_same() -> None:
    right = shorts().at_far_end("W3")
    back = shorts(
        W3={"from": '"X1.plug.1"', "to": '"GRIP.out_left"', "route": '["boom", "cab"]'}
    ).at_far_end("W3")
    assert back.far_terminal == right.far_terminal == "X1.plug.1"
    assert (back.weakest_a, back.strongest_a) == pytest.approx((right.weakest_a, right.strongest_a))


def test_without_a_return_there_is_nothing_to_short_to() -> None:
    with pytest.raises(CircuitError, match="nothing leads back to battery minus"):
        shorts(without=("W11",)).at_far_end("W1")


def test_a_fuse_that_nothing_feeds() -> None:
    with pytest.raises(CircuitError, match=r"no switch position leads to F1\.load"):
        shorts(without=("W1",)).at_fuse_load("F1")


def test_an_unknown_machine_fuse_is_asked_for() -> None:
    unknown = shorts(upstream={"fuse": '"unknown"'})
    with pytest.raises(CircuitError, match="fuse upstream of TAP is not known"):
        unknown.at_fuse_load("TAP")
    assert [fuse.branch for fuse in unknown.at_far_end("W3").fuses] == ["F1"]


WIRED_RETURN = {
    "without": ("CHASSIS", "GND", "W11"),
    "W10": {"to": '"BAT.-"'},
}


def test_without_frames_it_touches_a_coils_return() -> None:
    found = shorts(**WIRED_RETURN).at_far_end("W2")
    back = [wire(0.2, AWG14, SPLICE), PAIR, wire(3.2, AWG14, POST)]
    assert found.target == "VR.2"
    assert found.weakest_a == pytest.approx(weakest_a([*TO_GRIP, FROM_VR, *back]), rel=1e-4)
    strong = strongest_a([*TO_GRIP, FROM_VL, *back]) + ALTERNATOR_A
    assert found.strongest_a == pytest.approx(strong, rel=1e-4)


def test_a_frame_that_nothing_joins_to_minus_is_no_target() -> None:
    loose = '[part.BOOM]\nkind = "frame"\nzone = "boom"\n'
    with_loose = shorts(more=loose).at_far_end("W3")
    assert with_loose == shorts().at_far_end("W3")


def test_a_coil_in_another_zone_is_out_of_reach() -> None:
    # in the cab, behind the grip, only the frame is near; at the boom a coil's return is
    assert shorts().at_far_end("W2").target == "CHASSIS"
    assert shorts().at_far_end("W3").target == "VR.2"
    far = '[zone.far]\nambient = ["-10 degC", "50 degC"]\n'
    moved = shorts(VR={"zone": '"far"'}, more=far).at_far_end("W3")
    assert moved.target == "VL.2"


def test_a_normally_closed_contact_is_found_at_rest() -> None:
    contacts = """[
      { button = "stop", action = "momentary", opens = ["feed", "out_left"] },
      { button = "right", action = "momentary", closes = ["feed", "out_right"] },
    ]"""
    found = shorts(GRIP={"contacts": contacts, "interlock": None}).at_far_end("W3")
    assert found.position == "key on"
