"""How the test sheet grows with the harness: 400 wires against 100, as a ratio in one run.

    python tests/benchmarks/sheet_growth.py
    pytest tests/benchmarks/sheet_growth.py

Three handles of two momentary buttons on one tap feed coils, each by a connector of its own there
and back: 64 combinations of buttons, of which the sheet visits six. Aimed at: 400 wires in less
than 20 s, and less than the square of the growth in wires, 16 times.

Met in processor time on one core: 1.2 s for 50 wires, 1.2 to 1.7 s for 100, 4.3 s for 200, 14.5 s
for 400, 8.5 to 12.5 times the time of 100. About half of it is how hot every combination makes
each coil with the engine running, which no fewer combinations can tell.

Not held: a ladder of splices with coils as rungs (`growth.harness_text`). Its drops have no certain
sign, and each is searched for: 200 wires take 6 s, 400 wires more than 100 s.
"""

from __future__ import annotations

import sys
from pathlib import Path

from circuitcheck import read_harness, read_library
from circuitcheck.readings.sheet_plan import expected_readings

sys.path.insert(0, str(Path(__file__).parent))
from growth import COIL, HEAD, WIRE, best_of_s

SMALL, LARGE = 100, 400
LIMIT = 16.0
HANDLES = 3
HANDLE = """
[part.H{h}]
kind = "switch handle"
zone = "cab"
contacts = [
  {{ button = "left", action = "momentary", closes = ["feed", "out_left"] }},
  {{ button = "right", action = "momentary", closes = ["feed", "out_right"] }},
]
interlock = {{ kind = "none", between = ["left", "right"] }}
"""
CONNECTOR = """
[part.X{n}]
kind = "connector"
zone = "boom"
cavities = 3
contact = "2.8 mm sealed"
"""
SPLICE = '\n[part.{name}]\nkind = "splice"\nzone = "boom"\n'


def handles_text(wires: int) -> str:
    """Return a harness of at most so many wires: four for each coil behind its connector."""
    parts = [SPLICE.format(name="TRUNK"), SPLICE.format(name="BACK")]
    ends = [("TAP", "F1.line", "cab"), ("F1.load", "TRUNK", "cab"), ("BACK", "BAT.-", "cab")]
    fed = []
    for h in range(HANDLES):
        parts.append(HANDLE.format(h=h))
        ends.append(("TRUNK", f"H{h}.feed", "cab"))
        for side in ("left", "right"):
            fed.append(f"S{h}_{side}")
            parts.append(SPLICE.format(name=fed[-1]))
            ends.append((f"H{h}.out_{side}", fed[-1], "cab"))
    for n in range((wires - len(ends)) // 4):
        parts += [CONNECTOR.format(n=n), COIL.format(n=n)]
        ends += [
            (fed[n % len(fed)], f"X{n}.plug.1", "boom"),
            (f"X{n}.receptacle.1", f"Y{n}.1", "boom"),
            (f"Y{n}.2", f"X{n}.receptacle.2", "boom"),
            (f"X{n}.plug.2", "BACK", "boom"),
        ]
    wired = [WIRE.format(n=k, start=a, end=b, zone=zone) for k, (a, b, zone) in enumerate(ends)]
    return HEAD.partition("[part.GRIP]")[0] + "".join(parts) + "".join(wired)


def sheet_s(wires: int, runs: int) -> float:
    """Return the processor time of a test sheet [s]."""
    library = read_library()
    harness = read_harness("sheet.toml", library, text=handles_text(wires))
    assert 0.95 * wires <= len(harness.wires) <= wires
    return best_of_s(runs, lambda: expected_readings(harness, library))


def test_a_test_sheet_of_four_times_the_wires() -> None:
    assert sheet_s(LARGE, 1) / sheet_s(SMALL, 3) < LIMIT


def main() -> int:
    """Print times and their ratio; 1 where the limit is passed."""
    small, large = sheet_s(SMALL, 3), sheet_s(LARGE, 1)
    print(
        f"test sheet: {SMALL} wires {small:.2f} s, {LARGE} wires {large:.2f} s, "
        f"{large / small:.1f} times, at most {LIMIT:g}"
    )
    return int(large / small >= LIMIT)


if __name__ == "__main__":
    sys.exit(main())
