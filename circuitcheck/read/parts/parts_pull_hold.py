"""Pull and hold coil from its fields and its trade type."""

from __future__ import annotations

from circuitcheck.model.library_part_rows import PullHoldCoilRow
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.forms.fields import Given
from circuitcheck.read.parts.coil_rules import CLASSES
from circuitcheck.read.parts.part_context import PartContext, else_type, plus_terminal, where_given
from circuitcheck.read.parts.parts_coil import RATED_AMBIENT_C, coil_moves
from circuitcheck.read.parts.pull_hold_rules import ENDS, THERMAL
from circuitcheck.read.parts.suppression import read_suppression
from circuitcheck.units import text


def build_pull_hold_coil(given: Given, context: PartContext) -> PullHoldCoil | None:
    """Return the coil; None after reporting windings that are missing or swapped."""
    row = given.optional("type", PullHoldCoilRow)
    windings = _windings(given, row)
    if windings is None:
        return None
    thermal = given.optional("thermal", Given) or THERMAL.empty(given, "thermal")
    return PullHoldCoil(
        name=given.subject,
        zone=context.zone,
        rated_v=_rated(given, row, context),
        pull_20c_ohm=windings[0],
        hold_20c_ohm=windings[1],
        cut_out=_cut_out(given, row),
        longest_pull_s=else_type(given, "longest_pull", float, row.longest_pull_s if row else None),
        pull_in_fraction=_limit(
            given,
            "pull_in",
            "coil_pull_in_fraction",
            row.pull_in_fraction if row else None,
            context,
        ),
        hold_fraction=else_type(given, "hold", float, None),
        highest_fraction=_limit(
            given,
            "highest",
            "coil_highest_voltage_fraction",
            row.highest_voltage_fraction if row else None,
            context,
        ),
        drop_out_fraction=_drop_out(given, row, context),
        rated_ambient_c=_rated_ambient(given),
        duty=_duty(given),
        thermal_resistance_k_per_w=else_type(
            thermal, "resistance", Band, row.thermal_resistance_k_per_w if row else None
        ),
        thermal_time_constant_s=else_type(
            thermal, "time_constant", Band, row.thermal_time_constant_s if row else None
        ),
        temperature_limit_c=_temperature_limit(thermal, row),
        inductance_h=else_type(given, "inductance", Band, None),
        plus=plus_terminal(given),
        suppression=read_suppression(given, ENDS),
        moves=coil_moves(given),
        pull_time_s=_timer(given, row),
    )


def _windings(given: Given, row: PullHoldCoilRow | None) -> tuple[Band, Band] | None:
    """Return pull and hold resistance; None after reporting that they cannot be."""
    pull = given.value("pull_resistance", Band, row.pull_ohm if row else Band.exact(0.0))
    hold = given.value("hold_resistance", Band, row.hold_ohm if row else Band.exact(0.0))
    missing = [
        key
        for key in ("pull_resistance", "hold_resistance")
        if row is None and key not in given.values
    ]
    for key in missing:
        given.place.problem(f"{key} is missing", "Give it, or the type of a library row.")
    if missing:
        return None
    if hold.nominal <= pull.nominal:
        given.at("hold_resistance").problem(
            "the hold winding has no more resistance than the pull winding",
            "The pull winding is the strong one, of low resistance: are they swapped?",
        )
        return None
    return pull, hold


def _rated(given: Given, row: PullHoldCoilRow | None, context: PartContext) -> float:
    if row is not None and not given.is_unknown("rated"):
        return given.value("rated", float, row.rated_v)
    return given.settled("rated", float, context.system_v, text(context.system_v, "V"))


def _rated_ambient(given: Given) -> float:
    usual = RATED_AMBIENT_C
    return given.settled("rated_ambient", float, usual, text(usual, "degC"))


def _cut_out(given: Given, row: PullHoldCoilRow | None) -> str:
    if row is not None and not given.is_unknown("cut_out"):
        return given.value("cut_out", str, row.cut_out)
    return given.settled("cut_out", str, "unknown", "nothing: the pull winding stays on")


def _timer(given: Given, row: PullHoldCoilRow | None) -> Band | None:
    """Return the time of the outside timer; reports one where nothing is cut out by a timer."""
    stated = where_given(given, "timer", Band, "not known: not judged")
    cut_out = _cut_out(given, row)
    if stated is not None and cut_out != "outside timer":
        given.at("timer").problem(
            f"a timer, but cut_out is `{cut_out}`",
            'Give cut_out = "outside timer", or leave the timer out.',
        )
    return stated


def _limit(
    given: Given, key: str, limit: str, of_type: float | None, context: PartContext
) -> float:
    if of_type is not None and not given.is_unknown(key):
        return given.value(key, float, of_type)
    usual = context.library.limit(limit).value
    return given.settled(key, float, usual, f"{text(usual, '%')} of rated voltage")


def _drop_out(given: Given, row: PullHoldCoilRow | None, context: PartContext) -> Band:
    if row is not None and not given.is_unknown("drop_out"):
        return given.value("drop_out", Band, row.drop_out_fraction)
    usual = context.library.limit("coil_drop_out_fraction").value
    said = f"{text(usual, '%')} of rated voltage"
    return given.settled("drop_out", Band, Band.exact(usual), said)


def _duty(given: Given) -> float | None:
    if given.values.get("duty") == "continuous":
        return 1.0
    return else_type(given, "duty", float, None)


def _temperature_limit(thermal: Given, row: PullHoldCoilRow | None) -> float | None:
    letter = thermal.optional("class", str)
    if letter is not None:
        return CLASSES[letter]
    return else_type(thermal, "limit", float, row.temperature_class_c if row else None)
