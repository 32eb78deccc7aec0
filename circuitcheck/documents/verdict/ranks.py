"""What a failure can do, by check: the order in which a verdict names failures, dangerous first."""

from __future__ import annotations

from collections.abc import Mapping

from circuitcheck.checks.finding import Finding
from circuitcheck.model.harness import Harness
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil

FIRE = "fire"
HAZARD = "hazard"
FUNCTION = "function"
PRACTICE = "practice"
RANKS = (FIRE, HAZARD, FUNCTION, PRACTICE)
"""Something burns; something moves, stays on or stops that must not; the add-on does not work as
it should; a rule of good practice is passed. Common practice, no source."""

RANK_OF: Mapping[str, str] = {
    "wiring complete and protected": FIRE,
    "fuse protects wire": FIRE,
    "dead short cleared": FIRE,
    "unprotected length": FIRE,
    "overload region": FIRE,
    "fuse breaking capacity": FIRE,
    "fuse near source": FIRE,
    "wire ampacity": FIRE,
    "connector rating": FIRE,
    "diode and resistor rating": FIRE,
    "pull winding left on": FIRE,
    "movement hazard": HAZARD,
    "single short works a coil": HAZARD,
    "single fault works a coil": HAZARD,
    "tap may be used": HAZARD,
    "isolator": HAZARD,
    "switch rating": HAZARD,
    "relay contact": HAZARD,
    "making current": HAZARD,
    "coil released when off": HAZARD,
    "release time": HAZARD,
    "coil lost while cranking": HAZARD,
    "coil returns after cranking": HAZARD,
    "held coil dips": HAZARD,
    "sneak path": HAZARD,
    "coil pull-in": FUNCTION,
    "pull and hold voltage": FUNCTION,
    "plunger seats": FUNCTION,
    "coil highest voltage": FUNCTION,
    "coil temperature": FUNCTION,
    "duty": FUNCTION,
    "relay coil": FUNCTION,
    "wetting current": FUNCTION,
    "indicator": FUNCTION,
    "LED current": FUNCTION,
    "relay state": FUNCTION,
    "battery drain": FUNCTION,
    "jump start": FUNCTION,
    "load dump": FUNCTION,
    "reversed battery": FUNCTION,
    "fuse continuous load": FUNCTION,
    "inrush against fuse": FUNCTION,
    "nuisance opening": FUNCTION,
    "fuse ageing": FUNCTION,
    "tap capacity": FUNCTION,
    "converter rating": FUNCTION,
    "voltage drop": PRACTICE,
    "drop of each element": PRACTICE,
    "selectivity of fuses in series": PRACTICE,
    "wire fit": PRACTICE,
    "terminal stack": PRACTICE,
    "plating and wet zone": PRACTICE,
    "ground path": PRACTICE,
    "suppression": PRACTICE,
    "suppression rating": PRACTICE,
    "suppressor in repeated use": PRACTICE,
    "switch-off peak": PRACTICE,
}
"""By name of the check. A switch contact beyond its rating may weld and leave a coil on."""

HARMLESS_FAULTS = {
    "open end": FUNCTION,
    "not connected": FUNCTION,
    "no return": FUNCTION,
    "no feed": FUNCTION,
    "fed at both ends": FUNCTION,
    "idle contact": FUNCTION,
    "too many wires": PRACTICE,
}
"""Faults of the wiring that let nothing burn, by the kind that begins the finding's quantity."""


def rank_of(finding: Finding, harness: Harness) -> int:
    """Return the place of a finding's rank in RANKS; a check without a rank counts as the first."""
    rank = RANK_OF.get(finding.check, FIRE)
    if finding.check == "wiring complete and protected":
        rank = HARMLESS_FAULTS.get(finding.quantity.partition(":")[0], rank)
    elif is_reversed_diode(finding, harness) or _is_short_on_reversal(finding):
        rank = FIRE
    return RANKS.index(rank)


def _is_short_on_reversal(finding: Finding) -> bool:
    """Return whether a diode shorts a reversed battery with no fuse sure to open."""
    return finding.check == "reversed battery" and "diode" in finding.quantity


def is_reversed_diode(finding: Finding, harness: Harness) -> bool:
    """Return whether a finding is about a bare diode across a winding, reversed it is a short."""
    part = harness.parts.get(finding.subject)
    if finding.check != "suppression" or not finding.quantity.startswith("polarity"):
        return False
    if finding.quantity != "polarity":
        return True  # of a diode wired across
    return (
        isinstance(part, SolenoidCoil | Relay | PullHoldCoil) and part.suppression.kind == "diode"
    )
