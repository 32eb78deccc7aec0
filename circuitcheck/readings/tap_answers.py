"""One question about a tap, with its answer in words."""

from __future__ import annotations

from circuitcheck.record import record

YES, NO, UNKNOWN = "yes", "no", "not judged"

MAY_BE_TAPPED = "may this circuit be tapped"
FUSED = "behind a fuse that its wire stands"
LIVE = "live with the key on"
KEY_SWITCHED = "dead with the key off"
CRANKING = "stays on while cranking"
STIFF = "stiff enough for the wanted current"
ROOM = "room for the wanted current"


@record
class TapAnswer:
    """One question with its answer in words; `measure` says what would settle it.

    `in_short` is a `no` in a few words; `condition` what the tap may then be used for at all.
    """

    question: str
    answer: str
    because: str
    measure: str = ""
    in_short: str = ""
    condition: str = ""
