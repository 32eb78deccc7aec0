"""Records of a test sheet: what is read where, what it must be, and what is done before."""

from __future__ import annotations

from circuitcheck.model.harness import Harness
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

VOLTS, DROP, OHMS, AMPERES, SEEN = "volts", "drop", "ohms", "amperes", "seen"
"""Kinds of line: voltage to battery minus or across a part; drop along a stretch; resistance with
the supply off; current; what is heard or seen."""

NO_PATH = "no path (OL)"
YES, NO = "yes", "no"

WIRED = "wired from start to end, supply off"
KEY_OFF, KEY_ON, PRESSED = "key off", "key on, nothing pressed", "pressed"
LOADED_DROP, RUNNING, CRANKING = "drop under load", "engine running", "cranking"
STAGES = (WIRED, KEY_OFF, KEY_ON, PRESSED, LOADED_DROP, RUNNING, CRANKING)


@record
class SheetLine:
    """One reading with what it must be.

    `of` is the part or wire it is about; `plus` and `minus` are the probes, `minus` empty where
    there is one place alone. `expected` is in SI and holds every machine within the file's limits,
    the meter's own error in it; None where `answer` says it in a word. `under_battery_v` is how
    far the point may lie below the battery posts, read at the same moment. `through` names the
    branches that a wrong reading would point to. `coil_state` is `cold` or `warm` where it matters.
    """

    kind: str
    of: str
    plus: str
    minus: str
    unit: str
    expected: Band | None
    answer: str = ""
    under_battery_v: Band | None = None
    through: tuple[str, ...] = ()
    coil_state: str = ""


@record
class SheetStep:
    """Readings in one state of the machine: switch position, engine, and what is apart or out.

    `works` names the coils that the position works, `pulled` those of them whose pull winding it
    feeds for longer than it may stay on: every reading is taken within that time.
    """

    stage: str
    position: str
    engine: str
    unplugged: tuple[str, ...]
    works: tuple[str, ...]
    lines: tuple[SheetLine, ...]
    pulled: tuple[str, ...] = ()


@record
class ReadingSheet:
    """The sheet of one harness; `every` where nothing is left out of it."""

    harness: Harness
    steps: tuple[SheetStep, ...]
    air_c: float
    every: bool
    instruments: tuple[str, ...]

    @property
    def count(self) -> int:
        """How many readings the sheet asks for."""
        return sum(len(step.lines) for step in self.steps)
