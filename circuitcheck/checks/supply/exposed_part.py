"""Parts that a surge of the supply reaches: those that some live position works.

Shared ground of the checks on supply events; it judges nothing itself.
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import NOT_JUDGED, Finding, Term, Working, judged
from circuitcheck.checks.release.released_coil import ReleasedCoil, released_coils
from circuitcheck.model.harness import Part
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.record import record
from circuitcheck.solve.heat.windings import windings
from circuitcheck.solve.solution import COLD_START
from circuitcheck.transient.supply_events import (
    HeatStep,
    SupplyEvent,
    converter_ahead,
    filament_life_h,
)
from circuitcheck.transient.switching_off.suppressor import PAIR, TVS, Suppressor

ASK_HEAT = "its heat path or temperature class is not known: read its data sheet"


@record
class Exposed:
    """One part that a supply event reaches, with the number that it is held against.

    `working` gives the value; `limit` is None where it is not known, `ask` then says what to look
    up. `sources` are those of the limit.
    """

    subject: str
    quantity: str
    working: Working
    limit: float | None
    ask: str = ""
    sources: tuple[str, ...] = ("worked-out",)


def worked(case: Case, kind: type[Part]) -> Iterator[Part]:
    """Yield the parts of a kind that some live position asks for, on the machine's own supply."""
    asked = {name.partition("/")[0] for s in case.solution.live(COLD_START) for name in s.asked_for}
    for part in case.harness.parts.values():
        if (
            isinstance(part, kind)
            and part.name in asked
            and converter_ahead(case.harness, part) is None
        ):
            yield part


def heated_windings(case: Case, event: SupplyEvent) -> Iterator[Exposed]:
    """Yield the coils and hold windings of movers, as hot as the event makes them."""
    every = {winding.branch: winding for winding in windings(case.harness)}
    for kind in (SolenoidCoil, PullHoldCoil):
        for part in worked(case, kind):
            branch = f"{part.name}/hold" if isinstance(part, PullHoldCoil) else part.name
            winding, heat = every[branch], case.solution.heat[branch]
            rth, tau = winding.thermal_resistance_k_per_w, winding.thermal_time_constant_s
            quantity = f"winding after {event.time_s:g} s of {event.name}"
            if rth is None or tau is None or winding.temperature_limit_c is None:
                term = Term("V_j", event.supply_v, "V", event.name)
                yield Exposed(part.name, quantity, Working("V_j", (term,), term), None, ASK_HEAT)
                continue
            if heat.temperature_c.upper > winding.temperature_limit_c:
                continue  # too hot without the event: see coil temperature
            air_c = case.harness.zone_of(winding.zone).ambient_c.upper
            step = HeatStep(
                heat.temperature_c.upper, air_c, winding.resistance_20c_ohm.lower, rth.upper,
                tau.lower, event.supply_v, event.time_s,
            )  # fmt: skip
            yield Exposed(part.name, quantity, heat_working(step), winding.temperature_limit_c)


def heat_working(step: HeatStep) -> Working:
    """Return how the end temperature of a winding is worked out."""
    terms = (
        Term("T_0", step.start_c, "degC", "winding before, at its hottest"),
        Term("T_a", step.ambient_c, "degC", "air, the hottest of its zone"),
        Term("V_j", step.supply_v, "V", "supply, all of it at the coil"),
        Term("R_0", step.start_ohm, "ohm", "winding at T_0, lower end"),
        Term("R_th", step.k_per_w, "K/W", "winding to air, upper end"),
        Term("t_j", step.time_s, "s", "time"),
        Term("tau", step.tau_s, "s", "time constant, lower end"),
    )
    formula = "T_0 + max(V_j**2 / R_0 * R_th - (T_0 - T_a), 0 * T_0) * (1 - exp(0 - t_j / tau))"
    return Working(formula, terms, Term("T_1", step.end_c, "degC", "winding afterwards"))


def lit_leds(case: Case, event: SupplyEvent) -> Iterator[Exposed]:
    """Yield the LEDs, with the most that the event drives through them."""
    limit_a = case.library.limit("led_minute_a").value
    for part in worked(case, LedIndicator):
        assert isinstance(part, LedIndicator)
        terms = (
            Term("V_j", event.supply_v, "V", "supply, all of it at the LED"),
            Term("V_f", part.forward_v.lower, "V", "forward voltage, lower end"),
            Term("R_s", part.series_ohm.lower, "ohm", "its resistor, lower end"),
        )
        amps = (event.supply_v - part.forward_v.lower) / part.series_ohm.lower
        working = Working("(V_j - V_f) / R_s", terms, Term("I_j", amps, "A", "current"))
        yield Exposed(
            part.name, f"current of the LED in a {event.name}", working, limit_a,
            sources=("common-practice",),
        )  # fmt: skip


def lit_lamps(case: Case, event: SupplyEvent) -> Iterator[Exposed]:
    """Yield the filament lamps, with the life that the event costs them."""
    power = case.library.limit("lamp_life_exponent").value
    least_h = case.library.limit("lamp_least_life_h").value
    for part in worked(case, IndicatorLamp):
        assert isinstance(part, IndicatorLamp)
        terms = (
            Term("t_j", event.time_s / 3600.0, "h", "time"),
            Term("V_j", event.supply_v, "V", "supply, all of it at the lamp"),
            Term("V_0", part.rated_v, "V", "rated voltage"),
            Term("n", power, "1", "exponent of a lamp's life"),
        )
        cost_h = filament_life_h(event.supply_v, part.rated_v, event.time_s, power)
        result = Term("t_0", cost_h, "h", "life at rated voltage that it costs")
        working = Working("t_j * (V_j / V_0)**n", terms, result)
        yield Exposed(
            part.name, f"life that a {event.name} costs the lamp", working, least_h,
            sources=("lamp-rerating", "un-regulation-37"),
        )  # fmt: skip


def clamps_across(case: Case) -> Iterator[tuple[ReleasedCoil, Suppressor]]:
    """Yield every TVS and Zener pair of the windings that some position works.

    One whose voltage is not known is asked for once, by the checks on its rating and on the peak.
    """
    for coil in released_coils(case):
        if converter_ahead(case.harness, case.harness.parts[coil.winding.owner]) is not None:
            continue
        yield from (
            (coil, one) for one in coil.suppressors if one.kind in (TVS, PAIR) and one.blocks_v
        )


def is_relays_own(case: Case, coil: ReleasedCoil, one: Suppressor) -> bool:
    """Return whether a suppressor sits inside a relay, its maker's affair."""
    return isinstance(case.harness.parts[coil.winding.owner], Relay) and one.name == one.kind


def event_finding(check: str, event: SupplyEvent, one: Exposed, why: str) -> Finding:
    """Return the finding on one exposed part."""
    value, unit = one.working.result.value, one.working.result.unit
    result = NOT_JUDGED if one.limit is None else judged(value, one.limit)
    working = one.working if one.limit is not None else None
    return Finding(
        check, one.subject, result, one.quantity, one.ask if one.limit is None else why,
        value=value if one.limit is not None else None, limit=one.limit, unit=unit,
        conditions=(f"{event.supply_v:g} V for {event.time_s:g} s, the part switched on",),
        sources=(event.source, *one.sources), working=working,
    )  # fmt: skip
