"""Relays, indicators, windings and the like: what their drawn symbols say of the circuit."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar, get_args

import pytest
from drawn_nets import points_at
from inside_symbols import inside, ports
from sample_circuits import (
    CIRCUITS,
    every_pull_and_hold,
    indicators_everywhere,
    isolators,
    joined,
    nothing_wired,
    reversing_relays,
    trailer,
)
from sample_harnesses import coil, fuse, harness, two_coils, wire
from sample_parts import relay

from circuitcheck.drawing.geometry import Figure
from circuitcheck.drawing.layout.layout import layout
from circuitcheck.drawing.layout.links import inner_paths
from circuitcheck.drawing.layout.page import Page
from circuitcheck.model.assumption import Assumption
from circuitcheck.model.harness import Part
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SUPPRESSION_KINDS, Suppression


@pytest.fixture(scope="module")
def pages() -> dict[str, Page]:
    return {name: layout(make()) for name, make in CIRCUITS.items()}


def texts(page: Page) -> list[str]:
    return [text.text for figure in page.figures for text in figure.letterings]


def figures(page: Page, owner: str) -> list[Figure]:
    return [figure for figure in page.figures if figure.owner == owner]


def relays() -> list[tuple[str, Relay]]:
    return [
        (name, part)
        for name, make in CIRCUITS.items()
        for part in make().parts.values()
        if isinstance(part, Relay)
    ]


def test_a_part_of_every_record_class_is_drawn_even_without_a_wire(pages: dict[str, Page]):
    given = nothing_wired()
    assert {type(part) for part in given.parts.values()} == set(get_args(Part))
    page = pages["nothing wired"]
    for name in given.parts:
        assert figures(page, name), name


@dataclass(frozen=True)
class Horn:
    """A record class that the drawing does not know."""

    kind: ClassVar[str] = "horn"
    name: str = "HN"
    zone: str = "cab"


def test_an_unknown_record_class_is_refused_not_left_out():
    with pytest.raises(TypeError, match="HN: no drawing is made for Horn"):
        layout(harness([fuse("F1"), Horn()], []))  # type: ignore[list-item]
    with pytest.raises(TypeError, match="no drawing is made for Horn"):
        list(inner_paths(Horn()))  # type: ignore[arg-type]


def test_a_wire_or_bond_to_nowhere_is_refused():
    with pytest.raises(ValueError, match=r"wire W1: nothing is drawn for F1\.middle"):
        layout(harness([fuse("F1"), coil("Y1")], [wire("W1", "F1.middle", "Y1.1")]))
    given = trailer()
    parts = [part for part in given.parts.values() if part.name != "T0"]
    with pytest.raises(ValueError, match="nothing is drawn for T0"):
        layout(harness(parts, []))


def test_an_unknown_kind_of_suppression_is_refused():
    with pytest.raises(ValueError, match="no symbol for suppression of kind 'magic'"):
        layout(harness([coil("Y1", suppression=Suppression("magic"))], []))


@pytest.mark.parametrize(("circuit", "given"), relays(), ids=lambda v: getattr(v, "name", v))
def test_inside_a_relay_at_rest(circuit: str, given: Relay, pages: dict[str, Page]):
    """The coil lies between its two terminals; the common terminal touches the break side only."""
    page = pages[circuit]
    within, places = inside(page, given.name), ports(page, given.name, given.terminals)
    assert set(places) == set(given.terminals)
    sets = {name: within.set_at(places[name]) for name in given.terminals}
    ends = [name for name in given.coil_terminals if name in given.terminals]
    for name in ends:
        assert within.coils_at(sets[name]) == {0}
    if given.body_frame is None:
        assert sets[ends[0]] != sets[ends[1]]
    for contact in given.contact_sides:
        common, other = contact.terminals
        assert (sets[common] == sets[other]) == (contact.side == "break")
        assert not {sets[common], sets[other]} & {sets[name] for name in ends}


def test_a_relays_link_leads_from_the_coil_to_the_blade(pages: dict[str, Page]):
    for circuit, given in relays():
        page = pages[circuit]
        within = inside(page, given.name)
        strokes = [s for f in figures(page, given.name) for s in f.strokes]
        link = next(s for s in strokes if s.dashed and not s.closed)
        box = within.coils[0].box.grown(0.05)
        assert box.left < link.points[0][0] < box.right
        assert box.top < link.points[0][1] < box.bottom
        pieces = [piece for joined_ones in within.sets for piece in joined_ones]
        blades = [(a, b) for a, b in pieces if a[0] != b[0] and a[1] != b[1]]
        assert len(blades) == 1
        (x0, y0), (x1, y1) = blades[0]
        x, y = link.points[-1]
        assert min(x0, x1) < x < max(x0, x1)
        assert y == pytest.approx(y0 + (y1 - y0) * (x - x0) / (x1 - x0), abs=0.3)


def test_suppression_inside_a_relay_points_at_the_terminal_it_is_on(pages: dict[str, Page]):
    """K1 of the indicators has its diode's cathode, the bar, on 86."""
    page = pages["indicators"]
    places = ports(page, "K1", ("85", "86"))
    strokes = [s for f in figures(page, "K1") for s in f.strokes]
    triangle = next(s for s in strokes if s.closed and len(s.points) == 3)
    middle = sum(y for _, y in triangle.points) / 3.0
    tip = max(triangle.points, key=lambda p: abs(p[1] - middle))[1]
    toward_86 = places["86"][1] - middle
    assert (tip - middle) * toward_86 > 0


@pytest.mark.parametrize("kind", SUPPRESSION_KINDS)
@pytest.mark.parametrize("cathode", ["85", "86", "unknown", None])
def test_every_suppression_leaves_the_coils_ends_apart(kind: str, cathode: str | None):
    part = relay("K1", suppression=Suppression(kind, cathode))
    page = layout(harness([part], []))
    within, places = inside(page, "K1"), ports(page, "K1", ("85", "86"))
    assert within.set_at(places["85"]) != within.set_at(places["86"])
    guessed = kind == "unknown" or (kind.startswith("diode") and cathode in ("unknown", None))
    assert ("?" in texts(page)) == guessed


def test_inside_a_pull_and_hold_coil(pages: dict[str, Page]):
    """Both windings end at common; the pull winding starts at its own terminal, or at hold."""
    page = pages["pull and hold"]
    for name, part in every_pull_and_hold().parts.items():
        if part.kind != "pull and hold coil":
            continue
        within, places = inside(page, name), ports(page, name, part.terminals)
        assert set(places) == set(part.terminals)
        assert len(within.coils) == 2
        sets = {terminal: within.set_at(places[terminal]) for terminal in part.terminals}
        assert len(set(sets.values())) == len(sets)
        assert within.coils_at(sets["common"]) == {0, 1}
        if part.cut_out == "internal switch":
            assert within.coils_at(sets["hold"]) == {0, 1}
        else:
            assert within.coils_at(sets["pull"]) == {0}
            assert within.coils_at(sets["hold"]) == {1}
        said = {text for text in texts(page) if "cut-out" in text or "timer" in text}
        assert {"cut-out inside", "pull: timer outside", "no cut-out", "cut-out: unknown"} == said


def test_terminals_by_number_and_polarity(pages: dict[str, Page]):
    assert {"30", "86+", "85−", "87", "87a"} <= set(ports_as_said(pages["indicators"], "K1"))
    assert {"A1", "1", "2"} <= set(ports_as_said(pages["pull and hold"], "K1"))
    assert {"hold−", "common+"} <= set(ports_as_said(pages["pull and hold"], "Y5"))
    assert {"1+", "2−"} <= set(ports_as_said(pages["indicators"], "H3"))
    assert {"in", "out", "minus"} <= set(ports_as_said(pages["trailer"], "U1"))


def ports_as_said(page: Page, owner: str) -> list[str]:
    return [text.text for figure in figures(page, owner) for text in figure.letterings]


@pytest.mark.parametrize(("name", "plus"), [("H2", "2"), ("H3", "1")])
def test_an_led_points_from_its_plus_terminal(name: str, plus: str):
    page = layout(isolators())
    x, _ = ports(page, name, ("1", "2"))[plus]
    diode = next(f for f in figures(page, name) if f.strokes)
    assert points_at(diode, x) == "anode"


def test_an_led_that_lights_either_way_has_two_diodes():
    page = layout(isolators())
    strokes = figures(page, "H1")[0].strokes
    assert len([s for s in strokes if s.closed and len(s.points) == 3 and s.fill == "#ffffff"]) == 2


def x_of(page: Page, owner: str) -> float:
    return max((f.body.left + f.body.right) / 2.0 for f in figures(page, owner))


def test_indicators_stand_where_they_are_wired(pages: dict[str, Page]):
    """Across the contact: between its two sides. Before or after it: with the loads."""
    page = pages["indicators"]
    assert x_of(page, "SP2") < x_of(page, "R1") < x_of(page, "H3") < x_of(page, "SP3")
    assert x_of(page, "SP2") < x_of(page, "K1") < x_of(page, "SP3")
    assert x_of(page, "H1") == pytest.approx(x_of(page, "H2"), abs=0.1)
    assert x_of(page, "H1") == pytest.approx(x_of(page, "Y1"), abs=0.1)


def test_a_relays_coil_and_contacts_share_one_outline(pages: dict[str, Page]):
    for circuit, given in relays():
        outlines = [o for o in pages[circuit].outlines if o.owner == given.name]
        assert len(outlines) == 1, given.name
        for figure in figures(pages[circuit], given.name):
            if figure.body.width > 2.0:
                assert figure.body.inside(outlines[0].box.grown(0.1))


def test_a_body_on_the_frame_names_the_frame(pages: dict[str, Page]):
    page = pages["pull and hold"]
    for name in ("K1", "Y6"):
        assert "CHASSIS" in ports_as_said(page, name)


def test_frame_bonds_say_what_they_are(pages: dict[str, Page]):
    said = [text for text in texts(pages["trailer"]) if "up to" in text and "Ω" in text]
    kinds = sorted(text.split(" · ")[0] for text in said)
    assert kinds == ["bolts", "bond", "coupling", "hinge", "strap", "strap"]
    assert all(text.endswith("up to 5 Ω") for text in said)


def test_the_cavities_of_a_socket_say_what_they_are_for(pages: dict[str, Page]):
    page = pages["trailer"]
    assert {"1 · left turn", "2 · rear fog lamp", "3 · return"} <= set(texts(page))
    titles = [t.text for o in page.outlines if o.owner == "X1" for t in o.letterings]
    assert titles == ["X1 · ISO 1724"]


def test_the_battery_of_the_machine_lies_within_its_outline(pages: dict[str, Page]):
    page = layout(two_coils())
    dashed = [outline.box for outline in page.outlines if outline.dashed]
    battery = figures(page, "BAT")[0]
    assert len(dashed) == 1
    assert battery.box.inside(dashed[0])
    # Without a tap nothing of the machine is described.
    assert not [o for o in pages["isolators"].outlines if o.dashed]


def test_a_wire_of_unknown_colour_has_no_sleeve():
    part = harness([fuse("F1"), coil("Y1")], joined("F1.load > Y1.1"))
    given = harness(list(part.parts.values()), [wire("W1", "F1.load", "Y1.1", colour=())])
    lane = figures(layout(given), "W1")[0]
    assert not lane.strokes
    assert "?" in " ".join(text.text for text in lane.letterings)


def test_relay_contacts_lie_in_the_path_of_their_load():
    """Through K3 of the relays the line goes in at 30 on the left and out at 87 on the right."""
    places = ports(layout(reversing_relays()), "K3", ("30", "87"))
    assert places["30"][0] < places["87"][0]
    assert places["30"][1] == places["87"][1]
    turned = ports(layout(reversing_relays()), "K1", ("30", "87"))
    assert turned["87"][0] < turned["30"][0]


def test_indicator_texts_give_their_ratings(pages: dict[str, Page]):
    said = set(texts(layout(indicators_everywhere())))
    assert {"12 V · 100 mA", "12 V LED · 470 Ω", "R1 · 1 kΩ"} <= said
    assert "13.4 V, up to 5 A" in [t.text for o in pages["trailer"].outlines for t in o.letterings]


def test_a_value_that_is_not_known_is_not_drawn():
    """A stand-in that the reading put in for `unknown` is no value to show."""
    given = nothing_wired()
    keys = {"K1": "resistance", "H1": "type", "D1": "type", "R1": "resistance", "U1": "type"}
    keys |= {"Y2": "type", "H2": "type"}
    assumed = tuple(Assumption(n, key, "", "", stated_unknown=True) for n, key in keys.items())
    page = layout(replace(given, assumptions=assumed))
    said = texts(page) + [t.text for o in page.outlines for t in o.letterings]
    assert {"K1 · ? Ω", "R1 · ? Ω", "resistances: unknown", "D1 · ? A"} <= set(said)
    assert {"rating: unknown", "12 V LED · ? Ω", "output: unknown"} <= set(said)
    assert not [text for text in said if "100 mA" in text or "470" in text or "13.4" in text]
