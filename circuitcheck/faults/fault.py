"""One thing wrong with one part or wire, in the words of IEC 60812, and what it does to a circuit.

A fault is a list of changes to the nodes and branches of the circuit. What it is called, how it is
put right and how that is proved are for the person at the machine.
Source: words of failure mode, local and end effect: IEC 60812:2018 (failure modes and effects
analysis); how often each mode occurs is not said here.
"""

from __future__ import annotations

import math

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

OPEN = "open"
HIGH_RESISTANCE = "high resistance"
SHORT_TO_FRAME = "short to frame"
SHORT_TO_WIRE = "short to another wire"
WRONG_FUSE = "wrong fuse"
BLOWN = "blown"
SHORTED_TURNS = "shorted turns"
SEIZED = "seized"
FAILS_TO_CLOSE = "fails to close"
FAILS_TO_OPEN = "fails to open"
SWAPPED = "swapped"
INTERCHANGED = "interchanged"
HALF_MATED = "half-mated"
DEAD = "no output"
ALWAYS_ON = "on when it should be off"
SHORTED = "shorted"
REVERSED = "reversed"
LOW = "low output"
WRONG_VALUE = "wrong value"

MODES = (
    OPEN,
    HIGH_RESISTANCE,
    SHORT_TO_FRAME,
    SHORT_TO_WIRE,
    WRONG_FUSE,
    BLOWN,
    SHORTED_TURNS,
    SEIZED,
    FAILS_TO_CLOSE,
    FAILS_TO_OPEN,
    SWAPPED,
    INTERCHANGED,
    HALF_MATED,
    DEAD,
    ALWAYS_ON,
    SHORTED,
    REVERSED,
    LOW,
    WRONG_VALUE,
)
"""Failure modes, each a physical or functional one in the sense of IEC 60812."""


@record
class AddedOhm:
    """A branch has this much more resistance in series; infinite where it is open."""

    branch: str
    ohm: float = math.inf


@record
class OhmTimes:
    """A branch has its resistance times a factor above 0."""

    branch: str
    factor: float


@record
class AlwaysClosed:
    """A contact that is closed whatever works it."""

    branch: str


@record
class Joined:
    """Two terminals joined by a resistance that should not be there."""

    first: str
    second: str
    ohm: float


@record
class EndMoved:
    """The end of a branch that should land on terminal `at` lands on `to`."""

    branch: str
    at: str
    to: str


@record
class CurveOpen:
    """A lamp, LED, diode or converter that carries nothing, by the name of its branch."""

    curve: str


@record
class CurveReversed:
    """A diode or LED the other way round."""

    curve: str


@record
class RelayStuck:
    """A relay whose contacts stand operated, or at rest, whatever its coil does."""

    relay: str
    operated: bool


@record
class CoilSeized:
    """A coil that takes its current and moves nothing."""

    coil: str


@record
class SupplyAt:
    """The battery posts stand at this voltage, unless somebody has just read them."""

    volts: float


@record
class FuseRated:
    """Another fuse than the one the file names sits in the holder."""

    fuse: str
    rating_a: float
    element_ohm: Band


Change = (
    AddedOhm
    | OhmTimes
    | AlwaysClosed
    | Joined
    | EndMoved
    | CurveOpen
    | CurveReversed
    | RelayStuck
    | CoilSeized
    | SupplyAt
    | FuseRated
)


@record
class Fault:
    """One thing wrong, as a person would say it and as a circuit shows it.

    `name` is unique in a list and in plain words: `W5 open`. `subject` is the part or wire,
    `mode` one of MODES, `other` a second wire, cavity or connector, `severity` how bad where that
    comes in steps. `place` says where the repair is, `repair` what it is, `proof` the test that
    proves it done. `changes` is what it does to the circuit.
    """

    name: str
    subject: str
    mode: str
    other: str = ""
    severity: str = ""
    place: str = ""
    repair: str = ""
    proof: str = ""
    changes: tuple[Change, ...] = ()

    @property
    def cause(self) -> str:
        """Name without the severity: all severities of one cause share it."""
        return self.name.removesuffix(f", {self.severity}") if self.severity else self.name


Fault2 = tuple[Fault, Fault]
"""Two faults at once."""


def changes_of(fault: Fault | tuple[Fault, ...]) -> tuple[Change, ...]:
    """Return what a fault, or several at once, do to the circuit."""
    faults = (fault,) if isinstance(fault, Fault) else fault
    return tuple(change for one in faults for change in one.changes)


def name_of(fault: Fault | tuple[Fault, ...]) -> str:
    """Return the name of a fault, or of several at once."""
    faults = (fault,) if isinstance(fault, Fault) else fault
    return " and ".join(one.name for one in faults)
