"""A reading taken on the machine: with what, between which points, in which state."""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.record import record

ENGINE_STATES = ("off", "running", "cranking")
SUPPLY_AT_POSTS = "battery posts"


@record
class Situation:
    """The state of the machine while a reading is taken.

    `position` is the name of a switch position. `supply_v` is what the battery posts read at that
    moment, None where nobody looked. `unplugged` names the connectors that are pulled apart and
    the parts that are taken off or out (`X1`, `F1`, `VL`). `coils_warm` is whether the coils were
    on for long just before, None where not said.
    """

    position: str
    engine: str = "off"
    supply_v: float | None = None
    unplugged: frozenset[str] = frozenset()
    coils_warm: bool | None = None


@record
class Measurement:
    """What is asked of an instrument: its name, its two points, and the machine's state.

    `instrument` is a key of `model/instrument.py`. `plus` and `minus` are terminals (`X1.plug.2`,
    `BAT.-`); for an observation, a clamp round a wire or a look at a fuse, `plus` names the part
    or wire and `minus` is empty.
    """

    instrument: str
    plus: str
    minus: str
    situation: Situation

    def within(self, situation: Situation) -> Measurement:
        """Return the same measurement in another situation."""
        return replace(self, situation=situation)


@record
class Reading:
    """A measurement with its outcome.

    `value` is in the instrument's SI unit, infinite for an ohmmeter that shows no path; an
    observation is 1.0 for yes and 0.0 for no. `place` says where it was written (file and line),
    for error messages; `note` is the user's own words.
    """

    measurement: Measurement
    value: float
    place: str = ""
    note: str = ""
