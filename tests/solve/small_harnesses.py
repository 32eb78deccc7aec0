"""Small harnesses for the tests of the solution, each solved once. Invented."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from checks.harness_text import harness_text

from circuitcheck import Library, Solution, read_harness, read_library, solve_harness

ROOT = Path(__file__).parents[2]
EXAMPLES = {path.parent.name: path for path in sorted(ROOT.glob("examples/*/harness.toml"))}

MANY_LOOPS = """
[part.BOOM]
kind = "frame"
zone = "boom"
bonds = [
  { to = "CHASSIS", resistance = ["1 mohm", "20 mohm"] },
  { to = "BAT.-", resistance = ["5 mohm", "50 mohm"] },
]
[part.GND2]
kind = "ground stud"
zone = "boom"
frame = "BOOM"
bond = ["0.5 mohm", "5 mohm"]
[part.S2]
kind = "splice"
zone = "boom"
[wire.W20]
from = "S2"
to = "S1"
gauge = "16 AWG"
insulation = "XLPE 125"
length = "0.4 m"
route = ["boom"]
bundled = 2
[wire.W21]
from = "S2"
to = "GND2"
gauge = "16 AWG"
insulation = "XLPE 125"
length = "0.7 m"
route = ["boom"]
bundled = 2
[wire.W22]
from = "BAT.-"
to = "S2"
gauge = "16 AWG"
insulation = "XLPE 125"
length = "4 m"
route = ["cab", "boom"]
bundled = 2
"""
"""Two ground studs, their frames bonded to each other and to the post, and a return wire."""

BESIDE = """
[wire.W30]
from = "X1.receptacle.3"
to = "GND"
gauge = "24 AWG"
insulation = "PVC 80"
length = "3.2 m"
route = ["boom", "cab"]
bundled = 2
"""
"""A second return, much too thin for its share."""

TEXTS = {
    "two valves": {"GRIP": {"interlock": None}},
    "many loops in the return": {
        "GRIP": {"interlock": None},
        "W8": {"to": '"S2"'},
        "more": MANY_LOOPS,
    },
    "resistor across a coil, always live": {
        "VL": {"suppression": '{ kind = "resistor", resistance = ["50 ohm", "90 ohm"] }'},
        "upstream": {"key": '"always"'},
    },
    "overheated wire beside another": {
        "VL": {"resistance": '{ at_20degC = "0.3 ohm", tolerance = "0 %" }',
               "suppression": '"none"'},
        "X1": {"double_crimps": '["receptacle.3"]'},
        "GND": {"rings": "3"},
        "more": BESIDE,
    },
    "reversed diode": {
        "VL": {"suppression": '{ kind = "diode", cathode = "2", reverse = "400 V" }'},
    },
}  # fmt: skip
FILES = {
    "bridge in the return": ROOT / "tests/harnesses/good/bridge_return.toml",
    **EXAMPLES,
}


@lru_cache(maxsize=1)
def library() -> Library:
    return read_library()


@lru_cache(maxsize=32)
def solved_text(text: str) -> Solution:
    """A harness given as text, solved."""
    return solve_harness(read_harness("harness.toml", library(), text=text), library())


def solved(**changes: object) -> Solution:
    """The good harness of the checks' tests with keys changed, solved."""
    return solved_text(harness_text(**changes))


@lru_cache(maxsize=32)
def solved_as(name: str) -> Solution:
    """A harness of TEXTS or FILES, solved."""
    if name in FILES:
        return solve_harness(read_harness(FILES[name], library()), library())
    return solved(**TEXTS[name])
