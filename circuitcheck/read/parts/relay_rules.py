"""The fields of a relay and of a contactor."""

from __future__ import annotations

from circuitcheck.model.relay import CONTACT_SETS
from circuitcheck.read.common_rules import (
    AMPERES,
    BODY,
    LEAST_CURRENT,
    ZONE_OF_PART,
    contact_resistance,
    polarity_field,
    rating_field,
)
from circuitcheck.read.forms.fields import Field, TableOf
from circuitcheck.read.forms.forms import Word
from circuitcheck.read.forms.quantities import Amount, Range, Spread
from circuitcheck.read.forms.references import LibraryRow
from circuitcheck.read.parts.coil_rules import CLASSES
from circuitcheck.read.parts.suppression import suppression_field
from circuitcheck.units import RESISTANCE, TEMPERATURE, THERMAL_RESISTANCE, TIME, VOLTAGE

RELAY_ENDS = ("86", "85")
CONTACTOR_ENDS = ("A1", "A2")
COIL_VOLTS = Amount(VOLTAGE, 0.0, 60.0, above=True)
MOVING_TIME = Range(Amount(TIME, 0.0, 5.0, above=True))
THERMAL = TableOf((
    Field("resistance", Spread(Amount(THERMAL_RESISTANCE, 0.0, 1000.0, above=True)),
          "winding to air", left_out="from the type, else not judged", unknown="not judged",
          measure="the winding's rise after an hour on, by its resistance, over its power"),
    Field("limit", Amount(TEMPERATURE, 40.0, 300.0), "highest winding temperature",
          left_out="not judged", unknown="not judged", measure="the relay's data sheet"),
    Field("class", Word(tuple(CLASSES)), "insulation class, instead of the limit",
          unknown="not judged", measure="the relay's data sheet"),
), '{ resistance = "50 K/W", class = "F" }')  # fmt: skip


def _fields(kind: str, ends: tuple[str, str]) -> tuple[Field, ...]:
    sheet = f"the {kind}'s data sheet, by the number printed on it"
    from_type = "from the type, else not judged"
    return (
        ZONE_OF_PART,
        Field("type", LibraryRow("relays", (kind,)), "trade type, gives all that the file does not",
              unknown="resistance: all of the library of this voltage; the rest not judged",
              measure=sheet),
        Field("resistance", Spread(Amount(RESISTANCE, 0.1, 10_000.0), "at_20degC", 0.1),
              "of the winding at 20 degC, without a resistor inside; 10 % tolerance where none is "
              "given", left_out="from the type", unknown="all of the library of this voltage",
              measure=f"the resistance between {ends[0]} and {ends[1]}, unplugged and cold"),
        Field("rated", Amount(VOLTAGE, 1.0, 60.0), "voltage printed on it",
              left_out="from the type, else the system voltage", unknown="the system voltage",
              measure="the voltage printed on its case"),
        Field("pull_in", COIL_VOLTS, "voltage at which every one operates",
              left_out=from_type, unknown="not judged", measure=sheet),
        Field("drop_out", COIL_VOLTS, "voltage below which every one has released",
              left_out=from_type, unknown="not judged", measure=sheet),
        Field("highest", COIL_VOLTS, "highest voltage its coil may see",
              left_out=from_type, unknown="not judged", measure=sheet),
        Field("coil_at", Amount(TEMPERATURE, -40.0, 150.0),
              "winding temperature for which these voltages hold",
              left_out="from the type, else 20 degC", unknown="20 degC", measure=sheet),
        Field("thermal", THERMAL, "heat path and temperature limit", left_out=from_type,
              unknown="not judged", measure=sheet),
        Field("operate_time", MOVING_TIME, "from voltage on the coil to contacts moved",
              left_out=f"usual times, limits `{kind}_operate_s`",
              unknown=f"usual times, limits `{kind}_operate_s`",
              measure=sheet),
        Field("release_time", MOVING_TIME, "from voltage off the coil to contacts back",
              left_out=f"usual times, limits `{kind}_release_s`",
              unknown=f"usual times, limits `{kind}_release_s`",
              measure=sheet),
        polarity_field(ends),
        suppression_field(ends, left_out="from the type, else not known"),
    )  # fmt: skip


RELAY = (
    *_fields("relay", RELAY_ENDS),
    Field("contacts", Word(CONTACT_SETS), "make 30-87, break 30-87a, or changeover with both",
          left_out="from the type", unknown="changeover",
          measure="which terminals it has, and the circuit printed on its case"),
    contact_resistance("make_resistance", "the closed contact 30-87", "relay make contact"),
    contact_resistance("break_resistance", "the closed contact 30-87a", "relay break contact"),
    rating_field("rating", "contact 30-87"),
    rating_field("break_rating", "contact 30-87a"),
    Field("making_limit", AMPERES, "highest inrush that 30-87 may close on",
          left_out="from the type, else not judged", unknown="not judged",
          measure="the relay's data sheet"),
    Field("break_making_limit", AMPERES, "highest inrush that 30-87a may close on",
          left_out="from the type, else not judged", unknown="not judged",
          measure="the relay's data sheet"),
    LEAST_CURRENT,
)  # fmt: skip
CONTACTOR = (
    *_fields("contactor", CONTACTOR_ENDS),
    BODY,
    contact_resistance("make_resistance", "the closed main contact", "relay make contact"),
    rating_field("rating", "the main contact"),
    Field("making_limit", AMPERES, "highest inrush that the main contact may close on",
          left_out="from the type, else not judged", unknown="not judged",
          measure="the contactor's data sheet"),
    LEAST_CURRENT,
)  # fmt: skip
