"""A bench for parts of any kind: a stiff feed, a stiff return, and what a test hangs between.

The feed is the splice PLUS behind tap TAP and fuse F1 (0.01 ohm), the return the splice MINUS. All
wires are 10 mm of 8 AWG, 20 to 26 microohm each, joints and crimps have no resistance, zones have
20 degC and the supply is 12 V throughout: voltages can be added up by hand.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

HEAD = """
format = 1
circuit = "parts on a bench"
system = "{system}"

[conditions]
supply_engine_off = {engine_off}
supply_charging = {charging}

[zone.bench]
ambient = {air}
wet = {wet}

[use]
{use}

[part.BAT]
kind = "battery"
type = {battery}
zone = "bench"
post_resistance = "0 ohm"

[part.TAP]
kind = "supply tap"
zone = "bench"
contact = "crimp splice"
also_feeds = []
upstream = {{ fuse = "30 A blade", gauge = "8 AWG", insulation = "XLPE 125", length = "0.01 m", \
key = "{key}", cranking = "{cranking}", present_load = "0 A", key_contact = "none", \
clip_resistance = "0 ohm" }}

[part.F1]
kind = "fuse"
zone = "bench"
rating = "{fuse}"
style = "blade"
element_resistance = "0.01 ohm"
clip_resistance = "0 ohm"

[part.PLUS]
kind = "splice"
zone = "bench"
joint_resistance = "0 ohm"

[part.MINUS]
kind = "splice"
zone = "bench"
joint_resistance = "0 ohm"
"""
DEFAULTS = {
    "system": "12 V",
    "engine_off": '["12 V", "12 V"]',
    "charging": '["12 V", "12 V"]',
    "air": '"20 degC"',
    "wet": "false",
    "use": 'longest_press = "20 s"\npresses_per_hour = 45',
    "battery": '"12 V flooded, 60 Ah"',
    "key": "on",
    "cranking": "off",
    "fuse": "10 A",
}
WIRE = """
[wire.{name}]
from = "{start}"
to = "{end}"
gauge = "8 AWG"
length = "0.01 m"
insulation = "XLPE 125"
bundled = 1
crimp_resistance = "0 ohm"
"""
ALWAYS = ("TAP F1.line", "F1.load PLUS", "MINUS BAT.-")
BUTTON = {"kind": '"switch"', "action": '"momentary"', "contact_resistance": '"0.01 ohm"'}
COIL = {
    "kind": '"solenoid coil"',
    "rated": '"12 V"',
    "resistance": '{ at_20degC = "10 ohm", tolerance = "0 %" }',
    "pull_in": '"85 %"',
    "highest": '"115 %"',
    "drop_out": '["10 %", "50 %"]',
    "duty": '"continuous"',
    "thermal": '{ resistance = "5 K/W", time_constant = "1200 s", class = "H" }',
    "inductance": '"60 mH"',
    "suppression": '{ kind = "diode", cathode = "1", reverse = "400 V", forward = "3 A" }',
    "polarity": '{ plus = "1" }',
    "moves": '{ valve = "v", port = "A", movement = "opens", hazard = "spray" }',
}
RELAY = {
    "kind": '"relay"',
    "contacts": '"make"',
    "resistance": '{ at_20degC = "90 ohm", tolerance = "0 %" }',
    "rated": '"12 V"',
    "pull_in": '"7.2 V"',
    "drop_out": '"1.2 V"',
    "highest": '"16 V"',
    "coil_at": '"20 degC"',
    "thermal": '{ resistance = "40 K/W", class = "F" }',
    "make_resistance": '"0.01 ohm"',
    "making_limit": '"100 A"',
    "least_current": '"100 mA"',
    "rating": '[{ current = "10 A", voltage = "14 V", load = "DC inductive" }]',
    "suppression": '"none"',
}
PULL_HOLD = {
    "kind": '"pull and hold coil"',
    "rated": '"12 V"',
    "pull_resistance": '{ at_20degC = "0.4 ohm", tolerance = "0 %" }',
    "hold_resistance": '{ at_20degC = "12 ohm", tolerance = "0 %" }',
    "cut_out": '"internal switch"',
    "longest_pull": '"2 s"',
    "pull_in": '"70 %"',
    "hold": '"40 %"',
    "duty": '"continuous"',
    "suppression": '"none"',
    "moves": '{ valve = "lever", movement = "pulls", hazard = "none" }',
}
CONVERTER = {
    "kind": '"converter"',
    "output": '{ value = "12 V", tolerance = "0 %" }',
    "rated_current": '"5 A"',
    "output_resistance": '{ value = "0.01 ohm", tolerance = "0 %" }',
    "efficiency": '["85 %", "90 %"]',
    "idle_current": '["10 mA", "20 mA"]',
    "input": '["20 V", "32 V"]',
}
ON_24_V = {
    "system": "24 V",
    "battery": '"24 V flooded, 100 Ah"',
    "engine_off": '["24 V", "24 V"]',
    "charging": '["28 V", "28 V"]',
}
KINDS: Mapping[str, Mapping[str, str]] = {
    "button": BUTTON,
    "switch": {**BUTTON, "action": '"maintained"'},
    "coil": COIL,
    "relay": RELAY,
    "pull and hold": PULL_HOLD,
    "converter": CONVERTER,
}
Part = tuple[str, Mapping[str, str | None]]


def part_text(
    parts: Mapping[str, str | Part], wires: Sequence[str], *, more: str = "", **base: str
) -> str:
    """Return the bench with parts and wires as a harness file.

    A part is a kind of KINDS, or (kind, changed keys), or ("", all its keys); a value of None
    leaves a key out. A wire is its two ends, `PLUS S1.line`; wires are named W1, W2, ... after
    those of the bench. `on_24_v="yes"` makes it a 24 V machine.
    """
    if base.pop("on_24_v", ""):
        base = ON_24_V | base
    text = HEAD.format(**(DEFAULTS | base))
    for name, part in parts.items():
        kind, changes = (part, {}) if isinstance(part, str) else part
        keys = {**KINDS.get(kind, {}), **changes}
        zone = {} if "zone" in keys else {"zone": '"bench"'}
        lines = [f"{key} = {value}" for key, value in (keys | zone).items() if value is not None]
        text += "\n".join([f"\n[part.{name}]", *lines, ""])
    for number, wire in enumerate((*ALWAYS, *wires)):
        start, end = wire.split()
        name = f"B{number + 1}" if number < len(ALWAYS) else f"W{number + 1 - len(ALWAYS)}"
        text += WIRE.format(name=name, start=start, end=end)
    return text + more
