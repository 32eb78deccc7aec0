"""The fields of a solenoid coil."""

from __future__ import annotations

from circuitcheck.model.solenoid_coil import HAZARDS
from circuitcheck.read.common_rules import BODY, ZONE_OF_PART, polarity_field
from circuitcheck.read.forms.fields import Field, TableOf
from circuitcheck.read.forms.forms import Either, Text, Word
from circuitcheck.read.forms.quantities import Amount, Range, Spread
from circuitcheck.read.forms.references import LibraryRow
from circuitcheck.read.parts.suppression import suppression_field
from circuitcheck.units import (
    FORCE,
    INDUCTANCE,
    LENGTH,
    MASS,
    RESISTANCE,
    SHARE,
    TEMPERATURE,
    THERMAL_RESISTANCE,
    TIME,
    VOLTAGE,
)

COIL_ENDS = ("1", "2")
CLASSES = {"Y": 90.0, "A": 105.0, "E": 120.0, "B": 130.0, "F": 155.0, "H": 180.0, "N": 200.0}
"""Highest temperature of an insulation class, degC (IEC 60085)."""
THERMAL = TableOf(
    (
        Field("resistance", Spread(Amount(THERMAL_RESISTANCE, 0.0, 1000.0, above=True)),
              "winding to air", left_out="library coils of like resistance",
              unknown="library coils of like resistance",
              measure="the winding's rise after two hours on, by its resistance, over its power"),
        Field("time_constant", Spread(Amount(TIME, 0.0, 86400.0, above=True)),
              "time to 63 % of the final rise", left_out="library coils of like resistance",
              unknown="library coils of like resistance",
              measure="the time to 63 % of the final rise"),
        Field("limit", Amount(TEMPERATURE, 40.0, 300.0), "highest winding temperature",
              left_out="not judged", unknown="not judged", measure="the coil's data sheet"),
        Field("class", Word(tuple(CLASSES)), "insulation class, instead of the limit",
              unknown="not judged", measure="the letter printed on the coil"),
    ),
    '{ resistance = "5 K/W", class = "H" }',
)  # fmt: skip
PLUNGER = TableOf(
    (
        Field("stroke", Amount(LENGTH, 0.0, 0.2, above=True), "way from released to seated",
              required=True),
        Field("mass", Amount(MASS, 0.0, 10.0, above=True), "of all that it moves", required=True),
        Field("spring", Range(Amount(FORCE, 0.0, 10_000.0, above=True)),
              "force of its spring, or two: released, seated", required=True),
        Field("load", Amount(FORCE, 0.0, 10_000.0), "force that the valve or latch adds",
              left_out="none"),
        Field("inductance", Range(Amount(INDUCTANCE, 0.0, 100.0, above=True)),
              "of the winding, released and seated, measured at 100 Hz or less", required=True),
    ),
    '{ stroke = "4 mm", mass = "20 g", spring = ["3 N", "6 N"], '
    'inductance = ["65 mH", "114 mH"] }',
)  # fmt: skip
MOVES = TableOf(
    (
        Field("valve", Text(60), "the valve it sits on"),
        Field("port", Text(60), "the port it opens"),
        Field("movement", Text(80), "what moves on the machine"),
        Field("hazard", Word(HAZARDS), "how that can hurt", left_out="unknown"),
        Field("hazard_if_lost", Word(HAZARDS), "how it can hurt if the coil lets go unasked",
              left_out="load can fall where `hazard` says so, else none"),
    ),
    '{ valve = "section valve", port = "left boom", movement = "opens left boom", '
    'hazard = "spray" }',
)  # fmt: skip
SHARE_OF_RATED = Amount(SHARE, 0.05, 3.0)
SOLENOID_COIL = (
    ZONE_OF_PART,
    Field("type", LibraryRow("coils"), "trade type, gives all that the file does not"),
    Field("resistance", Spread(Amount(RESISTANCE, 0.01, 10_000.0), "at_20degC", 0.1),
          "of the winding at 20 degC; 10 % tolerance where none is given",
          left_out="from the type", unknown="all library coils of this voltage",
          measure="the resistance between the coil's terminals, unplugged and cold, and the air "
                  "temperature"),
    Field("rated", Amount(VOLTAGE, 1.0, 60.0), "voltage printed on the coil",
          left_out="from the type, else the system voltage", unknown="the system voltage",
          measure="the voltage printed on the coil"),
    Field("pull_in", SHARE_OF_RATED, "share of rated voltage at which it must have moved",
          left_out="from the type, else limit `coil_pull_in_fraction`",
          unknown="limit `coil_pull_in_fraction`", measure="the coil's data sheet"),
    Field("highest", SHARE_OF_RATED, "highest share of rated voltage it may see",
          left_out="from the type, else limit `coil_highest_voltage_fraction`",
          unknown="limit `coil_highest_voltage_fraction`", measure="the coil's data sheet"),
    Field("rated_ambient", Amount(TEMPERATURE, -40.0, 120.0),
          "air temperature for which pull-in is stated", left_out="20 degC", unknown="20 degC",
          measure="the coil's data sheet"),
    Field("duty", Either(("continuous",), Amount(SHARE, 0.0, 1.0, above=True)),
          "share of time that the maker allows",
          left_out="from the type, else not judged", unknown="not judged",
          measure="the duty (ED) printed on the coil"),
    Field("thermal", THERMAL, "heat path and temperature limit",
          left_out="from the type, else library coils of like resistance",
          unknown="library coils of like resistance", measure="the coil's data sheet"),
    Field("inductance", Spread(Amount(INDUCTANCE, 0.0, 100.0, above=True)),
          "of the winding, plunger out to plunger in",
          left_out="from the type, else library coils of like resistance",
          unknown="library coils of like resistance", measure="the coil's data sheet"),
    polarity_field(COIL_ENDS),
    Field("drop_out", Range(SHARE_OF_RATED), "share of rated voltage below which it lets go",
          left_out="from the type, else limit `coil_drop_out_fraction`",
          unknown="limit `coil_drop_out_fraction`", measure="the coil's data sheet"),
    BODY,
    suppression_field(COIL_ENDS),
    Field("plunger", PLUNGER, "what it moves, for the time that it takes to pull in",
          left_out="not judged", unknown="not judged", measure="the coil's data sheet"),
    Field("moves", MOVES, "what the coil works, and how that can hurt",
          left_out="hazard unknown", unknown="hazard unknown",
          measure="what moves on the machine when the coil is on"),
)  # fmt: skip
