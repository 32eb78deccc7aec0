"""Branches in the records of the model, the ways of wires along them, and what does not reach."""

from __future__ import annotations

from pathlib import Path

import pytest

from circuitcheck import Harness, check_harness, read_harness, read_library
from circuitcheck.circuit.way_faults import way_faults
from circuitcheck.model.branch import Clips, Covering, Grommet, Inline, Slack
from circuitcheck.model.tolerance_band import Band
from circuitcheck.model.ways import sections_of, wire_ways, wires_in

GOOD = Path(__file__).parents[1] / "harnesses" / "good" / "branches_12v.toml"
TEXT = GOOD.read_text(encoding="utf-8")


def read(*changes: tuple[str, str]) -> Harness:
    text = TEXT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return read_harness("given.toml", read_library(), text=text)


def test_what_a_branch_says_in_si() -> None:
    harness = read()
    trunk = harness.branches["B2"]
    assert (trunk.start, trunk.end, trunk.zone) == ("GRIP", "FLOOR", "cab")
    assert trunk.length_m == Band.exact(1.4)
    assert trunk.covering == Covering("split conduit", 0.010)
    assert trunk.grommets == (Grommet(1.3, "cab floor", 0.022),)
    assert trunk.clip_places_m == pytest.approx((0.4, 0.8, 1.2))
    assert harness.branches["B4"].clips == Clips(None, (0.3, 0.6))
    assert harness.branches["B1"].inline == (Inline("F1", 0.15),)
    assert harness.slack == Slack(0.03, 0.05, stated=True)


def test_ways_added_up_by_hand() -> None:
    """W3: B2 1.4 m + B3 2.0 m. W8: B7 1.1 m, then B5 back to the splice, 0.3 m - 0.2 m."""
    ways = wire_ways(read())
    assert ways["W3"].branches == ("B2", "B3")
    assert ways["W3"].length_m == Band.exact(3.4)
    assert ways["W8"].branches == ("B7", "B5")
    assert ways["W8"].length_m is not None
    assert ways["W8"].length_m.nominal == pytest.approx(1.2)
    assert ways["W1"].length_m == Band.exact(0.15)
    assert "W11" not in ways  # no branch goes to the battery


def test_wires_of_each_section() -> None:
    found = wires_in(wire_ways(read()).values())
    assert found["B2", 0] == ("W3", "W4")
    assert found["B3", 0] == ("W3", "W4", "W10")
    assert found["B5", 0] == ("W5", "W6", "W9")
    assert found["B5", 1] == ("W5", "W6", "W7", "W8")


def test_sections_add_up_to_the_branch() -> None:
    for branch in read().branches.values():
        lengths = [section.length_m for section in sections_of(branch)]
        assert branch.length_m is not None
        total = sum(length.nominal for length in lengths if length is not None)
        assert total == pytest.approx(branch.length_m.nominal)


def test_a_branch_that_is_not_measured_has_no_length() -> None:
    harness = read(('length = "2.0 m"\nzone = "boom"', 'length = "unknown"\nzone = "boom"'))
    assert harness.branches["B3"].length_m is None
    ways = wire_ways(harness)
    assert ways["W3"].length_m is None
    assert ways["W1"].length_m is not None
    assert [a.key for a in harness.assumptions if a.subject == "branch B3"] == ["length"]
    assert not list(way_faults(harness))


def test_the_way_that_a_wire_names_wins_over_the_shortest() -> None:
    around = """
[branch.B9]
from = "GRIP"
to = "X1.plug"
length = "5 m"
zone = "boom"
"""
    plain = read_harness("given.toml", read_library(), text=TEXT + around)
    assert wire_ways(plain)["W3"].branches == ("B2", "B3")
    named = TEXT.replace('to = "X1.plug.1"\n', 'to = "X1.plug.1"\nway = ["B9"]\n', 1) + around
    harness = read_harness("given.toml", read_library(), text=named)
    assert wire_ways(harness)["W3"].branches == ("B9",)
    assert wire_ways(harness)["W4"].branches == ("B2", "B3")


@pytest.mark.parametrize(("length", "kinds"), [("3.39 m", ["too short"]), ("3.40 m", [])])
def test_a_wire_shorter_than_its_way(length: str, kinds: list[str]) -> None:
    faults = list(way_faults(read(('length = "3.5 m"', f'length = "{length}"'))))
    assert [fault.kind for fault in faults] == kinds
    assert all(fault.subject == "W3" for fault in faults)


def test_a_zone_that_the_route_leaves_out() -> None:
    faults = list(way_faults(read(('route = ["boom", "engine"]', 'route = ["boom"]'))))
    assert [(fault.kind, fault.subject) for fault in faults] == [("other zone", "W10")]
    assert "engine" in faults[0].wrong


def test_an_unknown_length_of_a_wire_is_not_called_short() -> None:
    assert not list(way_faults(read(('length = "3.5 m"', 'length = "unknown"'))))


def test_cut_length_by_hand() -> None:
    """3.5 m and 3 % of it and 50 mm at each end: 3.705 m."""
    assert read().slack.cut_m(3.5) == pytest.approx(3.705)
    assert Slack(0.0, 0.0).cut_m(3.5) == 3.5


def test_wires_together_are_counted_in_the_branches() -> None:
    """W10 shares its route with no other wire, but B3 with W3 and W4: three lie together."""
    harness = read()
    assert harness.wires["W10"].bundled == 3
    assert harness.wires["W5"].bundled == 4  # between the splice and the tee of B5
    assert harness.wires["W2"].bundled == 1
    told = [a.assumed for a in harness.assumptions if (a.subject, a.key) == ("W10", "bundled")]
    assert told == ["3 wires together in branch B3"]
    stated = read(('to = "GS1"\ngauge', 'to = "GS1"\nbundled = 7\ngauge'))
    assert stated.wires["W10"].bundled == 7
    unknown = read(('to = "GS1"\ngauge', 'to = "GS1"\nbundled = "unknown"\ngauge'))
    assert unknown.wires["W10"].bundled == len(unknown.wires)
    plain = read_harness("given.toml", read_library(), text=TEXT[: TEXT.index("[slack]")])
    assert plain.wires["W10"].bundled == 1


def test_the_check_fails_a_wire_that_does_not_reach() -> None:
    def told(*changes: tuple[str, str]) -> list[tuple[str, str]]:
        verdict = check_harness(read(*changes), read_library(), changes=False)
        name = "wiring complete and protected"
        return [(f.subject, f.result) for f in verdict.findings if f.check == name]

    assert told() == [("", "pass")]
    assert told(('length = "3.5 m"', 'length = "3.39 m"')) == [("W3", "fail")]
    assert told(('route = ["boom", "engine"]', 'route = ["boom"]')) == [("W10", "fail")]
