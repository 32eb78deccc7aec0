"""Each kind of structural fault, alone where it can be, and none on a sound harness."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from circuitcheck import read_harness
from circuitcheck.circuit.structural_faults import StructuralFault, structural_faults
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library

ROOT = Path(__file__).parents[2]
SOUND = sorted([*ROOT.glob("examples/*/harness.toml"), *ROOT.glob("tests/harnesses/good/*.toml")])
RELAY_WIRES = """
[part.K1]
kind = "relay"
zone = "cab"
type = "mini relay changeover, 12 V"
[part.SP]
kind = "splice"
zone = "cab"
[wire.W30]
from = "SP"
to = "K1.86"
gauge = "14 AWG"
length = "0.1 m"
[wire.W31]
from = "K1.85"
to = "{return_to}"
gauge = "14 AWG"
length = "0.1 m"
[wire.W32]
from = "{contact}"
to = "{load}"
gauge = "14 AWG"
length = "0.1 m"
[wire.W33]
from = "{common}"
to = "K1.30"
gauge = "14 AWG"
length = "0.1 m"
"""


def relay(**ends: str) -> dict[str, object]:
    """Change the harness to put a relay behind the fuse: K1 works what hangs on W2."""
    usual = {"return_to": "CHASSIS", "contact": "K1.87", "load": "GRIP.feed", "common": "SP"}
    more = RELAY_WIRES.format(**{**usual, **ends})
    return {"W2": {"to": '"SP"'}, "more": more}


CASES = {
    "open end of a coil": (
        {"without": ("W7",)},
        {("open end", "VL")},
    ),
    "open ends where a wire is missing": (
        {"without": ("W2",)},
        {("open end", "F1"), ("open end", "GRIP"), ("no feed", "VL"), ("no feed", "VR")},
    ),
    "cavity wired on one half only": (
        {"without": ("W5",), "VL": {"kind": '"splice"', **dict.fromkeys(
            ("type", "resistance", "rated", "pull_in", "highest", "polarity", "suppression",
             "moves"))}, "W7": {"from": '"VL"'}},
        {("open end", "X1"), ("open end", "VL")},
    ),
    "splice with a single wire": (
        {"W7": {"to": '"X1.receptacle.3"'}, "W8": {"to": '"X1.receptacle.3"'}, "W9": {
            "from": '"S1"', "to": '"X1.receptacle.3"'}},
        {("open end", "S1"), ("too many wires", "X1")},
    ),
    "battery minus left open": (
        {"without": ("W11",)},
        {("open end", "BAT"), ("no return", "VL"), ("no return", "VR")},
    ),
    "stud on a frame that nothing is bonded to": (
        {"GND": {"frame": '"BOOM"'}, "more": '[part.BOOM]\nkind = "frame"\nzone = "boom"\n'},
        {("no return", "VL"), ("no return", "VR")},
    ),
    "coil between two returns": (
        {"W5": {"from": '"S1"'}, "without": ("W3",)},
        {("no feed", "VL"), ("open end", "GRIP")},
    ),
    "coil fed at both ends": (
        {"W7": {"to": '"SP"'}, "W6": {"from": '"SP"'},
         "more": '[part.SP]\nkind = "splice"\nzone = "boom"\n[wire.W20]\nfrom = "SP"\n'
         'to = "X1.receptacle.2"\ngauge = "14 AWG"\nlength = "0.1 m"\n'},
        {("fed at both ends", "VL")},
    ),
    "two wires in a cavity": (
        {"W4": {"to": '"X1.plug.1"'}},
        {("too many wires", "X1"), ("open end", "X1"), ("no feed", "VR")},
    ),
    "more rings than the stud takes": (
        {"GND": {"rings": "1"}, "W11": {"from": '"GND"'}},
        {("too many wires", "GND")},
    ),
    "relay coil without a return": (
        relay(return_to="OPEN") | {"more": RELAY_WIRES.format(
            return_to="OPEN", contact="K1.87", load="GRIP.feed", common="SP")
            + '[part.OPEN]\nkind = "frame"\nzone = "cab"\n'},
        {("no return", "K1")},
    ),
    "relay with nothing on its contacts": (
        relay(contact="SP", common="SP2") | {"more": RELAY_WIRES.format(
            return_to="CHASSIS", contact="SP", load="GRIP.feed", common="SP2")
            + '[part.SP2]\nkind = "splice"\nzone = "cab"\n'},
        {("idle contact", "K1"), ("open end", "SP2")},
    ),
    "feed joined to return": (
        {"W10": {"to": '"SP"'}, "W1": {"to": '"SP"'},
         "more": '[part.SP]\nkind = "splice"\nzone = "cab"\n[wire.W20]\nfrom = "SP"\n'
         'to = "F1.line"\ngauge = "14 AWG"\nlength = "0.1 m"\n[wire.W21]\nfrom = "SP"\n'
         'to = "GND"\ngauge = "14 AWG"\nlength = "0.1 m"\n'},
        # the returns now hang on the feed too: both ends of each coil reach both posts
        {("short circuit", "BAT")},
    ),
    "tap without a fuse": (
        {"upstream": {"fuse": '"none"'}},
        {("unprotected feed", "TAP")},
    ),
    "no fuse at all": (
        {"upstream": {"fuse": '"none"'}, "W1": {"to": '"GRIP.feed"'}, "without": ("F1", "W2")},
        {("unprotected feed", "TAP"), ("unprotected feed", "VL"), ("unprotected feed", "VR")},
    ),
    "machine fuse not known and none of its own": (
        {"upstream": {"fuse": '"unknown"'}, "W1": {"to": '"GRIP.feed"'}, "without": ("F1", "W2")},
        {("unprotected feed", "VL"), ("unprotected feed", "VR")},
    ),
    "straight from the battery": (
        {"W1": {"from": '"BAT.+"', "to": '"GRIP.feed"'},
         "without": ("F1", "W2", "TAP", "upstream")},
        {("unprotected feed", "VL"), ("unprotected feed", "VR")},
    ),
}  # fmt: skip
SOUND_CHANGES = {
    "as it stands": {},
    "double crimp declared": {
        "X1": {"double_crimps": '["receptacle.3"]'},
        "W7": {"to": '"X1.receptacle.3"'},
        "W8": {"to": '"X1.receptacle.3"'},
        "without": ("S1", "W9"),
    },
    "two rings on a stud for two": {"W11": {"from": '"GND"'}},
    "battery minus bonded without a wire": {
        "without": ("W11",),
        "CHASSIS": {"bonds": '[{ to = "BAT.-", resistance = ["1 mohm", "20 mohm"] }]'},
    },
    "stud on a frame bonded to the other": {
        "GND": {"frame": '"BOOM"'},
        "more": '[part.BOOM]\nkind = "frame"\nzone = "boom"\n'
        'bonds = [{ to = "CHASSIS", resistance = "unknown" }]\n',
    },
    "spare cavities": {"X1": {"cavities": "8"}},
    "relay by its make contact": relay(),
    "relay by its break contact": relay(contact="K1.87a"),
    "battery behind a fuse of its own": {
        "W1": {"from": '"BAT.+"'},
        "without": ("TAP", "upstream"),
    },
}


def pairs(faults: tuple[StructuralFault, ...]) -> set[tuple[str, str]]:
    return {(fault.kind, fault.subject) for fault in faults}


@pytest.mark.parametrize("name", CASES)
def test_each_fault_is_found_and_no_other(name: str, harness_of: Callable[..., Harness]) -> None:
    changes, expected = CASES[name]
    harness = harness_of(**changes)
    faults = structural_faults(harness)
    assert pairs(faults) == expected
    for fault in faults:
        assert fault.wrong
        assert fault.right.endswith(".")
        assert fault.place in harness.line_of


def test_every_kind_is_among_the_cases() -> None:
    kinds = {kind for _, expected in CASES.values() for kind, _ in expected}
    assert StructuralFault.__doc__ is not None
    for kind in kinds:
        assert f"`{kind}`" in StructuralFault.__doc__
    assert len(kinds) == StructuralFault.__doc__.split("`subject`")[0].count("`") // 2 - 1


@pytest.mark.parametrize("name", SOUND_CHANGES)
def test_none_on_sound_harnesses(name: str, harness_of: Callable[..., Harness]) -> None:
    assert structural_faults(harness_of(**SOUND_CHANGES[name])) == ()


@pytest.mark.parametrize("path", SOUND, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_none_on_the_example(path: Path, library: Library) -> None:
    assert structural_faults(read_harness(path, library)) == ()


def test_two_wires_in_a_cavity_are_named_with_the_cure(harness_of: Callable[..., Harness]) -> None:
    faults = structural_faults(harness_of(W4={"to": '"X1.plug.1"'}))
    crowded = next(fault for fault in faults if fault.kind == "too many wires")
    assert crowded.wrong == "2 wires (W3, W4) land on X1.plug.1; it takes 1"
    assert "double_crimps" in crowded.right


def test_every_kind_says_why_it_matters() -> None:
    from circuitcheck.checks.wires.wiring_complete import WHY_OF

    kinds = {kind for _, expected in CASES.values() for kind, _ in expected}
    assert kinds <= set(WHY_OF)
