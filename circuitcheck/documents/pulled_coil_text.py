"""The caution where a step feeds a pull winding that may not stay on."""

from __future__ import annotations

from circuitcheck.documents.quantity_text import quantity_text
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.readings.pulled_coils import is_too_brief_to_read

METER_FIRST = "Meter connected first, then on, read, off."


def pulled_words(
    coil: PullHoldCoil, *, is_metered: bool = True, is_fed_directly: bool = False
) -> str:
    """Return what keeps a pull winding on, how long it may be on, and how to read within that."""
    off = f"the pull winding of {coil.name} off."
    left_on = f"Nothing takes {off}"
    if is_fed_directly:
        left_on = f"Fed directly, nothing takes {off}"
    elif coil.cut_out == "unknown":
        left_on = f"It is not known what takes {off}"
    if coil.longest_pull_s is None:
        return f"{left_on} How long it stands being on is not known: find out first."
    limit = f"{left_on} On for {quantity_text(coil.longest_pull_s, 's')} at most, or it burns."
    cool = f"when {coil.name} is cool to the touch."
    if not is_metered:
        return f"{limit} Again {cool}"
    if is_too_brief_to_read((coil,)):
        return f"{limit} Too short to read a meter. Again {cool}"
    return f"{limit} {METER_FIRST} Next reading {cool}"
