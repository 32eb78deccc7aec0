"""The fields of indicators, diodes and resistors."""

from __future__ import annotations

from circuitcheck.read.common_rules import AMPERES, VOLTS, ZONE_OF_PART, polarity_field
from circuitcheck.read.forms.fields import Field
from circuitcheck.read.forms.forms import Number
from circuitcheck.read.forms.quantities import Amount, Spread
from circuitcheck.read.forms.references import LibraryRow
from circuitcheck.units import CURRENT, POWER, RESISTANCE, VOLTAGE

ENDS = ("1", "2")
RATED_VOLTS = Amount(VOLTAGE, 1.0, 60.0)
INDICATOR_LAMP = (
    ZONE_OF_PART,
    Field("type", LibraryRow("lamps"), "voltage and power printed on its base",
          left_out="not needed where power or current is given",
          unknown="all lamps of the library for this system",
          measure="the voltage and power printed on the lamp's base"),
    Field("power", Spread(Amount(POWER, 0.0, 200.0, above=True), tolerance=0.1),
          "at its rated voltage; 10 % tolerance where none is given", left_out="from the type"),
    Field("current", Spread(Amount(CURRENT, 0.0, 20.0, above=True), tolerance=0.1),
          "at its rated voltage, instead of the power", left_out="from power and rated voltage"),
    Field("rated", RATED_VOLTS, "voltage for which power or current holds",
          left_out="from the type, else the system voltage", unknown="the system voltage",
          measure="the voltage printed on the lamp's base"),
    Field("cold_ratio", Number(1.0, 30.0), "hot over cold resistance",
          left_out="from the type, else the extremes of the library",
          unknown="the extremes of the library",
          measure="the cold resistance with a meter, against rated voltage over rated current"),
)  # fmt: skip
LED_INDICATOR = (
    ZONE_OF_PART,
    Field("type", LibraryRow("leds"), "system voltage and colour",
          left_out="not needed where forward and series are given",
          unknown="all LEDs of the library for this system",
          measure="its colour, and the voltage it is sold for"),
    Field("forward", Spread(Amount(VOLTAGE, 0.5, 20.0)),
          "voltage of the LED alone, just lit to fully lit", left_out="from the type",
          unknown="all LEDs of the library for this system",
          measure="the voltage across the LED behind its resistor, lit"),
    Field("series", Spread(Amount(RESISTANCE, 1.0, 1e6), tolerance=0.1),
          "resistor in series with the LED; 10 % tolerance where none is given",
          left_out="from the type", unknown="all LEDs of the library for this system",
          measure="the current at a known voltage: (voltage - forward voltage) / current"),
    Field("rated", RATED_VOLTS, "voltage it is sold for",
          left_out="from the type, else the system voltage", unknown="the system voltage",
          measure="the voltage printed on it"),
    Field("reverse", VOLTS, "voltage it withstands the wrong way round",
          left_out="from the type, else not judged", unknown="not judged",
          measure="its data sheet"),
    polarity_field(ENDS),
)  # fmt: skip
DIODE = (
    ZONE_OF_PART,
    Field("type", LibraryRow("diodes"), "trade type, gives all that the file does not",
          left_out="not needed where forward and current are given",
          unknown="the extremes of the library",
          measure="the number printed on the diode, in its data sheet"),
    Field("forward", Spread(Amount(VOLTAGE, 0.1, 5.0)),
          "voltage at which it conducts, from just conducting to its rated current",
          left_out="from the type", unknown="the extremes of the library",
          measure="the voltage across it while it conducts"),
    Field("current", AMPERES, "most it may carry", left_out="from the type",
          unknown="the least of the library", measure="its data sheet"),
    Field("reverse", VOLTS, "reverse voltage", left_out="from the type, else not judged",
          unknown="not judged", measure="its data sheet"),
)  # fmt: skip
RESISTOR = (
    ZONE_OF_PART,
    Field("resistance", Spread(Amount(RESISTANCE, 0.001, 1e7), tolerance=0.05),
          "5 % tolerance where none is given", required=True,
          measure="its resistance, taken out of the circuit"),
    Field("power", Amount(POWER, 0.0, 1000.0, above=True), "power rating",
          left_out="not judged", unknown="not judged", measure="the rating printed on it"),
)  # fmt: skip
