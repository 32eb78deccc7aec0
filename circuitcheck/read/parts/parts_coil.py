"""Solenoid coil from its fields, its trade type and the library's coils like it."""

from __future__ import annotations

from collections.abc import Callable

from circuitcheck.model.library_rows import CoilRow
from circuitcheck.model.solenoid_coil import Moves, Plunger, SolenoidCoil
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.forms.fields import Given
from circuitcheck.read.parts.coil_rules import CLASSES, COIL_ENDS, THERMAL
from circuitcheck.read.parts.part_context import PartContext, coil_body, plus_terminal, where_given
from circuitcheck.read.parts.suppression import read_suppression
from circuitcheck.read.zones import range_text, union
from circuitcheck.units import text

RATED_AMBIENT_C = 20.0
WIDEST_RESISTANCE_OHM = Band(0.1, 10.0, 1000.0)
"""Assumed for a coil of unknown resistance at a voltage that the library has no coil for."""


def build_solenoid_coil(given: Given, context: PartContext) -> SolenoidCoil | None:
    """Return the coil; None after reporting that nothing says what its resistance is.

    What neither file nor type gives is taken from the library's coils of the same voltage with
    like resistance, or from all of that voltage where none is like it; each is recorded.
    """
    row = given.optional("type", CoilRow)
    if row is None and "resistance" not in given.values:
        given.place.problem(
            "neither type nor resistance is given",
            'Give resistance = { at_20degC = "7.2 ohm", tolerance = "10 %" }, or "unknown", '
            "or the type of a library row.",
        )
        return None
    rated_v = _rated(given, row, context)
    like = [row] if row else _of_voltage(context, rated_v)
    resistance = _resistance(given, row, like)
    if row is None:
        overlapping = [r for r in like if _overlap(r.resistance_ohm, resistance)]
        like = overlapping or like
    stated = given.optional("thermal", Given)
    thermal = stated or THERMAL.empty(given, "thermal")
    body_frame, body_ohm = coil_body(given)
    return SolenoidCoil(
        name=given.subject,
        zone=context.zone,
        rated_v=rated_v,
        resistance_20c_ohm=resistance,
        pull_in_fraction=_fraction(given, "pull_in", row, context, "coil_pull_in_fraction"),
        highest_fraction=_fraction(given, "highest", row, context, "coil_highest_voltage_fraction"),
        rated_ambient_c=given.settled(
            "rated_ambient", float, RATED_AMBIENT_C, text(RATED_AMBIENT_C, "degC")
        ),
        duty=_duty(given, row),
        thermal_resistance_k_per_w=_like(
            thermal, "resistance", "K/W", row, like, lambda r: r.thermal_resistance_k_per_w
        ),
        thermal_time_constant_s=_like(
            thermal, "time_constant", "s", row, like, lambda r: r.thermal_time_constant_s
        ),
        temperature_limit_c=_temperature_limit(given, thermal, row),
        inductance_h=_like(given, "inductance", "H", row, like, lambda r: r.inductance_h),
        plus=plus_terminal(given),
        suppression=read_suppression(given, COIL_ENDS),
        moves=coil_moves(given),
        drop_out_fraction=_drop_out(given, row, context),
        body_frame=body_frame,
        body_ohm=body_ohm,
        plunger=_plunger(given),
    )


def _plunger(given: Given) -> Plunger | None:
    """Return what the coil moves; None where it is not given or cannot be."""
    stated = where_given(given, "plunger", Given, "not known: not judged")
    if stated is None or stated.broken:
        return None
    nothing = Band.exact(0.0)
    inductance = stated.value("inductance", Band, nothing)
    spring = stated.value("spring", Band, nothing)
    if inductance.lower >= inductance.upper:
        stated.at("inductance").problem(
            "the inductance released and seated is the same",
            'Give both, released first: ["65 mH", "114 mH"].',
        )
        return None
    return Plunger(
        stroke_m=stated.value("stroke", float, 0.0),
        mass_kg=stated.value("mass", float, 0.0),
        spring_n=spring.lower,
        seated_spring_n=spring.upper,
        load_n=stated.value("load", float, 0.0),
        released_h=inductance.lower,
        seated_h=inductance.upper,
    )


def _rated(given: Given, row: CoilRow | None, context: PartContext) -> float:
    usual = row.rated_v if row else context.system_v
    if row is None or given.is_unknown("rated"):
        return given.settled("rated", float, usual, text(usual, "V"))
    return given.value("rated", float, usual)


def _of_voltage(context: PartContext, rated_v: float) -> list[CoilRow]:
    return [row for row in context.library.coils.values() if row.rated_v == rated_v]


def _overlap(one: Band, other: Band) -> bool:
    return one.lower <= other.upper and other.lower <= one.upper


def _resistance(given: Given, row: CoilRow | None, like: list[CoilRow]) -> Band:
    if row is not None and not given.is_unknown("resistance"):
        return given.value("resistance", Band, row.resistance_ohm)
    widest = union([r.resistance_ohm for r in like]) if like else WIDEST_RESISTANCE_OHM
    whence = "extremes of the library" if like else "the library has no coil of this voltage"
    return given.settled("resistance", Band, widest, f"{range_text(widest, 'ohm')}, {whence}")


def _fraction(
    given: Given, key: str, row: CoilRow | None, context: PartContext, limit: str
) -> float:
    if row is not None and not given.is_unknown(key):
        from_row = row.pull_in_fraction if key == "pull_in" else row.highest_voltage_fraction
        return given.value(key, float, from_row)
    usual = context.library.limit(limit).value
    return given.settled(key, float, usual, f"{text(usual, '%')} of rated voltage")


def _drop_out(given: Given, row: CoilRow | None, context: PartContext) -> Band:
    if row is not None and not given.is_unknown("drop_out"):
        return given.value("drop_out", Band, row.drop_out_fraction)
    usual = context.library.limit("coil_drop_out_fraction").value
    assumed = f"{text(usual, '%')} of rated voltage"
    return given.settled("drop_out", Band, Band.exact(usual), assumed)


def _duty(given: Given, row: CoilRow | None) -> float | None:
    if given.values.get("duty") == "continuous":
        return 1.0
    stated = given.optional("duty", float)
    if stated is not None:
        return stated
    if row is not None and not given.is_unknown("duty"):
        return row.duty
    given.assume("duty", "not known: not judged")
    return None


def _like(
    given: Given,
    key: str,
    unit: str,
    row: CoilRow | None,
    like: list[CoilRow],
    of: Callable[[CoilRow], Band],
) -> Band | None:
    stated = given.optional(key, Band)
    if stated is not None:
        return stated
    if row is not None and not given.is_unknown(key):
        return of(row)
    band = union([of(r) for r in like]) if like else None
    names = "; ".join(r.name for r in like)
    said = f"{range_text(band, unit)} (library: {names})" if band else "not known: not judged"
    given.assume(key, said)
    return band


def _temperature_limit(given: Given, thermal: Given, row: CoilRow | None) -> float | None:
    stated = thermal.optional("limit", float)
    letter = thermal.optional("class", str)
    if stated is not None:
        return stated
    if letter is not None:
        return CLASSES[letter]
    if row is not None and not thermal.is_unknown("limit") and not thermal.is_unknown("class"):
        return row.temperature_class_c
    thermal.assume("limit", "not known: winding temperature not judged")
    return None


def coil_moves(given: Given) -> Moves:
    """Return what a coil works; a hazard that is not said is unknown."""
    stated = given.optional("moves", Given)
    if stated is None:
        given.assume("moves", "hazard unknown")
        return Moves("", "", "", "unknown")
    return Moves(
        stated.value("valve", str, ""),
        stated.value("port", str, ""),
        stated.value("movement", str, ""),
        stated.value("hazard", str, "unknown"),
        stated.optional("hazard_if_lost", str),
    )
