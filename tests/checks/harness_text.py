"""A good 12 V harness with two valves, as TOML text made of blocks that tests change.

Invented for the tests. `harness_text(F1={"rating": '"3 A"'})` changes one key of one block; values
are TOML text, None takes the key out. Blocks: top, conditions, cab, boom, use, every part and wire
by name. `without` leaves blocks out, `more` is put behind.
"""

from __future__ import annotations

from collections.abc import Mapping

Change = Mapping[str, str | None]

LEFT, RIGHT = "left", "right"
FEED, RETURN = "XLPE 125", "XLPE 125"


def _coil(side: str) -> dict[str, str]:
    return {
        "kind": '"solenoid coil"',
        "zone": '"boom"',
        "type": '"medium valve coil, 12 V"',
        "resistance": '{ at_20degC = "7.2 ohm", tolerance = "10 %" }',
        "rated": '"12 V"',
        "pull_in": '"70 %"',
        "highest": '"130 %"',
        "polarity": '{ plus = "1" }',
        "suppression": '{ kind = "diode", cathode = "1", reverse = "400 V", forward = "3 A" }',
        "moves": '{ valve = "section valve", port = "P", movement = "opens the '
        f'{side} boom", hazard = "spray" }}',
    }


def _wire(start: str, end: str, length: str, route: str, **other: str) -> dict[str, str]:
    block = {
        "from": f'"{start}"',
        "to": f'"{end}"',
        "gauge": '"14 AWG"',
        "insulation": '"XLPE 125"',
        "colour": '"BK"',
        "length": f'"{length}"',
        "route": route,
        "bundled": "2",
    }
    return {**block, **other}


CAB, BOOM, BOTH = '["cab"]', '["boom"]', '["cab", "boom"]'

BLOCKS: dict[str, tuple[str, dict[str, str]]] = {
    "top": (
        "",
        {"format": "1", "circuit": '"Two section valves on a sprayer"', "system": '"12 V"'},
    ),
    "conditions": (
        "[conditions]",
        {
            "supply_engine_off": '["11.9 V", "12.8 V"]',
            "supply_charging": '["13.2 V", "14.9 V"]',
            "supply_cranking": '["6.5 V", "11 V"]',
        },
    ),
    "cab": ("[zone.cab]", {"ambient": '["-10 degC", "45 degC"]'}),
    "boom": ("[zone.boom]", {"ambient": '["-10 degC", "50 degC"]', "wet": "true"}),
    "use": (
        "[use]",
        {"longest_press": '"20 s"', "presses_per_hour": "60", "service_life": '"5000 h"'},
    ),
    "BAT": (
        "[part.BAT]",
        {"kind": '"battery"', "type": '"12 V flooded, 60 Ah"', "zone": '"cab"'},
    ),
    "CHASSIS": ("[part.CHASSIS]", {"kind": '"frame"', "zone": '"cab"'}),
    "GND": (
        "[part.GND]",
        {"kind": '"ground stud"', "zone": '"cab"', "frame": '"CHASSIS"', "rings": "2"},
    ),
    "TAP": (
        "[part.TAP]",
        {"kind": '"supply tap"', "zone": '"cab"', "also_feeds": '["wiper"]',
         "contact": '"crimp splice"'},
    ),
    "upstream": (
        "[part.TAP.upstream]",
        {
            "from": '"BAT.+"',
            "fuse": '"15 A blade"',
            "gauge": '"12 AWG"',
            "insulation": '"XLPE 125"',
            "length": '"1.8 m"',
            "key": '"on"',
            "cranking": '"off"',
            "present_load": '"3.5 A"',
            "key_contact": '{ resistance = ["1 mohm", "5 mohm"], rated_current = "30 A" }',
        },
    ),
    "F1": (
        "[part.F1]",
        {"kind": '"fuse"', "zone": '"cab"', "rating": '"5 A"', "style": '"blade"'},
    ),
    "GRIP": (
        "[part.GRIP]",
        {
            "kind": '"switch handle"',
            "zone": '"cab"',
            "contacts": "[\n"
            '  { button = "left", action = "momentary", closes = ["feed", "out_left"] },\n'
            '  { button = "right", action = "momentary", closes = ["feed", "out_right"] },\n]',
            "interlock": '{ kind = "mechanical", between = ["left", "right"] }',
            "rating": '[{ current = "5 A", voltage = "16 V", load = "DC inductive" }]',
            "contact_resistance": '["2 mohm", "30 mohm"]',
        },
    ),
    "X1": (
        "[part.X1]",
        {"kind": '"connector"', "zone": '"boom"', "cavities": "3",
         "contact": '"2.8 mm sealed"'},
    ),
    "S1": ("[part.S1]", {"kind": '"splice"', "zone": '"boom"'}),
    "VL": ("[part.VL]", _coil(LEFT)),
    "VR": ("[part.VR]", _coil(RIGHT)),
    "W1": ("[wire.W1]", _wire("TAP", "F1.line", "0.15 m", CAB, colour='"RD"', bundled="1")),
    "W2": ("[wire.W2]", _wire("F1.load", "GRIP.feed", "0.8 m", CAB, colour='"RD"', bundled="1")),
    "W3": ("[wire.W3]", _wire("GRIP.out_left", "X1.plug.1", "3.0 m", BOTH, colour='"BU"')),
    "W4": ("[wire.W4]", _wire("GRIP.out_right", "X1.plug.2", "3.0 m", BOTH, colour='"YE"')),
    "W5": ("[wire.W5]", _wire("X1.receptacle.1", "VL.1", "0.6 m", BOOM, colour='"BU"')),
    "W6": ("[wire.W6]", _wire("X1.receptacle.2", "VR.1", "0.9 m", BOOM, colour='"YE"')),
    "W7": ("[wire.W7]", _wire("VL.2", "S1", "0.5 m", BOOM)),
    "W8": ("[wire.W8]", _wire("VR.2", "S1", "0.8 m", BOOM)),
    "W9": ("[wire.W9]", _wire("S1", "X1.receptacle.3", "0.2 m", BOOM)),
    "W10": ("[wire.W10]", _wire("X1.plug.3", "GND", "3.2 m", BOTH)),
    "W11": (
        "[wire.W11]",
        _wire("CHASSIS", "BAT.-", "0.4 m", CAB, gauge='"8 AWG"', bundled="1"),
    ),
}  # fmt: skip


def harness_text(*, without: tuple[str, ...] = (), more: str = "", **changes: Change) -> str:
    """Return the text of the good harness with some keys changed.

    Raises KeyError for a block that does not exist, so that no test changes nothing.
    """
    strange = (set(changes) | set(without)) - set(BLOCKS)
    if strange:
        raise KeyError(f"no such block: {', '.join(sorted(strange))}")
    parts = []
    for name, (head, keys) in BLOCKS.items():
        if name in without:
            continue
        merged = {**keys, **changes.get(name, {})}
        lines = [f"{key} = {value}" for key, value in merged.items() if value is not None]
        parts.append("\n".join([head, *lines] if head else lines))
    return "\n\n".join([*parts, more]) + "\n"
