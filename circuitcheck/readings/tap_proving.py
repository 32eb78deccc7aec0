"""May this tap be used: what its readings prove, before any harness file exists.

Each question is answered by itself (`tap_switching.py`, `tap_fuse.py`, `tap_stiffness.py`,
`tap_spare.py`), worst case; what was not measured is not judged, with what to measure.
"""

from __future__ import annotations

from circuitcheck.model.library import Library
from circuitcheck.model.tap_readings import TapReadings
from circuitcheck.readings.source_resistance import SourceResistance
from circuitcheck.readings.tap_answers import (
    FUSED,
    LIVE,
    MAY_BE_TAPPED,
    NO,
    ROOM,
    STIFF,
    UNKNOWN,
    YES,
    TapAnswer,
)
from circuitcheck.readings.tap_fuse import fused
from circuitcheck.readings.tap_spare import Spare, room, tap_spare
from circuitcheck.readings.tap_stiffness import highest_ohm, stiff, tap_resistance
from circuitcheck.readings.tap_switching import key_switched, live, may_be_tapped, while_cranking
from circuitcheck.record import record

NEEDED = (MAY_BE_TAPPED, FUSED, LIVE, STIFF, ROOM)
"""A `no` to one of these rules the tap out; the others say how it may be used."""


@record
class TapProof:
    """What the readings prove; `resistance` and `highest_ohm` are None where not known.

    `key` and `cranking` are as a harness file has them: on | always | unknown, on | off | unknown.
    """

    readings: TapReadings
    answers: tuple[TapAnswer, ...]
    spare: Spare
    resistance: SourceResistance | None
    highest_ohm: float | None
    key: str
    cranking: str

    def answer(self, question: str) -> TapAnswer:
        """Return the answer to one question."""
        return next(one for one in self.answers if one.question == question)

    @property
    def verdict(self) -> str:
        """`no` where one answer rules the tap out, else `not judged` where one is open.

        Whether the add-on meets a condition is not known here: that is open too.
        """
        if self.ruled_out_by:
            return NO
        return UNKNOWN if self.is_open or self.conditions else YES

    @property
    def ruled_out_by(self) -> tuple[TapAnswer, ...]:
        """The answers that rule the tap out."""
        return tuple(a for a in self.answers if a.question in NEEDED and a.answer == NO)

    @property
    def is_open(self) -> bool:
        """Whether a question could not be answered."""
        return UNKNOWN in {one.answer for one in self.answers}

    @property
    def conditions(self) -> tuple[str, ...]:
        """What alone may hang on the tap, where that is limited."""
        return tuple(one.condition for one in self.answers if one.condition)


def prove_tap(readings: TapReadings, library: Library) -> TapProof:
    """Return what the readings of a tap prove."""
    spare, found = tap_spare(readings, library), tap_resistance(readings, library)
    key, cranking = key_switched(readings), while_cranking(readings)
    answers = (
        may_be_tapped(readings),
        fused(readings, library, spare),
        live(readings, library),
        stiff(readings, library, found),
        room(readings, spare),
        key,
        cranking,
    )
    return TapProof(
        readings,
        answers,
        spare,
        found,
        highest_ohm(readings, library),
        key={YES: "on", NO: "always"}.get(key.answer, "unknown"),
        cranking={YES: "on", NO: "off"}.get(cranking.answer, "unknown"),
    )
