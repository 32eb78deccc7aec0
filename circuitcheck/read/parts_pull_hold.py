"""Pull and hold coil: its fields, and the record from them."""

from __future__ import annotations

from circuitcheck.model.pull_hold_coil import CUT_OUTS, PullHoldCoil
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.coil_rules import CLASSES, MOVES, SHARE_OF_RATED
from circuitcheck.read.common_rules import ZONE_OF_PART, polarity_field
from circuitcheck.read.fields import Field, Given, TableOf
from circuitcheck.read.forms import Either, Word
from circuitcheck.read.part_context import PartContext, else_type, plus_terminal
from circuitcheck.read.parts_coil import RATED_AMBIENT_C, coil_moves
from circuitcheck.read.quantities import Amount, Range, Spread
from circuitcheck.read.suppression import read_suppression, suppression_field
from circuitcheck.units import (
    INDUCTANCE,
    RESISTANCE,
    SHARE,
    TEMPERATURE,
    THERMAL_RESISTANCE,
    TIME,
    VOLTAGE,
    text,
)

ENDS = ("hold", "common")
SHEET = "the data sheet of the coil, by the number on its label"
THERMAL = TableOf((
    Field("resistance", Spread(Amount(THERMAL_RESISTANCE, 0.0, 1000.0, above=True)),
          "hold winding to air", left_out="not judged", unknown="not judged",
          measure="the winding's rise after two hours on, by its resistance, over its power"),
    Field("time_constant", Spread(Amount(TIME, 0.0, 86400.0, above=True)),
          "time to 63 % of the final rise", left_out="not judged", unknown="not judged",
          measure="the time to 63 % of the final rise"),
    Field("limit", Amount(TEMPERATURE, 40.0, 300.0), "highest winding temperature",
          left_out="not judged", unknown="not judged", measure=SHEET),
    Field("class", Word(tuple(CLASSES)), "insulation class, instead of the limit",
          unknown="not judged", measure="the letter printed on the coil"),
), '{ resistance = "5 K/W", class = "H" }')  # fmt: skip


def _winding(name: str, ends: str) -> Field:
    return Field(
        f"{name}_resistance", Spread(Amount(RESISTANCE, 0.01, 10_000.0), "at_20degC", 0.1),
        f"of the {name} winding at 20 degC; 10 % tolerance where none is given", required=True,
        measure=f"the resistance between {ends}, unplugged and cold, and the air temperature",
    )  # fmt: skip


PULL_HOLD_COIL = (
    ZONE_OF_PART,
    _winding("pull", "pull and common"),
    _winding("hold", "hold and common"),
    Field("rated", Amount(VOLTAGE, 1.0, 60.0), "voltage printed on the coil",
          left_out="the system voltage", unknown="the system voltage",
          measure="the voltage printed on the coil"),
    Field("cut_out", Word(tuple(word for word in CUT_OUTS if word != "unknown")),
          "what takes the pull winding off; with an internal switch there is no terminal pull",
          required=True, unknown="nothing: the pull winding stays on",
          measure="the current with the plunger in: it falls to a tenth where the pull winding is "
                  "cut out"),
    Field("longest_pull", Amount(TIME, 0.0, 3600.0, above=True),
          "longest time that the pull winding may be on", left_out="not judged",
          unknown="not judged", measure=SHEET),
    Field("pull_in", SHARE_OF_RATED, "share of rated voltage at which it must have moved",
          left_out="limit `coil_pull_in_fraction`", unknown="limit `coil_pull_in_fraction`",
          measure=SHEET),
    Field("hold", SHARE_OF_RATED, "share of rated voltage that keeps it in",
          left_out="not judged", unknown="not judged", measure=SHEET),
    Field("highest", SHARE_OF_RATED, "highest share of rated voltage it may see",
          left_out="limit `coil_highest_voltage_fraction`",
          unknown="limit `coil_highest_voltage_fraction`", measure=SHEET),
    Field("drop_out", Range(SHARE_OF_RATED), "share of rated voltage below which it lets go",
          left_out="limit `coil_drop_out_fraction`", unknown="limit `coil_drop_out_fraction`",
          measure=SHEET),
    Field("rated_ambient", Amount(TEMPERATURE, -40.0, 120.0),
          "air temperature for which pull-in is stated", left_out="20 degC", unknown="20 degC",
          measure=SHEET),
    Field("duty", Either(("continuous",), Amount(SHARE, 0.0, 1.0, above=True)),
          "share of time that the maker allows the hold winding", left_out="not judged",
          unknown="not judged", measure="the duty (ED) printed on the coil"),
    Field("thermal", THERMAL, "heat path and temperature limit", left_out="not judged",
          unknown="not judged", measure=SHEET),
    Field("inductance", Spread(Amount(INDUCTANCE, 0.0, 100.0, above=True)),
          "of the hold winding", left_out="not judged", unknown="not judged", measure=SHEET),
    polarity_field(ENDS),
    suppression_field(ENDS),
    Field("moves", MOVES, "what the coil works, and how that can hurt",
          left_out="hazard unknown", unknown="hazard unknown",
          measure="what moves on the machine when the coil is on"),
)  # fmt: skip


def build_pull_hold_coil(given: Given, context: PartContext) -> PullHoldCoil | None:
    """Return the coil; None after reporting a hold winding that is the stronger one."""
    pull = given.value("pull_resistance", Band, Band.exact(0.0))
    hold = given.value("hold_resistance", Band, Band.exact(0.0))
    if hold.nominal <= pull.nominal:
        given.at("hold_resistance").problem(
            "the hold winding has no more resistance than the pull winding",
            "The pull winding is the strong one, of low resistance: are they swapped?",
        )
        return None
    thermal = given.optional("thermal", Given) or THERMAL.empty(given, "thermal")
    cut_out = given.settled("cut_out", str, "unknown", "nothing: the pull winding stays on")
    return PullHoldCoil(
        name=given.subject,
        zone=context.zone,
        rated_v=given.settled("rated", float, context.system_v, text(context.system_v, "V")),
        pull_20c_ohm=pull,
        hold_20c_ohm=hold,
        cut_out=cut_out,
        longest_pull_s=else_type(given, "longest_pull", float, None),
        pull_in_fraction=_limit(given, "pull_in", "coil_pull_in_fraction", context),
        hold_fraction=else_type(given, "hold", float, None),
        highest_fraction=_limit(given, "highest", "coil_highest_voltage_fraction", context),
        drop_out_fraction=_drop_out(given, context),
        rated_ambient_c=given.settled(
            "rated_ambient", float, RATED_AMBIENT_C, text(RATED_AMBIENT_C, "degC")
        ),
        duty=1.0
        if given.values.get("duty") == "continuous"
        else else_type(given, "duty", float, None),
        thermal_resistance_k_per_w=else_type(thermal, "resistance", Band, None),
        thermal_time_constant_s=else_type(thermal, "time_constant", Band, None),
        temperature_limit_c=_temperature_limit(thermal),
        inductance_h=else_type(given, "inductance", Band, None),
        plus=plus_terminal(given),
        suppression=read_suppression(given, ENDS),
        moves=coil_moves(given),
    )


def _limit(given: Given, key: str, limit: str, context: PartContext) -> float:
    usual = context.library.limit(limit).value
    return given.settled(key, float, usual, f"{text(usual, '%')} of rated voltage")


def _drop_out(given: Given, context: PartContext) -> Band:
    usual = context.library.limit("coil_drop_out_fraction").value
    said = f"{text(usual, '%')} of rated voltage"
    return given.settled("drop_out", Band, Band.exact(usual), said)


def _temperature_limit(thermal: Given) -> float | None:
    letter = thermal.optional("class", str)
    if letter is not None:
        return CLASSES[letter]
    return else_type(thermal, "limit", float, None)
