"""State of each relay: certain in every position, whatever the tolerances are.

Finds       a relay that operates in one machine and rests in another; one that buzzes
Formula     none of its own: operate voltage of the hot winding, release voltage of the cold one,
            against the voltage at its coil at every step
Source      relay-data-sheet (pull-in, drop-out, and that both follow the winding's temperature)
Worst case  every step of the settling from rest, after every press, release and turn of the key, in
            both coil states, everything at the end of its tolerance that leaves it open
Not covered chatter by vibration; contacts that stick; time: which of two relays is the faster
Result      one finding per relay; the positions that are open are named
"""

from __future__ import annotations

import math

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.contacts.hot_relay import hangs_on_unknown
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding
from circuitcheck.model.relay import Relay

NAME = "relay state"
STATE = "state of the relay in every position"
WHY = "One machine within its tolerances has the contacts closed, another open."
SURE = "Certain in every position."
ASK = "Pull-in, drop-out or heat of the relay is not known: read them in its data sheet."
SOURCES = ("relay-data-sheet",)


def judge(case: Case) -> list[Finding]:
    """Return one finding per relay."""
    return [_finding(case, relay) for relay in case.harness.of_kind(Relay)]


def _finding(case: Case, relay: Relay) -> Finding:
    open_ones = [
        one
        for one in case.solution.undetermined_relays
        # A coil that hangs on nothing rests for sure.
        if one.relay == relay.name and not math.isnan(one.across_v.lower)
    ]
    if not open_ones:
        return Finding(NAME, relay.name, PASS, STATE, SURE, sources=SOURCES)
    # Where all figures are known the relay is at fault, else nothing is proved.
    at_fault = [one for one in open_ones if not hangs_on_unknown(case, relay, one)]
    first = (at_fault or open_ones)[0]
    return Finding(
        check=NAME,
        subject=relay.name,
        result=FAIL if at_fault else NOT_JUDGED,
        quantity=STATE,
        reason=f"{WHY} {first.reason}." if at_fault else f"{first.reason}. {ASK}",
        position=first.position,
        coil_state=first.coil_state,
        conditions=tuple(f"{one.position}, {one.coil_state}: {one.reason}" for one in open_ones),
        sources=SOURCES,
    )


CHECK = Check(
    name=NAME,
    judges="whether tolerances leave the state of each relay open in some position",
    why=WHY,
    does_not_cover="chatter by vibration; contacts that stick; which of two relays is faster",
    sources=SOURCES,
    judge=judge,
)
