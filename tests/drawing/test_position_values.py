"""One sheet per switch position: values, what is live, contacts as they stand."""

from __future__ import annotations

from pathlib import Path

import pytest

from circuitcheck import read_harness, read_library, solve_harness
from circuitcheck.drawing.geometry import LIVE_MM
from circuitcheck.drawing.layout.layout import layout
from circuitcheck.drawing.layout.page import Page
from circuitcheck.drawing.layout.phone import layout_phone
from circuitcheck.drawing.layout.sheets import layout_sheets
from circuitcheck.drawing.overlap_check import overlaps
from circuitcheck.drawing.painted import painted
from circuitcheck.drawing.position_values import PositionValues, values_of
from circuitcheck.drawing.symbols.live import HIGH_MM
from circuitcheck.model.harness import Harness

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/harness.toml"))
LIBRARY = read_library()
HARNESSES = {path.parent.name: read_harness(path, LIBRARY) for path in EXAMPLES}


def positions(given: Harness, *, worst: bool = False) -> dict[str, PositionValues]:
    found: dict[tuple[str, str], list] = {}
    for one in solve_harness(given, LIBRARY, gaps=False).positions:
        found.setdefault((one.position.name, one.pull_state), []).append(one)
    values = [values_of(given, states, worst=worst) for states in found.values()]
    return {one.name: one for one in values}


VALUES = {name: positions(given) for name, given in HARNESSES.items()}
CASES = [
    (name, key)
    for name, values in VALUES.items()
    for key in values
    if "cranking" not in key and (name != "slurry_tanker_long_run" or "+" in key)
]


def live_marks(page: Page) -> dict[str, int]:
    """How many filled signs (arrow or diamond) stand on the lanes of each wire."""
    counts: dict[str, int] = {}
    for figure in page.figures:
        for stroke in figure.strokes:
            points = stroke.points
            if stroke.fill and stroke.closed and len(points) in (3, 4):
                high = stroke.box.height
                if high == pytest.approx(HIGH_MM) and stroke.box.width < 4.0:
                    counts[figure.owner] = counts.get(figure.owner, 0) + 1
    return counts


@pytest.mark.parametrize(("name", "key"), CASES)
def test_live_wires_are_heavy_and_bear_a_sign(name: str, key: str):
    given, values = HARNESSES[name], VALUES[name][key]
    page = layout(given, values=values)
    assert overlaps(page) == []
    heavy = {line.owner for line in page.lines if line.kind == "wire" and line.live}
    live = {wire for wire, value in values.wires.items() if value.is_live}
    assert heavy == live
    marked = live_marks(page)
    assert {wire for wire in given.wires if marked.get(wire)} == live
    assert all(marked[wire] == 1 for wire in live)
    widths = {
        stroke.width_mm
        for item in painted(page).items
        if item.title.startswith("wire ") and ", live," in item.title
        for stroke in item.strokes
    }
    assert widths == ({LIVE_MM} if live else set())


@pytest.mark.parametrize("name", HARNESSES)
def test_values_fit_on_sheets_and_on_a_telephone(name: str):
    given = HARNESSES[name]
    for worst in (False, True):
        key = max(VALUES[name], key=len)
        values = positions(given, worst=worst)[key]
        for page in (*layout_sheets(given, values=values), layout_phone(given, values=values)):
            assert overlaps(page) == []


def test_volts_and_amperes_are_those_of_the_circuit():
    """Kirchhoff on the sheet: what comes through W3 and W4 went through W1; a wire's two voltages
    differ by its drop; a return starts at battery minus."""
    values = VALUES["orchard_sprayer"]["key on, left + right"].wires
    amps = {name: float(value.current.removesuffix(" A")) for name, value in values.items()}
    assert amps["W1"] == pytest.approx(amps["W3"] + amps["W4"], abs=0.011)
    assert values["W11"].end_v == "0.00 V" or values["W11"].start_v == "0.00 V"
    start, end = (float(v.removesuffix(" V")) for v in (values["W3"].start_v, values["W3"].end_v))
    assert 12.0 < end <= start < 13.5


def test_nominal_is_the_first_solution_and_worst_spans_all():
    given = HARNESSES["orchard_sprayer"]
    states = [
        one
        for one in solve_harness(given, LIBRARY, gaps=False).positions
        if one.position.name == "key on, left"
    ]
    nominal = values_of(given, states).wires["W3"]
    assert nominal.current == f"{states[0].current_a('W3').nominal:.2f} A"
    span = values_of(given, states, worst=True).wires["W3"].current.removesuffix(" A")
    low, high = (float(number) for number in span.split("–"))
    ranges = [state.current_a("W3") for state in states]
    assert low == pytest.approx(min(r.lower for r in ranges), abs=0.005)
    assert high == pytest.approx(max(r.upper for r in ranges), abs=0.005)


def test_values_of_two_positions_are_refused():
    solved = solve_harness(HARNESSES["orchard_sprayer"], LIBRARY, gaps=False).positions
    with pytest.raises(ValueError, match="one switch position"):
        values_of(HARNESSES["orchard_sprayer"], solved)


def blades(page: Page, owner: str) -> int:
    """How many straight pieces of a part slant: a blade that stands open does."""
    return sum(
        abs(x1 - x0) > 2.0 and abs(y1 - y0) > 1.0
        for figure in page.figures
        if figure.owner == owner
        for stroke in figure.strokes
        if not stroke.closed
        for (x0, y0), (x1, y1) in zip(stroke.points, stroke.points[1:], strict=False)
    )


def test_contacts_are_drawn_as_they_stand():
    given, values = HARNESSES["orchard_sprayer"], VALUES["orchard_sprayer"]
    assert blades(layout(given), "GRIP") == 2
    assert blades(layout(given, values=values["key on, left"]), "GRIP") == 1
    assert blades(layout(given, values=values["key on, left + right"]), "GRIP") == 0
    assert blades(layout(given, values=values["key off"]), "TAP") == 1
    assert blades(layout(given, values=values["key on"]), "TAP") == 0


def test_a_relay_that_has_moved_lies_on_the_contact_that_makes():
    given, values = HARNESSES["salt_spreader_relay_lamp"], VALUES["salt_spreader_relay_lamp"]
    rest = layout(given, values=values["key on"])
    moved = layout(given, values=values["key on, SW1"])

    def blade_end(page: Page) -> float:
        return next(
            stroke.points[1][1] - stroke.points[0][1]
            for figure in page.figures
            if figure.owner == "K1"
            for stroke in figure.strokes
            if len(stroke.points) == 2
            and stroke.points[0][0] != stroke.points[1][0]
            and abs(stroke.points[0][1] - stroke.points[1][1]) == pytest.approx(2.0)
        )

    assert blade_end(rest) == pytest.approx(-2.0)
    assert blade_end(moved) == pytest.approx(2.0)


def test_a_dead_wire_stays_thin_up_to_the_joint_with_a_live_one():
    """SW1 alone: W9 brings the current of YG to SP2, W10 of the dead YA comes from above."""
    page = layout(
        HARNESSES["slurry_tanker_long_run"],
        values=VALUES["slurry_tanker_long_run"]["key on, SW1"],
    )
    (dead,) = [line for line in page.lines if line.owner == "W10"]
    touching = [line for line in page.lines if line is not dead and {*line.points} & {*dead.points}]
    assert touching
    assert not any(line.live for line in touching)
    assert any(line.live and line.owner == "SP2" for line in page.lines)


@pytest.mark.parametrize(("key", "heavy"), [("key off", 2), ("key on", 6)])
def test_what_feeds_the_tap_is_heavy_as_far_as_it_is_live(key: str, heavy: int):
    """Battery to fuse, fuse to contact; then contact to tap in three pieces, and to the load."""
    name = "slurry_tanker_long_run"
    page = layout(HARNESSES[name], values=VALUES[name][key])
    (upstream,) = [f for f in page.figures if f.owner == "TAP" and "upstream" in f.title]
    assert sum(stroke.width_mm == LIVE_MM for stroke in upstream.strokes) == heavy
    plain = layout(HARNESSES[name])
    assert not any(line.live for line in plain.lines)
    assert not any(s.width_mm == LIVE_MM for f in plain.figures for s in f.strokes)
