"""How the work grows with the harness: 1,000 wires against 100, as ratios measured in one run.

    python tests/benchmarks/growth.py
    pytest tests/benchmarks/growth.py

Two groups of valves, each with a button, a trunk of splices that feeds it and one that leads back:
a valve hangs on every pair of splices. There are twelve switch positions.

1. nominal   building every position's network and solving its nominal values: below 15
2. whole     `solve_harness`: soak of every coil and largest current of every wire, by bounds
3. reading   the harness file itself

4. positions  `check` without changes of valves each with a switch of its own, 192 positions against
   48 in a harness 1.4 times as large: below 7
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

from circuitcheck import (
    Harness,
    Library,
    check_harness,
    read_harness,
    read_library,
    solve_harness,
)
from circuitcheck.circuit.build import build_network
from circuitcheck.circuit.positions import switch_positions
from circuitcheck.solve.bounds import bounds

SMALL, LARGE = 100, 1000
NOMINAL_LIMIT = 15.0
FEW, MANY = 4, 6
POSITIONS_LIMIT = 7.0
HEAD = """
format = 1
circuit = "many valves on one trunk"
system = "12 V"
[zone.cab]
ambient = ["-10 degC", "45 degC"]
[zone.boom]
ambient = ["-10 degC", "50 degC"]
[use]
longest_press = "20 s"
presses_per_hour = 60
[part.BAT]
kind = "battery"
type = "12 V flooded, 180 Ah"
zone = "cab"
[part.TAP]
kind = "supply tap"
zone = "cab"
contact = "crimp splice"
upstream = { fuse = "30 A blade", gauge = "8 AWG", length = "1.8 m", key = "on", \
cranking = "off", present_load = "1 A" }
[part.F1]
kind = "fuse"
zone = "cab"
rating = "15 A"
style = "blade"
[part.GRIP]
kind = "switch handle"
zone = "cab"
contacts = [
  { button = "front", action = "maintained", closes = ["feed", "out_front"] },
  { button = "rear", action = "maintained", closes = ["feed", "out_rear"] },
]
interlock = { kind = "none", between = ["front", "rear"] }
"""
COIL = """
[part.Y{n}]
kind = "solenoid coil"
zone = "boom"
type = "small valve coil, 12 V"
suppression = {{ kind = "diode", cathode = "1", reverse = "400 V", forward = "3 A" }}
"""
SWITCH = """
[part.SW{n}]
kind = "switch"
zone = "cab"
action = "momentary"
rating = [{{ current = "8 A", voltage = "16 V", load = "DC inductive" }}]
contact_resistance = ["2 mohm", "30 mohm"]
"""
WIRE = """
[wire.W{n}]
from = "{start}"
to = "{end}"
gauge = "12 AWG"
insulation = "XLPE 125"
length = "0.5 m"
route = ["{zone}"]
bundled = 3
"""


def harness_text(wires: int) -> str:
    """Return a harness of about so many wires: four for each valve, four more ahead of them."""
    valves = (wires - 4) // 4
    ends = [("TAP", "F1.line", "cab"), ("F1.load", "GRIP.feed", "cab")]
    parts = []
    feed = {"front": "GRIP.out_front", "rear": "GRIP.out_rear"}
    back = {"front": "BAT.-", "rear": "BAT.-"}
    for n in range(valves):
        side = "front" if n < valves // 2 else "rear"
        parts.append(COIL.format(n=n))
        parts += [f'[part.{name}{n}]\nkind = "splice"\nzone = "boom"\n' for name in ("F_", "R_")]
        ends += [
            (feed[side], f"F_{n}", "boom"),
            (f"F_{n}", f"Y{n}.1", "boom"),
            (f"Y{n}.2", f"R_{n}", "boom"),
            (f"R_{n}", back[side], "boom"),
        ]
        feed[side], back[side] = f"F_{n}", f"R_{n}"
    wire_texts = [
        WIRE.format(n=k, start=start, end=end, zone=zone)
        for k, (start, end, zone) in enumerate(ends)
    ]
    return HEAD + "".join(parts) + "".join(wire_texts)


def switched_text(switches: int) -> str:
    """Return a harness of so many valves, each with a switch and a way back of its own."""
    parts = ['[part.TRUNK]\nkind = "splice"\nzone = "cab"\n']
    ends = [("TAP", "F1.line", "cab"), ("F1.load", "TRUNK", "cab")]
    for n in range(switches):
        parts += [SWITCH.format(n=n), COIL.format(n=n)]
        ends += [
            ("TRUNK", f"SW{n}.line", "cab"),
            (f"SW{n}.load", f"Y{n}.1", "boom"),
            (f"Y{n}.2", "BAT.-", "boom"),
        ]
    wires = [WIRE.format(n=k, start=a, end=b, zone=zone) for k, (a, b, zone) in enumerate(ends)]
    return HEAD.partition("[part.GRIP]")[0] + "".join(parts) + "".join(wires)


def best_of_s(times: int, call: Callable[[], object]) -> float:
    """Shortest of several runs: the one least disturbed, in processor time."""
    found = []
    for _ in range(times):
        start = time.process_time()
        call()
        found.append(time.process_time() - start)
    return min(found)


def nominal(harness: Harness, library: Library) -> int:
    """Build every switch position, solve its nominal values; return how many nodes it took."""
    nodes = 0
    for position in switch_positions(harness):
        network = build_network(harness, library, position)
        shape = bounds.Network(
            len(network.node_names),
            network.starts,
            network.ends,
            network.source,
            network.reference,
        )
        ohms = [
            max(b.resistance_20c_ohm.nominal + b.contact_ohm.nominal, 1e-6)
            for b in network.branches
        ]
        solved = bounds.solve_corner(shape, ohms, 12.4)
        nodes += len(solved.node_v)
    return nodes


def whole(harness: Harness, library: Library) -> int:
    """Soak every coil and find how hot each wire gets in every position; return how many."""
    solution = solve_harness(harness, library)
    boxes = [position.ranges.box for position in solution.positions]
    return len(boxes)


def times_s(call: Callable[[Harness, Library], object], runs: int) -> tuple[float, float]:
    """Return the times for the small and the large harness [s]."""
    library = read_library()
    found = []
    for wires in (SMALL, LARGE):
        harness = read_harness("growth.toml", library, text=harness_text(wires))
        assert 0.95 * wires <= len(harness.wires) <= wires
        found.append(best_of_s(runs, lambda harness=harness: call(harness, library)))
    return found[0], found[1]


def reading(harness: Harness, library: Library) -> Harness:
    """Read a harness as large as this one from its text."""
    return read_harness("growth.toml", library, text=harness_text(len(harness.wires) + 2))


def positions_s(switches: int) -> float:
    """Return the time of `check` without changes [s]; the shapes of networks are known by then."""
    library = read_library()
    harness = read_harness("growth.toml", library, text=switched_text(switches))
    assert len(switch_positions(harness)) == 3 * 2**switches
    return best_of_s(3, lambda: check_harness(harness, library, changes=False))


def test_check_grows_with_the_positions() -> None:
    assert positions_s(MANY) / positions_s(FEW) < POSITIONS_LIMIT


def test_nominal_solution_of_all_positions_grows_less_than_fifteen_times() -> None:
    small, large = times_s(nominal, 5)
    assert large / small < NOMINAL_LIMIT


def main() -> int:
    """Print times and ratios; 1 where the limit is passed."""
    passed = True
    for name, call, runs in (
        ("reading", reading, 3),
        ("nominal", nominal, 5),
        ("whole", whole, 1),
    ):
        small, large = times_s(call, runs)
        limit = f", at most {NOMINAL_LIMIT:g}" if call is nominal else ""
        print(
            f"{name}: {SMALL} wires {small:.3f} s, {LARGE} wires {large:.3f} s, "
            f"{large / small:.1f} times{limit}"
        )
        passed = passed and (call is not nominal or large / small < NOMINAL_LIMIT)
    few, many = positions_s(FEW), positions_s(MANY)
    print(
        f"positions: {3 * 2**FEW} in {few:.3f} s, {3 * 2**MANY} in {many:.3f} s, "
        f"{many / few:.1f} times, at most {POSITIONS_LIMIT:g}"
    )
    passed = passed and many / few < POSITIONS_LIMIT
    return 0 if passed else 1


if __name__ == "__main__":
    sys.exit(main())
