"""What a reading costs a person: places to reach, things to pull apart, positions to change."""

from __future__ import annotations

from functools import cached_property

from circuitcheck.errors import LibraryError
from circuitcheck.model import instrument as i
from circuitcheck.model.battery import Battery
from circuitcheck.model.connector import Connector
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.reading import Measurement, Situation
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.splice import Splice

EVERY = "every reading"
LOOK, POST, STUD = "look or listen", "battery post", "frame or stud"
FUSE_POINT, FACE, BACK_PROBED = "fuse test point", "connector face", "back-probed"
COVERED, PIERCED = "behind a cover", "pierced wire"
LOAD, CLAMP, SUPPLY_OFF, FUSE_PULLED = (
    "load hung on", "clamp round a wire", "supply off", "fuse pulled",
)  # fmt: skip
UNPLUGGING, ANOTHER_POSITION, ENGINE = (
    "unplugging", "another position", "engine started or stopped",
)  # fmt: skip
FED_DIRECTLY, WARM_JOINT = "fed directly", "warm joint"
PLUGGED = (SolenoidCoil, PullHoldCoil)


class Efforts:
    """Efforts of the library's rows for one harness. [s]"""

    def __init__(self, harness: Harness, library: Library) -> None:
        self.harness, self._library = harness, library

    @cached_property
    def _seconds(self) -> dict[str, float]:
        return {row.name: row.effort_s for row in self._library.efforts.values()}

    def row_s(self, name: str) -> float:
        """Return one row's effort. Raises LibraryError where there is no such row."""
        if name not in self._seconds:
            raise LibraryError(f'library/efforts.csv has no row "{name}"')
        return self._seconds[name]

    def place(self, terminal: str, unplugged: frozenset[str]) -> str:
        """Return the row of the library that says how a terminal is reached."""
        name = terminal.split(".", 1)[0].split("/", 1)[0]
        part = self.harness.parts[name]
        if isinstance(part, Battery):
            return POST
        if isinstance(part, Frame | GroundStud):
            return STUD
        if isinstance(part, Fuse):
            return FUSE_POINT
        if isinstance(part, Connector | SolenoidCoil | PullHoldCoil):
            return FACE if name in unplugged else BACK_PROBED
        return PIERCED if isinstance(part, Splice) else COVERED

    def reading_s(self, measurement: Measurement) -> float:
        """Return the effort of a reading with the machine already in its state."""
        return self.row_s(EVERY) + self._taking_s(measurement)

    def _taking_s(self, measurement: Measurement) -> float:
        row = self._library.instrument(measurement.instrument)
        if row.kind == i.OBSERVATION:
            return self.row_s(OBSERVED.get(row.name, LOOK))
        if row.kind == i.CLAMP_AMMETER:
            return self.row_s(CLAMP)
        if row.kind == i.FUSE_MILLIVOLTS:
            return self.row_s(FUSE_POINT)
        unplugged = measurement.situation.unplugged
        points = (measurement.plus, measurement.minus)
        reached = sum(self.row_s(self.place(point, unplugged)) for point in points if point)
        if row.kind in (i.LOADED_VOLTMETER, i.LAMP_BY_EYE):
            return reached + self.row_s(LOAD)
        return reached + (self.row_s(SUPPLY_OFF) if row.kind == i.OHMMETER else 0.0)

    def change_s(self, before: Situation | None, after: Situation) -> float:
        """Return the effort of bringing the machine from one state into another."""
        if before is None:
            before = Situation(after.position)
        # the battery's clamp, off for an ohmmeter alone, is in that one's row
        changed = len((before.unplugged ^ after.unplugged) - {self.harness.battery.name})
        seconds = changed * self.row_s(UNPLUGGING)
        if before.position != after.position:
            seconds += self.row_s(ANOTHER_POSITION)
        if before.engine != after.engine:
            seconds += self.row_s(ENGINE)
        return seconds


OBSERVED = {"fuse looked at": FUSE_PULLED, "fed directly": FED_DIRECTLY, "warm joint": WARM_JOINT}
