"""Coils that one short to the frame works: switched in the return, or not."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.movement.single_short import CHECK

LOW = ["PLUS V.1", "V.2 SW.line", "SW.load MINUS"]
HIGH = ["PLUS SW.line", "SW.load V.1", "V.2 MINUS"]


def moves(hazard):
    return {"moves": f'{{ valve = "v", port = "A", movement = "opens", hazard = "{hazard}" }}'}


def shorted(on_parts, wires, hazard):
    found = on_parts(CHECK, {"SW": "button", "V": ("coil", moves(hazard))}, wires)
    return list(found.values())


@pytest.mark.parametrize(
    ("hazard", "result"),
    [("none", PASS), ("spray", PASS), ("noise", PASS), ("machine part moves", FAIL),
     ("load can fall", FAIL), ("unknown", NOT_JUDGED)],
)  # fmt: skip
def test_a_coil_switched_in_its_return(on_parts, hazard, result):
    (found,) = shorted(on_parts, LOW, hazard)
    assert (found.subject, found.result, found.position) == ("V", result, "key on")
    assert found.quantity == "a short of W2 to the frame works it"
    assert "switch sits in the return" in found.reason
    assert found.conditions == (f"hazard: V: {hazard}",)


def test_a_coil_switched_in_its_feed(on_parts):
    # a short to the frame meets the open button, or blows the fuse
    assert shorted(on_parts, HIGH, "load can fall") == []


def test_switched_on_both_sides_takes_two_faults(on_parts):
    parts = {"A": "button", "B": "button", "V": ("coil", moves("load can fall"))}
    wires = ["PLUS A.line", "A.load V.1", "V.2 B.line", "B.load MINUS"]
    found = on_parts(CHECK, parts, wires)
    # with one of them held, the other is all that keeps it off
    assert [f.position for f in found.values()] == ["key on, A"]


def test_a_dead_feed_works_nothing(on_parts):
    parts = {"M": "switch", "SW": "button", "V": ("coil", moves("load can fall"))}
    wires = ["PLUS M.line", "M.load V.1", "V.2 SW.line", "SW.load MINUS"]
    (found,) = on_parts(CHECK, parts, wires).values()
    assert found.position == "key on, M"


def test_a_relay_has_the_hazard_of_what_it_feeds(on_parts):
    parts = {"SW": "button", "K": "relay", "V": ("coil", moves("load can fall"))}
    wires = ["PLUS K.86", "K.85 SW.line", "SW.load MINUS", "PLUS K.30", "K.87 V.1", "V.2 MINUS"]
    (found,) = on_parts(CHECK, parts, wires).values()
    assert (found.subject, found.result) == ("K", FAIL)
    assert found.conditions == ("hazard: V: load can fall",)


def test_an_isolator_turned_off_is_no_switch(on_parts):
    isolator = ("", {"kind": '"isolator"', "type": '"battery isolator 100 A"'})
    parts = {"I": isolator, "SW": "button", "V": ("coil", moves("load can fall"))}
    wires = ["PLUS SW.line", "SW.load V.1", "V.2 I.1", "I.2 MINUS"]
    assert on_parts(CHECK, parts, wires) == {}
