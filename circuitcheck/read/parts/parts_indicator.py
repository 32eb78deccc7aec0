"""Indicator lamp, LED indicator, diode and resistor from their fields and trade types."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

from circuitcheck.model.diode import Diode
from circuitcheck.model.indicator import LAMP_EXPONENT, IndicatorLamp, LedIndicator
from circuitcheck.model.library_part_rows import DiodeRow, LampRow, LedRow
from circuitcheck.model.resistor import Resistor
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.forms.fields import Given
from circuitcheck.read.parts.part_context import PartContext, else_type, from_row, plus_terminal
from circuitcheck.read.zones import range_text, union
from circuitcheck.units import text

R = TypeVar("R", LampRow, LedRow)


def build_indicator_lamp(given: Given, context: PartContext) -> IndicatorLamp | None:
    """Return a filament lamp; None after reporting that nothing says what it draws."""
    row = given.optional("type", LampRow)
    if given.has("power") and given.has("current"):
        given.place.problem("both power and current are given", "Give one of them.")
        return None
    if row is None and not {"type", "power", "current"} & set(given.values):
        given.place.problem(
            "neither type nor power is given",
            'Give power = "5 W", or the type of a library row, or type = "unknown".',
        )
        return None
    rated_v = _rated(given, row.rated_v if row else None, context)
    like = [row] if row else _of_system(context.library.lamps.values(), context)
    stated = given.has("power") or given.has("current")
    if row is None and not stated:
        rated_v = union([Band.exact(r.rated_v) for r in like]).lower
    ratio = union([r.cold_ratio for r in like])
    if given.has("cold_ratio"):
        ratio = Band.exact(given.value("cold_ratio", float, 1.0))
    elif row is None or given.is_unknown("cold_ratio"):
        given.assume("cold_ratio", f"{range_text(ratio, '')} (library)")
    return IndicatorLamp(
        name=given.subject,
        zone=context.zone,
        rated_v=rated_v,
        current_a=_lamp_current(given, like, rated_v),
        cold_ratio=ratio,
        exponent=row.exponent if row else LAMP_EXPONENT,
    )


def _lamp_current(given: Given, like: list[LampRow], rated_v: float) -> Band:
    if given.has("current"):
        return given.value("current", Band, Band.exact(0.0))
    if given.has("power"):
        return given.value("power", Band, Band.exact(0.0)).scaled(1.0 / rated_v)
    widest = union([r.current_a for r in like])
    if len(like) > 1:
        given.assume("type", f"{range_text(widest, 'A')}, all lamps of the library")
    return widest


def build_led_indicator(given: Given, context: PartContext) -> LedIndicator | None:
    """Return an LED with its resistor; None after reporting that nothing says what it draws."""
    row = given.optional("type", LedRow)
    if (
        row is None
        and "type" not in given.values
        and not {"forward", "series"} <= set(given.values)
    ):
        given.place.problem(
            "neither type nor forward and series are given",
            'Give the type of a library row, or type = "unknown".',
        )
        return None
    like = [row] if row else _of_system(context.library.leds.values(), context)
    if given.is_unknown("type"):
        given.assume("type", "all LEDs of the library for this system")
    rated_v = _rated(given, row.system_v if row else None, context)
    forward = _of_like(given, "forward", "V", like, lambda r: r.forward_v)
    if forward.upper >= rated_v:
        given.at("forward").problem(
            f"up to {text(forward.upper, 'V')} is no LED for {text(rated_v, 'V')}",
            "Give the voltage across the LED alone, without its resistor.",
        )
        return None
    return LedIndicator(
        name=given.subject,
        zone=context.zone,
        rated_v=rated_v,
        forward_v=forward,
        series_ohm=_of_like(given, "series", "ohm", like, lambda r: r.series_ohm),
        reverse_v=else_type(given, "reverse", float, row.reverse_v if row else None),
        plus=plus_terminal(given),
    )


def _rated(given: Given, of_type: float | None, context: PartContext) -> float:
    if of_type is not None and not given.is_unknown("rated"):
        return given.value("rated", float, of_type)
    return given.settled("rated", float, context.system_v, text(context.system_v, "V"))


def _of_system(rows: Iterable[R], context: PartContext) -> list[R]:
    return [row for row in rows if row.system_v == context.system_v]


def _of_like(
    given: Given, key: str, unit: str, like: list[LedRow], of: Callable[[LedRow], Band]
) -> Band:
    widest = union([of(row) for row in like])
    if len(like) > 1:
        return given.settled(key, Band, widest, f"{range_text(widest, unit)} (library)")
    return from_row(given, key, [widest], unit)


def build_diode(given: Given, context: PartContext) -> Diode | None:
    """Return a diode; None after reporting that nothing says what it stands."""
    row = given.optional("type", DiodeRow)
    if (
        row is None
        and "type" not in given.values
        and not {"forward", "current"} <= set(given.values)
    ):
        given.place.problem(
            "neither type nor forward and current are given",
            'Give the type of a library row, or type = "unknown".',
        )
        return None
    like = [row] if row else list(context.library.diodes.values())
    if given.is_unknown("type"):
        given.assume("type", "the extremes of the library's diodes")
    least_a = min(r.current_a for r in like)
    # Of a type that nobody knows the least of the library only stands in, and is recorded.
    rated = given.usual if row else given.settled
    return Diode(
        name=given.subject,
        zone=context.zone,
        forward_v=from_row(given, "forward", [r.forward_v for r in like], "V"),
        current_a=rated("current", float, least_a, f"{text(least_a, 'A')} (library)"),
        reverse_v=else_type(given, "reverse", float, row.reverse_v if row else None),
    )


def build_resistor(given: Given, context: PartContext) -> Resistor:
    """Return a resistor."""
    return Resistor(
        name=given.subject,
        zone=context.zone,
        resistance_ohm=given.value("resistance", Band, Band.exact(0.0)),
        power_w=else_type(given, "power", float, None),
    )
