"""The caution where a step feeds a pull winding that may not stay on."""

from __future__ import annotations

from circuitcheck.documents.quantity_text import quantity_text
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.readings.pulled_coils import is_too_brief_to_read

METER_FIRST = "Meter connected first, then on, read, off."


def pulled_words(coil: PullHoldCoil) -> str:
    """Return what keeps a pull winding on, how long it may be on, and how to read within that."""
    left_on = (
        f"Nothing takes the pull winding of {coil.name} off."
        if coil.cut_out == "none"
        else f"It is not known what takes the pull winding of {coil.name} off."
    )
    if coil.longest_pull_s is None:
        return f"{left_on} How long it stands being on is not known: find out first."
    limit = f"{left_on} On for {quantity_text(coil.longest_pull_s, 's')} at most, or it burns."
    if is_too_brief_to_read((coil,)):
        return f"{limit} Too short to read a meter. Again when {coil.name} is cool to the touch."
    return f"{limit} {METER_FIRST} Next reading when {coil.name} is cool to the touch."
