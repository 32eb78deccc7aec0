"""Words of the fault effects that text, CSV and JSON share: local effect, end effect, detection."""

from __future__ import annotations

from collections.abc import Mapping

from circuitcheck.documents.quantity_text import METRIC, quantity_text
from circuitcheck.faults import fault as f
from circuitcheck.faults.effect_survey import (
    CHATTERS,
    DEAD,
    FUSE_OPENS,
    HOT,
    INDICATOR_WRONG,
    KEY_OFF_WORKS,
    LETS_GO,
    UNASKED,
    WEAK,
    WRONG_COIL,
)
from circuitcheck.faults.effects import CauseEffect, CauseEffects

LOCAL: Mapping[str, str] = {
    f.OPEN: "no current through it",
    f.HIGH_RESISTANCE: "part of the voltage is lost in it",
    f.SHORT_TO_FRAME: "current flows to the frame",
    f.SHORT_TO_WIRE: "current passes from one to the other",
    f.WRONG_FUSE: "it opens at another current than the wires need",
    f.BLOWN: "no current through it",
    f.SHORTED_TURNS: "more current, less force",
    f.SEIZED: "current as usual, the plunger does not move",
    f.FAILS_TO_CLOSE: "no current through the contact",
    f.FAILS_TO_OPEN: "the contact stays closed",
    f.SWAPPED: "two wires lead to the wrong places",
    f.INTERCHANGED: "two plugs sit on the wrong parts",
    f.HALF_MATED: "cavities carry no current",
    f.DEAD: "no voltage comes out of it",
    f.ALWAYS_ON: "it is live with the key off",
    f.SHORTED: "current goes past it",
    f.REVERSED: "it conducts the wrong way round",
    f.LOW: "less voltage than the file promises",
    f.WRONG_VALUE: "more or less current than meant",
}
"""Local effect by failure mode, in the sense of IEC 60812."""

END: Mapping[str, str] = {
    UNASKED: "{} works unasked",
    WRONG_COIL: "{} works in place of another",
    KEY_OFF_WORKS: "{} works without the key on",
    LETS_GO: "{} lets go",
    FUSE_OPENS: "fuse {} opens",
    HOT: "{} runs hot",
    CHATTERS: "{} chatters",
    DEAD: "{} dead",
    WEAK: "{} weak",
    INDICATOR_WRONG: "{} shows wrong",
}
NOT_SEEN = "nothing seen in any switch position"


def end_effect(effect: CauseEffect, *, system: str = METRIC) -> str:
    """Return an effect in words, from which severity on, with power and temperature."""
    words = END[effect.kind].format(effect.subject)
    if effect.severity:
        words += f" {_joint(effect.severity)} {effect.severity}"
    if effect.coil_state:
        words += f", {effect.coil_state}"
    heat = heat_text(effect, system=system)
    return f"{words} ({heat})" if heat else words


def heat_text(effect: CauseEffect, *, system: str = METRIC) -> str:
    """Return power, temperature with the limit that it passes, and what else is known of heat."""
    said = []
    if effect.value is not None:
        said.append(f"up to {quantity_text(effect.value, effect.unit, system=system)}")
    if effect.temperature_c is not None:
        said.append(quantity_text(effect.temperature_c, "degC", system=system))
    if effect.limit_c is not None:
        said.append(f"limit {quantity_text(effect.limit_c, 'degC', system=system)}")
    if effect.note:
        said.append(effect.note)
    return ", ".join(said)


def _joint(severity: str) -> str:
    if severity.endswith("ohm"):
        return "from"
    return "at" if severity[:1].isdigit() else "when"


def detection(one: CauseEffects) -> str:
    """Return how a cause shows, or that it does not."""
    return "; ".join(one.shows) if one.shows else NOT_SEEN
