"""How a wire heats where it lies: what the heat model needs, out of library and harness.

Shared ground of the checks on shorts and overload; it judges nothing itself.
"""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Term, Working
from circuitcheck.checks.wires.wire_limit import LaidWire, wire_limit
from circuitcheck.errors import LibraryError
from circuitcheck.formulas.adiabatic import adiabatic_k, temperature_after_c
from circuitcheck.transient.heat.clearing import ClearingPoint
from circuitcheck.transient.heat.wire_heat import ADIABATIC_S, WireHeat

ENGINE_SPACE_C = 50.0
"""Air that the engine-space factors of the ampacity tables stand for (33-cfr-183-425)."""


def laid_heat(case: Case, wire: LaidWire) -> WireHeat:
    """Return how a wire heats in the hottest air of its way, in its bundle.

    Raises LibraryError where the library has no outside diameter of its size, or where the air
    is above its class.
    """
    # A core of a cable has no thinner wall than a vehicle wire of the same area.
    size = wire.conductor.name.partition(" (")[0]
    outside = case.library.outside_diameters.get(size)
    if outside is None:
        raise LibraryError(
            f"the library has no outside diameter of {wire.conductor.name}: measure it over the "
            "insulation"
        )
    zones = [case.harness.zone_of(zone) for zone in wire.route]
    air_c = max(zone.ambient_c.upper for zone in zones)
    if any(zone.engine_space for zone in zones):
        air_c = max(air_c, ENGINE_SPACE_C)
    if air_c >= wire.insulation.temperature_c:
        raise LibraryError(
            f"{wire.name} lies in air of {air_c:g} degC, no less than its {wire.insulation.name} "
            "stands; look at wire ampacity first"
        )
    factor = wire.material.resistance_factor
    return WireHeat(
        wire.conductor.area_min_mm2,
        wire.conductor.resistance_ohm_per_m.upper * factor.upper,
        outside.outside_m,
        air_c,
        wire.insulation.temperature_c,
        wire.insulation.short_circuit_c,
        wire.metal,
        factor.lower,
        case.library.bundle_factor(wire.bundled).factor,
        overload_k=case.library.limit("insulation_overload_k").value,
        overload_s=case.library.limit("insulation_overload_s").value,
    )


def carried_a(case: Case, wire: LaidWire, heat: WireHeat) -> float:
    """Return what a wire carries for good: by the heat model, and no more than its ampacity."""
    by_heat = heat.carries_a(heat.class_c)
    try:
        return min(by_heat, wire_limit(case, wire.name).ampacity_a)
    except LibraryError:
        return by_heat


def holding_working(heat: WireHeat, temperature_c: float) -> Working:
    """Return the steady current that holds a wire at a temperature."""
    terms = (
        Term("q", heat.loss_w_per_m(temperature_c), "W/m",
             f"shed per metre at {temperature_c:g} degC, bundle counted"),
        Term("r", heat.ohm_per_m(temperature_c), "ohm/m", "resistance per metre, that hot"),
    )  # fmt: skip
    held = Term("I_o", heat.carries_a(temperature_c), "A", f"holds it at {temperature_c:g} degC")
    return Working("sqrt(q / r)", terms, held)


def stands_working(heat: WireHeat, wire: LaidWire, point: ClearingPoint, start_c: float) -> Working:
    """Return how long a wire stands a current from its hottest running temperature."""
    stands_s, current_a = point.withstand_s, point.current_a
    result = Term("t_wire", stands_s, "s", "time that the wire stands it")
    amps = Term("I", current_a, "A", "current of the short, the worst of its range")
    area = Term("A", heat.area_mm2, "mm2", "least area of the conductor")
    if point.is_short or stands_s < ADIABATIC_S:
        return _short(heat, wire, (area, amps), start_c, result)
    step = _after_5_s(heat, (area, amps), start_c)
    five = Term("t_5", ADIABATIC_S, "s", "first seconds, in which no heat leaves the wire")
    if stands_s == ADIABATIC_S:
        meaning = f"longest above {heat.overload_c:g} degC, which it is by then"
        return Working("t_5", (replace(five, meaning=meaning),), result, steps=(step,))
    if stands_s >= heat.overload_s:
        limit = Term("t_6", heat.overload_s, "s", f"longest at up to {heat.overload_c:g} degC")
        return Working("t_6", (limit,), result, steps=(step,))
    rise_k = heat.overload_c - start_c - step.result.value
    stored = heat.stored_j_per_m_k
    terms = (
        five,
        Term("C", stored, "J/m/K", "heat stored per metre, conductor and insulation"),
        Term("dT", rise_k, "K", f"from there to {heat.overload_c:g} degC"),
        Term(
            "P", stored * rise_k / (stands_s - ADIABATIC_S), "W/m",
            "heat made less heat shed by conduction, convection and radiation, on the way",
        ),
    )  # fmt: skip
    return Working("t_5 + C * dT / P", terms, result, steps=(step,))


def _short(
    heat: WireHeat, wire: LaidWire, terms: tuple[Term, Term], start_c: float, result: Term
) -> Working:
    area, amps = terms
    k = adiabatic_k(start_c, heat.short_circuit_c, heat.metal)
    result = replace(result, value=(k * area.value / amps.value) ** 2)
    words = f"{wire.material.name}, {start_c:.0f} degC to {heat.short_circuit_c:g} degC"
    return Working("(k * A / I) ** 2", (Term("k", k, "A*s**0.5/mm2", words), area, amps), result)


def _after_5_s(heat: WireHeat, terms: tuple[Term, Term], start_c: float) -> Working:
    """Return the rise in the first 5 s, in which no heat is taken to leave."""
    area, amps = terms
    reached_c = temperature_after_c(area.value, amps.value, ADIABATIC_S, start_c, heat.metal)
    known = (
        Term("Z", heat.metal.zero_c + start_c, "K", "hottest running temperature, from where "
             "the metal's resistance is 0"),
        Term("k_l", heat.metal.k_lead, "A*s**0.5/mm2", "constant of the metal"),
        Term("t_5", ADIABATIC_S, "s", "first seconds"),
        area,
        amps,
    )  # fmt: skip
    rise = Term("dT_5", reached_c - start_c, "K", "rise in the first 5 s")
    return Working("Z * (exp(t_5 * (I / (k_l * A)) ** 2) - 1)", known, rise)
