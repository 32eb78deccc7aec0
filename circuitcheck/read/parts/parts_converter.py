"""Converter: its fields, and the record from them."""

from __future__ import annotations

from circuitcheck.model.converter import Converter
from circuitcheck.model.library_part_rows import ConverterRow
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.common_rules import AMPERES, ZONE_OF_PART
from circuitcheck.read.forms.fields import Field, Given
from circuitcheck.read.forms.quantities import Amount, Range, Spread
from circuitcheck.read.forms.references import LibraryRow
from circuitcheck.read.parts.part_context import PartContext, from_row, where_given
from circuitcheck.read.zones import range_text, union
from circuitcheck.units import CAPACITANCE, CURRENT, RESISTANCE, SHARE, VOLTAGE, text

CONVERTER = (
    ZONE_OF_PART,
    Field("type", LibraryRow("converters"), "trade type, gives all that the file does not",
          left_out="not needed where output and rated_current are given",
          unknown="the extremes of the library", measure="voltages and current printed on it"),
    Field("output", Spread(Amount(VOLTAGE, 3.0, 30.0)), "voltage of its output with nothing on",
          left_out="from the type", unknown="the extremes of the library",
          measure="the voltage from out to minus with nothing on"),
    Field("rated_current", AMPERES, "most that its output delivers", left_out="from the type",
          unknown="the least of the library", measure="the output current printed on it"),
    Field("output_resistance", Spread(Amount(RESISTANCE, 0.0, 10.0)),
          "what its output drops per ampere", left_out="from the type, else from the library",
          unknown="the extremes of the library",
          measure="the output voltage with nothing on and with a known load"),
    Field("efficiency", Range(Amount(SHARE, 0.1, 1.0)), "output over input power",
          left_out="from the type, else from the library", unknown="the extremes of the library",
          measure="the currents before and after it under a known load"),
    Field("idle_current", Range(Amount(CURRENT, 0.0, 10.0)), "input current with nothing on",
          left_out="from the type, else from the library", unknown="the extremes of the library",
          measure="the current into it with nothing on"),
    Field("input_capacitance", Spread(Amount(CAPACITANCE, 0.0, 1.0, above=True), tolerance=0.2),
          "of what charges when it is switched on; 20 % tolerance where none is given",
          left_out="not judged", unknown="not judged", measure="its data sheet"),
    Field("input", Range(Amount(VOLTAGE, 3.0, 60.0)), "range of input voltage it works in",
          left_out="not judged", unknown="not judged", measure="the range printed on it"),
)  # fmt: skip


def build_converter(given: Given, context: PartContext) -> Converter | None:
    """Return a converter; None after reporting what is missing or that it steps up."""
    row = given.optional("type", ConverterRow)
    if "type" not in given.values and not {"output", "rated_current"} <= set(given.values):
        given.place.problem(
            "neither type nor output and rated_current are given",
            'Give the type of a library row, or type = "unknown".',
        )
        return None
    rows = [row] if row else list(context.library.converters.values())
    if given.is_unknown("type"):
        given.assume("type", "the extremes of the library's converters")
    output = _settled(given, "output", [r.output_v for r in rows], "V", row)
    if output.upper >= context.system_v:
        place = given.at("output" if given.has("output") else "type")
        place.problem(
            f"{range_text(output, 'V')} is not below the {context.system_v:g} V of the system",
            "A converter that steps up is not handled: it draws most when the battery is low.",
        )
        return None
    reach = given.optional("input", Band)
    if reach is None:
        given.assume("input", "not known: not judged")
    least_a = min(r.rated_a for r in rows)
    # Of a type that nobody knows the least of the library only stands in, and is recorded.
    rated = given.usual if row else given.settled
    return Converter(
        name=given.subject,
        zone=context.zone,
        output_v=output,
        output_ohm=_settled(given, "output_resistance", [r.output_ohm for r in rows], "ohm", row),
        rated_a=rated("rated_current", float, least_a, f"{text(least_a, 'A')} (library)"),
        efficiency=_settled(given, "efficiency", [r.efficiency_fraction for r in rows], "%", row),
        idle_a=_settled(given, "idle_current", [Band.exact(r.idle_a) for r in rows], "A", row),
        input_v=(reach.lower, reach.upper) if reach else None,
        input_capacitance_f=where_given(given, "input_capacitance", Band, "not known: not judged"),
    )


def _settled(
    given: Given, key: str, bands: list[Band], unit: str, row: ConverterRow | None
) -> Band:
    """Return a value of the file, else of the type, else the library's extremes, recorded."""
    if row is not None:
        return from_row(given, key, bands, unit)
    widest = union(bands)
    return given.settled(key, Band, widest, f"{range_text(widest, unit)} (library)")
