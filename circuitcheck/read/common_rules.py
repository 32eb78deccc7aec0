"""Fields and limits that several kinds of part share."""

from __future__ import annotations

from circuitcheck.read.fields import Field
from circuitcheck.read.forms import Name
from circuitcheck.read.quantities import Amount, Spread
from circuitcheck.read.references import LibraryRow
from circuitcheck.units import CURRENT, RESISTANCE, VOLTAGE

VOLTS = Amount(VOLTAGE, 0.0, 1000.0, above=True)
AMPERES = Amount(CURRENT, 0.0, 1000.0, above=True)
MILLIOHMS = Spread(Amount(RESISTANCE, 0.0, 10.0))

ZONE_OF_PART = Field(
    "zone", Name("zone"), "zone the part sits in",
    left_out="the zone in which its wires end, else the extremes of all zones",
    unknown="the extremes of all zones", measure="where the part sits",
)  # fmt: skip
INSULATION = Field(
    "insulation", LibraryRow("insulation"), "insulation class",
    left_out="the 60 degC class", unknown="the 60 degC class",
    measure="the type printed on the wire, or ask the seller for its temperature class",
)  # fmt: skip


def contact_resistance(key: str, what: str, row: str, remark: str = "") -> Field:
    """Return the field of a contact's resistance, new to aged, with its library row."""
    return Field(
        key, MILLIOHMS, f"resistance of {what}, new to aged{remark}",
        left_out=f"library contact `{row}`", unknown=f"library contact `{row}`",
        measure=f"the voltage drop across {what} at a known current",
    )  # fmt: skip
