"""Harnesses put together from a list of parts and wires, for circuits of every part. Invented."""

from __future__ import annotations

HEAD = """
format = 1
circuit = "Test"
system = "{system} V"
[conditions]
supply_engine_off = [{off}]
supply_charging = [{charging}]
supply_cranking = [{cranking}]
[zone.cab]
ambient = ["{cold} degC", "{hot} degC"]
[use]
longest_press = "{press}"
presses_per_hour = 20
[part.BAT]
kind = "battery"
type = "{system} V flooded, {ah} Ah"
zone = "cab"
[part.CHASSIS]
kind = "frame"
zone = "cab"
bonds = [{{ to = "BAT.-", resistance = "1 mohm" }}]
[part.TAP]
kind = "supply tap"
zone = "cab"
also_feeds = ["other"]
contact = "crimp splice"
[part.TAP.upstream]
from = "BAT.+"
fuse = "20 A blade"
gauge = "4 mm2"
length = "1 m"
insulation = "XLPE 125"
key = "on"
cranking = "on"
present_load = "0 A"
key_contact = {{ resistance = ["1 mohm", "5 mohm"], rated_current = "40 A" }}
[part.F1]
kind = "fuse"
zone = "cab"
rating = "15 A"
style = "blade"
"""
SUPPLY = {
    "12": {
        "off": '"11.9 V", "12.8 V"',
        "charging": '"13.2 V", "14.9 V"',
        "cranking": '"6.5 V", "11 V"',
        "ah": "60",
    },
    "24": {
        "off": '"23.8 V", "25.6 V"',
        "charging": '"26.4 V", "29 V"',
        "cranking": '"13 V", "22 V"',
        "ah": "100",
    },
}
PARTS = {
    "button": 'kind = "switch"\naction = "momentary"\ncontact_resistance = ["5 mohm", "30 mohm"]',
    "break button": (
        'kind = "switch handle"\ncontacts = [{ button = "stop", action = "momentary", '
        'opens = ["line", "load"] }]\n'
        'contact_resistance = ["5 mohm", "30 mohm"]'
    ),
    "splice": 'kind = "splice"',
    "relay": (
        'kind = "relay"\ncontacts = "changeover"\n'
        'resistance = { at_20degC = "85 ohm", tolerance = "10 %" }\n'
        'pull_in = "7.2 V"\ndrop_out = "1.2 V"\n'
        'thermal = { resistance = "40 K/W", class = "F" }\nsuppression = "none"'
    ),
    "valve": (
        'kind = "solenoid coil"\nrated = "12 V"\n'
        'resistance = { at_20degC = "8 ohm", tolerance = "8 %" }\nsuppression = "none"\n'
        'moves = { valve = "v", port = "A", movement = "opens", hazard = "none" }'
    ),
}


def part_text(name: str, kind: str, more: str = "") -> str:
    """One part in the cab: a kind of PARTS, or its lines outright."""
    return f'[part.{name}]\nzone = "cab"\n{PARTS.get(kind, kind)}\n{more}\n'


def wire_text(number: int, start: str, end: str, length: str = "0.5 m") -> str:
    """One wire of 1.5 mm2."""
    return (
        f'[wire.W{number}]\nfrom = "{start}"\nto = "{end}"\ngauge = "1.5 mm2"\n'
        f'length = "{length}"\ninsulation = "XLPE 125"\n'
    )


def circuit_text(
    parts: list[tuple[str, ...]],
    wires: list[tuple[str, ...]],
    *,
    system: str = "12",
    press: str = "30 s",
    cold: float = 20.0,
    hot: float = 20.0,
    **changed: str,
) -> str:
    """A harness file: tap, fuse F1 and frame CHASSIS, then the parts and wires given.

    `parts` are (name, kind of PARTS or lines, more lines), `wires` (from, to, length).
    """
    head = HEAD.format(
        system=system, press=press, cold=cold, hot=hot, **{**SUPPLY[system], **changed}
    )
    body = "".join(part_text(*part) for part in parts)
    return head + body + "".join(wire_text(n, *wire) for n, wire in enumerate(wires, start=1))
