"""Isolators: which line they cut, and whether something leads past them."""

import pytest

from circuitcheck.checks.finding import FAIL, PASS
from circuitcheck.checks.supply.isolator import CHECK

ISOLATOR = ("", {"kind": '"isolator"', "type": '"battery isolator 100 A"'})
JOINT = ("", {"kind": '"splice"'})
PARTS = {"I": ISOLATOR, "SW": "button", "V": "coil"}
IN_PLUS = ["PLUS I.1", "I.2 SW.line", "SW.load V.1", "V.2 MINUS"]
IN_MINUS = ["PLUS SW.line", "SW.load V.1", "V.2 I.1", "I.2 MINUS"]


@pytest.mark.parametrize(
    ("wires", "line", "said"),
    [(IN_PLUS, "feed", "everything behind it is dead"),
     (IN_MINUS, "return", "every wire of the feed stays live")],
)  # fmt: skip
def test_which_line_it_cuts(on_parts, wires, line, said):
    (found,) = on_parts(CHECK, PARTS, wires).values()
    assert found.result == PASS
    assert found.quantity == f"cuts the {line} of what hangs behind it"
    assert said in found.reason
    assert found.conditions == ("behind it: V",)


def test_a_second_way_to_battery_minus_leads_past_it(on_parts):
    parts = {**PARTS, "A": JOINT}
    wires = ["PLUS SW.line", "SW.load V.1", "V.2 A", "A I.1", "I.2 MINUS", "A BAT.-"]
    (found,) = on_parts(CHECK, parts, wires).values()
    assert found.result == FAIL
    assert "its two terminals are still joined" in found.reason
    assert found.position == "key on, I off"


def test_the_machines_frame_as_a_second_way(on_parts):
    frame = """
[part.FRAME]
kind = "frame"
zone = "bench"
bonds = [{ to = "BAT.-", by = "bolts" }]
[wire.X]
from = "A"
to = "FRAME"
gauge = "8 AWG"
length = "1 m"
"""
    parts = {**PARTS, "A": JOINT}
    wires = ["PLUS SW.line", "SW.load V.1", "V.2 A", "A I.1", "I.2 MINUS"]
    assert next(iter(on_parts(CHECK, parts, wires).values())).result == PASS
    assert next(iter(on_parts(CHECK, parts, wires, more=frame).values())).result == FAIL


def test_without_an_isolator_there_is_nothing_to_say(on_parts):
    assert on_parts(CHECK, {"V": "coil"}, ["PLUS V.1", "V.2 MINUS"]) == {}
