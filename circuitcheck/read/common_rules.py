"""Fields and limits that several kinds of part share."""

from __future__ import annotations

from circuitcheck.model.switch import CARRYING, LOADS
from circuitcheck.read.forms.fields import Field, TableOf
from circuitcheck.read.forms.forms import Either, Name, OneOrMore, Word
from circuitcheck.read.forms.quantities import Amount, Spread
from circuitcheck.read.forms.references import LibraryRow
from circuitcheck.units import CURRENT, RESISTANCE, TEMPERATURE, VOLTAGE

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


def rating_field(key: str, what: str) -> Field:
    """Return the field of a contact's ratings."""
    return Field(
        key,
        OneOrMore(TableOf((
            Field("current", AMPERES, "current of the rating", required=True),
            Field("voltage", VOLTS, "voltage it holds for", required=True),
            Field("load", Word(BREAKING_LOADS), "load it holds for", required=True),
            Field("ambient", Amount(TEMPERATURE, -60.0, 200.0), "air it holds in"),
        ), '{ current = "3 A", voltage = "14 V", load = "DC inductive" }'), 20),
        f"rating of {what}, with the voltage and load it holds for",
        left_out="from the type, else not judged", unknown="not judged",
        measure="the rating printed on the part or in its data sheet, for direct current",
    )  # fmt: skip


def polarity_field(terminals: tuple[str, ...]) -> Field:
    """Return the field that says which terminal must be positive."""
    example = f'{{ plus = "{terminals[0]}" }}'
    return Field(
        "polarity", Either(("either",), TableOf((
            Field("plus", Word(terminals), "terminal that must be positive", required=True),
        ), example)), "whether it matters which way round", left_out="either",
        unknown="either", measure=f"whether the part or its plug is marked + or {terminals[0]}",
    )  # fmt: skip


BREAKING_LOADS = tuple(load for load in LOADS if load != CARRYING)
LEAST_CURRENT = Field(
    "least_current", AMPERES, "current that its contacts need to stay clean",
    left_out="from the type, else not judged", unknown="not judged",
    measure="the least current in its data sheet, and whether its contacts are silver or gold",
)  # fmt: skip
BODY = Field(
    "body", TableOf((
        Field("frame", Name("frame"), "frame that the body sits on", required=True),
        contact_resistance("resistance", "the body on its frame", "frame bond"),
    ), '{ frame = "CHASSIS" }'),
    "the frame, where the coil's second end is its own body",
    left_out="both ends of the coil have terminals",
)  # fmt: skip
