"""A folder of 1,000 harness files of 20 wires, checked by the command in at most 60 s on two cores.

    python tests/benchmarks/folder.py [files [coils]]

Each file has 20 wires and one to three coils (two if not said), each with its button: four switch
positions for one coil, sixteen for three. Sizes, lengths, fuses and loads are drawn anew for each,
so that some pass and some fail. With fewer files the limit is their share of the 60 s. What counts
is processor time over the number of processes: what it takes where nothing else runs. The ratio to
`import numpy` tells how fast the machine is.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

FILES, LIMIT_S, JOBS, WIRES, USUAL_COILS = 1000, 60.0, 2, 20, 2
COILS = ("A", "B", "C")
CONNECTORS = {1: 6, 2: 3, 3: 2}
"""Connectors on the way to the boom, by number of coils: so that there are 20 wires."""
HEAD = """
format = 1
circuit = "three section valves, number {number}"
system = "12 V"
[zone.cab]
ambient = ["-10 degC", "45 degC"]
[zone.engine]
ambient = ["-10 degC", "70 degC"]
engine_space = true
[zone.boom]
ambient = ["-10 degC", "50 degC"]
wet = true
[use]
longest_press = "20 s"
presses_per_hour = 40
service_life = "3000 h"
[part.BAT]
kind = "battery"
type = "12 V flooded, 60 Ah"
zone = "engine"
[part.CHASSIS]
kind = "frame"
zone = "engine"
[part.TAP]
kind = "supply tap"
zone = "cab"
also_feeds = ["wiper"]
upstream = {{ from = "BAT.+", fuse = "20 A blade", gauge = "12 AWG", insulation = "XLPE 125", \
length = "1.8 m", zone = "engine", key = "on", cranking = "off", present_load = "{load} A", \
key_contact = {{ resistance = ["2 mohm", "12 mohm"], rated_current = "25 A" }} }}
[part.F1]
kind = "fuse"
zone = "cab"
rating = "{fuse} A"
style = "blade"
[part.GRIP]
kind = "switch handle"
zone = "cab"
contacts = [
{contacts}
]
contact_resistance = ["2 mohm", "30 mohm"]
rating = [{{ current = "6 A", voltage = "16 V", load = "DC inductive" }}]
[part.SP1]
kind = "splice"
zone = "boom"
[part.SP2]
kind = "splice"
zone = "boom"
[part.GS1]
kind = "ground stud"
zone = "engine"
frame = "CHASSIS"
"""
CONNECTOR = """
[part.{name}]
kind = "connector"
zone = "boom"
cavities = 4
contact = "2.8 mm sealed"
"""
COIL = """
[part.V{name}]
kind = "solenoid coil"
zone = "boom"
type = "small valve coil, 12 V"
suppression = {{ kind = "diode", cathode = "1", reverse = "400 V", forward = "3 A" }}
polarity = {{ plus = "1" }}
moves = {{ valve = "section valve", port = "boom {name}", movement = "shuts off boom {name}", \
hazard = "spray" }}
"""
WIRE = """
[wire.W{number}]
from = "{start}"
to = "{end}"
gauge = "{gauge}"
insulation = "{insulation}"
colour = "RD"
length = "{length} m"
route = [{route}]
"""
CONTACT = '  {{ button = "{name}", action = "momentary", closes = ["feed", "out_{name}"] }},'
SPLICE = """
[part.FEED{number}]
kind = "splice"
zone = "cab"
"""
CAB, BOOM, ENGINE = '"cab"', '"boom"', '"engine"'


def ends(coils: int) -> list[tuple[str, str, str]]:
    """Return from, to and route of each of the 20 wires; what is left over goes into the feed."""
    names, joints = COILS[:coils], CONNECTORS[coils]
    found = [("TAP", "F1.line", CAB), ("CHASSIS", "BAT.-", ENGINE)]
    for cavity, coil in enumerate(names, start=1):
        stops = [f"GRIP.out_{coil}"]
        for joint in range(1, joints + 1):
            stops += [f"X{joint}.plug.{cavity}", f"X{joint}.receptacle.{cavity}"]
        stops += [f"V{coil}.1", f"V{coil}.2", "SP1" if coil != names[-1] else "SP2"]
        found += [(start, end, BOOM) for start, end in zip(stops[::2], stops[1::2], strict=True)]
    back = ["SP1", "SP2", "SP2"]
    for joint in range(joints, 0, -1):
        back += [f"X{joint}.receptacle.4", f"X{joint}.plug.4"]
    back.append("GS1")
    found += [(start, end, BOOM) for start, end in zip(back[::2], back[1::2], strict=True)]
    feed = ["F1.load"]
    for splice in range(WIRES - len(found) - 1):
        feed += [f"FEED{splice}", f"FEED{splice}"]
    feed.append("GRIP.feed")
    return found + [(start, end, CAB) for start, end in zip(feed[::2], feed[1::2], strict=True)]


def harness_text(number: int, coils: int, draw: random.Random) -> str:
    """Return one harness file; the same number and draw give the same file."""
    fuse, load = draw.choice(("7.5", "10", "15")), draw.choice(("1", "3", "5"))
    contacts = "\n".join(CONTACT.format(name=name) for name in COILS[:coils])
    wires = ends(coils)
    text = [HEAD.format(number=number, fuse=fuse, load=load, contacts=contacts)]
    text += [CONNECTOR.format(name=f"X{joint + 1}") for joint in range(CONNECTORS[coils])]
    text += [COIL.format(name=name) for name in COILS[:coils]]
    splices = {end for _, end, _ in wires if end.startswith("FEED")}
    text += [SPLICE.format(number=splice) for splice in range(len(splices))]
    gauge = draw.choice(("12 AWG", "14 AWG", "16 AWG"))
    insulation = draw.choice(("XLPE 125", "PVC 80"))
    for at, (start, end, route) in enumerate(wires, start=1):
        own = "8 AWG" if end == "BAT.-" else gauge
        length = 0.15 if start == "TAP" else round(draw.uniform(0.2, 3.0), 2)
        given = {"number": at, "start": start, "end": end, "gauge": own}
        text.append(WIRE.format(**given, insulation=insulation, length=length, route=route))
    return "".join(text)


def write_folder(folder: Path, files: int, coils: int) -> None:
    """Write the harness files of the benchmark."""
    draw = random.Random(1)
    assert len(ends(coils)) == WIRES
    for number in range(files):
        text = harness_text(number, coils, draw)
        (folder / f"harness_{number:04d}.toml").write_text(text, encoding="utf-8")


def seconds(command: list[str]) -> tuple[float, float, str]:
    """Return the processor time and the time that a command takes, and its output."""
    begin, before = time.perf_counter(), os.times()
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode not in (0, 1, 3):
        raise SystemExit(f"{command} did not work: {done.stdout}{done.stderr}")
    after = os.times()
    user, system = (
        after.children_user - before.children_user,
        after.children_system - before.children_system,
    )
    return user + system, time.perf_counter() - begin, done.stdout


def main(arguments: list[str]) -> int:
    """Print the time, the limit and the verdicts counted; 1 where the limit is passed."""
    files = int(arguments[0]) if arguments else FILES
    coils = int(arguments[1]) if len(arguments) > 1 else USUAL_COILS
    limit_s = LIMIT_S * files / FILES
    beside_s = min(seconds([sys.executable, "-c", "import numpy"])[0] for _ in range(3))
    with tempfile.TemporaryDirectory() as folder:
        write_folder(Path(folder), files, coils)
        command = [sys.executable, "-m", "circuitcheck", "check", folder, "--jobs", str(JOBS)]
        worked_s, taken_s, output = seconds(command)
    each_s = worked_s / JOBS
    print(output.split("\n\n", maxsplit=1)[0])
    print(
        f"{files} files of {WIRES} wires and {coils} coils, {JOBS} processes: {each_s:.1f} s each "
        f"({taken_s:.1f} s on the clock), at most {limit_s:.1f} s; "
        f"{each_s / beside_s:.0f} times `import numpy`"
    )
    return 1 if each_s > limit_s else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
