"""Converter: its fields, and the record from them."""

from __future__ import annotations

from circuitcheck.model.converter import Converter
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.common_rules import AMPERES, ZONE_OF_PART
from circuitcheck.read.fields import Field, Given
from circuitcheck.read.part_context import PartContext
from circuitcheck.read.quantities import Amount, Range, Spread
from circuitcheck.read.zones import range_text
from circuitcheck.units import CURRENT, RESISTANCE, SHARE, VOLTAGE

OUTPUT_OHM = Band(0.0, 0.02, 0.1)
"""Assumed output resistance: load regulation of a few percent; common practice, no source."""
EFFICIENCY = Band(0.75, 0.85, 0.95)
"""Assumed output over input power; common practice, no source."""
IDLE_A = Band(0.0, 0.02, 0.1)
"""Assumed input current with nothing on; common practice, no source."""

CONVERTER = (
    ZONE_OF_PART,
    Field("output", Spread(Amount(VOLTAGE, 3.0, 30.0)), "voltage of its output with nothing on",
          required=True, measure="the voltage from out to minus with nothing on"),
    Field("rated_current", AMPERES, "most that its output delivers", required=True,
          measure="the output current printed on it"),
    Field("output_resistance", Spread(Amount(RESISTANCE, 0.0, 10.0)),
          "what its output drops per ampere", left_out=f"{range_text(OUTPUT_OHM, 'ohm')}",
          unknown=f"{range_text(OUTPUT_OHM, 'ohm')}",
          measure="the output voltage with nothing on and with a known load"),
    Field("efficiency", Range(Amount(SHARE, 0.1, 1.0)), "output over input power",
          left_out=range_text(EFFICIENCY, "%"), unknown=range_text(EFFICIENCY, "%"),
          measure="the currents before and after it under a known load"),
    Field("idle_current", Range(Amount(CURRENT, 0.0, 10.0)), "input current with nothing on",
          left_out=range_text(IDLE_A, "A"), unknown=range_text(IDLE_A, "A"),
          measure="the current into it with nothing on"),
    Field("input", Range(Amount(VOLTAGE, 3.0, 60.0)), "range of input voltage it works in",
          left_out="not judged", unknown="not judged", measure="the range printed on it"),
)  # fmt: skip


def build_converter(given: Given, context: PartContext) -> Converter | None:
    """Return a converter; None after reporting an output that is no lower than the system."""
    output = given.value("output", Band, Band.exact(0.0))
    if output.upper >= context.system_v:
        given.at("output").problem(
            f"{range_text(output, 'V')} is not below the {context.system_v:g} V of the system",
            "A converter that steps up is not handled: it draws most when the battery is low.",
        )
        return None
    reach = given.optional("input", Band)
    if reach is None:
        given.assume("input", "not known: not judged")
    return Converter(
        name=given.subject,
        zone=context.zone,
        output_v=output,
        output_ohm=_else(given, "output_resistance", OUTPUT_OHM, "ohm"),
        rated_a=given.value("rated_current", float, 0.0),
        efficiency=_else(given, "efficiency", EFFICIENCY, "%"),
        idle_a=_else(given, "idle_current", IDLE_A, "A"),
        input_v=(reach.lower, reach.upper) if reach else None,
    )


def _else(given: Given, key: str, usual: Band, unit: str) -> Band:
    said = f"{range_text(usual, unit)} (common practice)"
    return given.settled(key, Band, usual, said)
