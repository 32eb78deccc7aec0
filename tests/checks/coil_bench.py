"""One coil, or two beside each other, on a bench: every resistance given, so that the loop can be
added up by hand. Wires are 10 mm of 8 AWG, under 26 microohm each, and zones have 20 degC.
"""

from __future__ import annotations

COIL = """
[part.{name}]
kind = "solenoid coil"
zone = "{zone}"
rated = "{rated}"
resistance = {resistance}
{more}
"""
BENCH = """
format = 1
circuit = "coils on a bench"
system = "{system}"

[conditions]
supply_engine_off = {engine_off}
supply_charging = {charging}

[zone.bench]
ambient = {air}
[zone.coils]
ambient = {coil_air}

[use]
{use}

[part.BAT]
kind = "battery"
type = "{battery}"
zone = "bench"
post_resistance = "0 ohm"

[part.TAP]
kind = "supply tap"
zone = "bench"
contact = "crimp splice"
also_feeds = []
upstream = {{ fuse = "30 A blade", gauge = "8 AWG", insulation = "XLPE 125", length = "0.01 m", \
key = "on", cranking = "off", present_load = {present_load}, key_contact = "none", \
clip_resistance = "0 ohm" }}

[part.F1]
kind = "fuse"
zone = "bench"
rating = "10 A"
style = "blade"
element_resistance = "{fuse}"
clip_resistance = "0 ohm"

[part.GRIP]
kind = "switch handle"
zone = "bench"
contacts = [
  {{ button = "left", action = "momentary", closes = ["feed", "out_left"] }},
  {{ button = "right", action = "momentary", closes = ["feed", "out_right"] }},
]
interlock = {{ kind = "{interlock}", between = ["left", "right"] }}
contact_resistance = {contact}
rating = {rating}

[part.X1]
kind = "connector"
zone = "{connector_zone}"
cavities = 3
contact = {family}
contact_resistance = {pair}
{double}

[part.CHASSIS]
kind = "frame"
zone = "bench"
surface_resistance = "0 ohm"

[part.GS1]
kind = "ground stud"
zone = "bench"
frame = "CHASSIS"
bond = {bond}

{coils}
"""
ENDS = (
    ("W1", "TAP", "F1.line"),
    ("W2", "F1.load", "GRIP.feed"),
    ("W3", "GRIP.out_left", "X1.plug.1"),
    ("W4", "GRIP.out_right", "X1.plug.2"),
    ("W5", "X1.receptacle.1", "VL.1"),
    ("W6", "X1.receptacle.2", "VR.1"),
    ("W7", "VL.2", "GS1"),
    ("W8", "VR.2", "GS1"),
    ("W9", "CHASSIS", "BAT.-"),
)
DEFAULTS = {
    "system": "12 V",
    "engine_off": '["12 V", "12 V"]',
    "charging": '["12 V", "12 V"]',
    "air": '"20 degC"',
    "coil_air": '"20 degC"',
    "use": 'longest_press = "20 s"\npresses_per_hour = 45',
    "battery": "12 V flooded, 60 Ah",
    "present_load": '"0 A"',
    "fuse": "0.01 ohm",
    "interlock": "mechanical",
    "contact": '"0.1 ohm"',
    "rating": '[{ current = "3 A", voltage = "14 V", load = "DC inductive" }]',
    "connector_zone": "bench",
    "family": '"2.8 mm sealed"',
    "pair": '"0.01 ohm"',
    "double": "",
    "bond": '"0.01 ohm"',
    "coil_zone": "coils",
    "rated": "12 V",
    "resistance": '{ at_20degC = "10 ohm", tolerance = "0 %" }',
    "pull_in": '"85 %"',
    "highest": '"115 %"',
    "duty": '"continuous"',
    "thermal": '{ resistance = "5 K/W", time_constant = "1200 s", class = "H" }',
    "inductance": '"60 mH"',
    "suppression": '{ kind = "diode", cathode = "1", reverse = "400 V", forward = "3 A" }',
    "polarity": '"either"',
    "moves": '{ valve = "v", port = "A", movement = "opens", hazard = "spray" }',
    "rated_ambient": '"20 degC"',
}
COIL_KEYS = ("pull_in", "highest", "duty", "thermal", "inductance", "suppression", "polarity")
WIRE = """
[wire.{name}]
from = "{start}"
to = "{end}"
gauge = {gauge}
length = "{length}"
insulation = "XLPE 125"
bundled = 1
crimp_resistance = "0 ohm"
"""


def bench_text(**changes: str | None) -> str:
    """Return the bench as a harness file; a value of None leaves the key out.

    `W3_length = "5 m"`, `W3_gauge = '"16 AWG"'`, `W7_from`, `W7_to` change one wire.
    """
    wires = {key: changes.pop(key) for key in list(changes) if key[0] == "W" and "_" in key}
    values = DEFAULTS | changes
    more = "\n".join(
        f"{key} = {values[key]}"
        for key in (*COIL_KEYS, "moves", "rated_ambient")
        if values[key] is not None
    )
    coils = "".join(
        COIL.format(
            name=name,
            zone=values["coil_zone"],
            rated=values["rated"],
            resistance=values["resistance"],
            more=more,
        )
        for name in ("VL", "VR")
    )
    text = BENCH.format(coils=coils, **values)
    for name, start, end in ENDS:
        text += WIRE.format(
            name=name,
            start=wires.get(f"{name}_from", start),
            end=wires.get(f"{name}_to", end),
            gauge=wires.get(f"{name}_gauge", '"8 AWG"'),
            length=wires.get(f"{name}_length", "0.01 m"),
        )
    return text
