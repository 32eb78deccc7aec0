"""The fields of a pull and hold coil."""

from __future__ import annotations

from circuitcheck.model.pull_hold_coil import CUT_OUTS
from circuitcheck.read.common_rules import ZONE_OF_PART, polarity_field
from circuitcheck.read.forms.fields import Field, TableOf
from circuitcheck.read.forms.forms import Either, Word
from circuitcheck.read.forms.quantities import Amount, Range, Spread
from circuitcheck.read.forms.references import LibraryRow
from circuitcheck.read.parts.coil_rules import CLASSES, MOVES, SHARE_OF_RATED
from circuitcheck.read.parts.suppression import suppression_field
from circuitcheck.units import (
    INDUCTANCE,
    RESISTANCE,
    SHARE,
    TEMPERATURE,
    THERMAL_RESISTANCE,
    TIME,
    VOLTAGE,
)

FROM_TYPE = "from the type, else not judged"
ENDS = ("hold", "common")
SHEET = "the data sheet of the coil, by the number on its label"
THERMAL = TableOf((
    Field("resistance", Spread(Amount(THERMAL_RESISTANCE, 0.0, 1000.0, above=True)),
          "hold winding to air", left_out=FROM_TYPE, unknown="not judged",
          measure="the winding's rise after two hours on, by its resistance, over its power"),
    Field("time_constant", Spread(Amount(TIME, 0.0, 86400.0, above=True)),
          "time to 63 % of the final rise", left_out=FROM_TYPE, unknown="not judged",
          measure="the time to 63 % of the final rise"),
    Field("limit", Amount(TEMPERATURE, 40.0, 300.0), "highest winding temperature",
          left_out=FROM_TYPE, unknown="not judged", measure=SHEET),
    Field("class", Word(tuple(CLASSES)), "insulation class, instead of the limit",
          unknown="not judged", measure="the letter printed on the coil"),
), '{ resistance = "5 K/W", class = "H" }')  # fmt: skip


def _winding(name: str, ends: str) -> Field:
    return Field(
        f"{name}_resistance", Spread(Amount(RESISTANCE, 0.01, 10_000.0), "at_20degC", 0.1),
        f"of the {name} winding at 20 degC; 10 % tolerance where none is given",
        left_out="from the type",
        measure=f"the resistance between {ends}, unplugged and cold, and the air temperature",
    )  # fmt: skip


PULL_HOLD_COIL = (
    ZONE_OF_PART,
    Field("type", LibraryRow("pull_hold_coils"), "trade type, gives all that the file does not",
          left_out="not needed where both resistances are given"),
    _winding("pull", "pull and common"),
    _winding("hold", "hold and common"),
    Field("rated", Amount(VOLTAGE, 1.0, 60.0), "voltage printed on the coil",
          left_out="from the type, else the system voltage", unknown="the system voltage",
          measure="the voltage printed on the coil"),
    Field("cut_out", Word(tuple(word for word in CUT_OUTS if word != "unknown")),
          "what takes the pull winding off; with an internal switch there is no terminal pull",
          left_out="from the type, else nothing: the pull winding stays on",
          unknown="nothing: the pull winding stays on",
          measure="the current with the plunger in: it falls to a tenth where the pull winding is "
                  "cut out"),
    Field("longest_pull", Amount(TIME, 0.0, 3600.0, above=True),
          "longest time that the pull winding may be on", left_out="from the type, else not judged",
          unknown="not judged", measure=SHEET),
    Field("timer", Range(Amount(TIME, 0.0, 3600.0, above=True)),
          "how long an outside timer leaves the pull winding on", left_out="not judged",
          unknown="not judged", measure="how long the strong current flows, with a clamp ammeter"),
    Field("pull_in", SHARE_OF_RATED, "share of rated voltage at which it must have moved",
          left_out="from the type, else limit `coil_pull_in_fraction`",
          unknown="limit `coil_pull_in_fraction`", measure=SHEET),
    Field("hold", SHARE_OF_RATED, "share of rated voltage that keeps it in",
          left_out="not judged", unknown="not judged", measure=SHEET),
    Field("highest", SHARE_OF_RATED, "highest share of rated voltage it may see",
          left_out="from the type, else limit `coil_highest_voltage_fraction`",
          unknown="limit `coil_highest_voltage_fraction`", measure=SHEET),
    Field("drop_out", Range(SHARE_OF_RATED), "share of rated voltage below which it lets go",
          left_out="from the type, else limit `coil_drop_out_fraction`",
          unknown="limit `coil_drop_out_fraction`", measure=SHEET),
    Field("rated_ambient", Amount(TEMPERATURE, -40.0, 120.0),
          "air temperature for which pull-in is stated", left_out="20 degC", unknown="20 degC",
          measure=SHEET),
    Field("duty", Either(("continuous",), Amount(SHARE, 0.0, 1.0, above=True)),
          "share of time that the maker allows the hold winding", left_out="not judged",
          unknown="not judged", measure="the duty (ED) printed on the coil"),
    Field("thermal", THERMAL, "heat path and temperature limit", left_out=FROM_TYPE,
          unknown="not judged", measure=SHEET),
    Field("inductance", Spread(Amount(INDUCTANCE, 0.0, 100.0, above=True)),
          "of the hold winding", left_out="not judged", unknown="not judged", measure=SHEET),
    polarity_field(ENDS),
    suppression_field(ENDS),
    Field("moves", MOVES, "what the coil works, and how that can hurt",
          left_out="hazard unknown", unknown="hazard unknown",
          measure="what moves on the machine when the coil is on"),
)  # fmt: skip
