"""Symbols: where they are joined, which way they point, and that they fill their boxes."""

from __future__ import annotations

import pytest

from circuitcheck.drawing.geometry import box_around
from circuitcheck.drawing.strokes import Symbol, turned
from circuitcheck.drawing.symbols import feeding, loads, switching

EVERY = {
    "battery": feeding.battery(),
    "fuse": feeding.fuse(),
    "resistor": loads.resistor(),
    "make contact": switching.make_contact(),
    "break contact": switching.break_contact(),
    "plug and receptacle": feeding.plug_and_receptacle(plug_on_left=True),
    "receptacle and plug": feeding.plug_and_receptacle(plug_on_left=False),
    "stud": feeding.stud(),
    "coil": switching.coil(),
    "diode": loads.diode(cathode_on_left=False),
    "Zener diode": loads.zener_diode(cathode_on_left=True),
    "unknown part": loads.unknown_part(),
    "isolator": switching.isolator_contact(),
    "changeover contact": switching.changeover_contact(-6.0, 5.0),
    "lamp": loads.lamp(),
    "suppressor": loads.bidirectional_suppressor(),
    "light either way": loads.light_either_way(),
    "converter": loads.converter(),
    "supply tap": feeding.supply_tap(),
    "joint": feeding.joint(),
    "open end": feeding.open_end(),
}


@pytest.mark.parametrize("name", EVERY)
def test_box_and_connections_are_those_of_the_strokes(name: str):
    symbol = EVERY[name]
    assert symbol.body == box_around([stroke.box for stroke in symbol.strokes])
    assert symbol.body.left == pytest.approx(symbol.left, abs=0.35)
    assert symbol.body.right == pytest.approx(symbol.right, abs=0.35)
    assert symbol.left < symbol.right


def bar_x(symbol: Symbol) -> float:
    """Place of the diode's bar: the one upright straight stroke."""
    bars = [s for s in symbol.strokes if s.box.width == 0.0]
    return bars[0].points[0][0]


@pytest.mark.parametrize("draw", [loads.diode, loads.zener_diode])
def test_the_bar_of_a_diode_is_its_cathode(draw):
    for on_left in (True, False):
        symbol = draw(cathode_on_left=on_left)
        triangle = next(s for s in symbol.strokes if s.closed)
        middle = sum(x for x, _ in triangle.points) / 3.0
        assert (bar_x(symbol) < middle) == on_left
        # The triangle points at the bar: its tip, the corner on the axis, lies nearest to it.
        tip = next(x for x, y in triangle.points if y == 0.0)
        assert abs(tip - bar_x(symbol)) < 0.1


def test_a_make_contact_stands_open_and_a_break_contact_closed():
    blade = switching.make_contact().strokes[1]
    fixed = switching.make_contact().strokes[2]
    assert blade.points[1][1] < -2.0
    assert blade.points[1][0] < fixed.points[0][0]
    blade, tick = switching.break_contact().strokes[1:3]
    assert blade.points[1][0] > tick.points[0][0]
    assert tick.box.top < blade.points[1][1] < tick.box.bottom


def test_a_battery_has_its_long_plate_on_the_plus_side():
    plates = [s for s in feeding.battery().strokes if s.box.width == 0.0]
    first, second = sorted(plates, key=lambda s: s.points[0][0])[:2]
    assert first.box.height > second.box.height
    assert first.width_mm < second.width_mm


def test_turning_keeps_the_first_connection_on_top():
    upright = turned(feeding.fuse())
    assert upright.body.height > upright.body.width
    assert (upright.left, upright.right) == (feeding.fuse().left, feeding.fuse().right)
    key = turned(switching.key_operator())
    assert key.body.right <= 0.0


def test_the_failing_sign_has_room_for_its_number():
    for digits in (1, 2, 3):
        sign = feeding.failing_sign(digits)
        # Half way up, a triangle is half as wide as its base: there the figures' tops are.
        assert sign.body.height > 2 * 2.5
        assert sign.body.width * (1.0 - 3.1 / sign.body.height) > 1.7 * digits


def test_an_isolator_at_rest_is_closed():
    blade, bar = switching.isolator_contact().strokes[1:3]
    assert blade.points[1][0] > bar.points[0][0]
    assert bar.box.top < blade.points[1][1] < bar.box.bottom


@pytest.mark.parametrize(("rest_y", "make_y"), [(-6.0, 5.0), (7.5, -6.25)])
def test_a_changeover_contact_lies_on_the_side_of_rest(rest_y: float, make_y: float):
    """The blade crosses the fixed contact of the rest row and stays clear of the other."""
    _, blade, rest, make = switching.changeover_contact(rest_y, make_y).strokes
    (x0, y0), (x1, y1) = blade.points
    (x, rest_end), (_, make_end) = rest.points[-1], make.points[-1]
    at_fixed = y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    assert x < x1
    assert (at_fixed - rest_end) * rest_y >= 0
    assert abs(at_fixed - make_end) > 2.5
    assert rest.points[0][1] == rest_y


def test_a_changeover_contact_needs_its_common_row_between():
    with pytest.raises(ValueError, match="not on either side"):
        switching.changeover_contact(5.0, 6.0)


def test_a_bidirectional_suppressor_looks_alike_from_both_sides():
    triangles = [s for s in loads.bidirectional_suppressor().strokes if s.closed]
    sides = {tuple(sorted((abs(x), abs(y)) for x, y in s.points)) for s in triangles}
    assert len(triangles) == 2
    assert len(sides) == 1


def test_light_leaves_an_led_on_the_side_away_from_the_conductor():
    for on_left in (True, False):
        symbol = loads.light_emitting_diode(cathode_on_left=on_left)
        heads = [s for s in symbol.strokes if s.closed and s.fill == "#1a1a1a"]
        assert len(heads) == 2
        assert all(s.box.bottom < -1.6 for s in heads)
