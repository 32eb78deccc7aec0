"""Temperature of each winding by its duty.

Finds       a coil that its use, the air and the charging voltage heat beyond its insulation class
Formula     T = T_air + R_th s V^2 / R(T),  R(T) = R20 (234.5 + T) / 254.5, solved together;
            s = share of the steady rise at the end of a press (1 where it is held on)
Source      iec-60085 (classes), vde-0580 (duty, and the mean temperature by resistance is what
            counts), iec-60028 (copper). That 10 K halve a winding's life is
            common practice, no source.
Worst case  highest supply, hottest air of the zone, lowest winding resistance, highest thermal
            resistance, the position that heats it most
Not covered the hottest spot inside, some kelvin above the mean; presses that come in bursts; a hot
            valve body or sun on the coil beyond the zone's air
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.energised_coil import assumed, said_unknown
from circuitcheck.checks.finding import NOT_JUDGED, Finding, Term, Working, judged
from circuitcheck.formulas.coil import periodic_share, winding_temperature_c
from circuitcheck.formulas.wire_resistance import COPPER_ZERO_C
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.solve.coil_heat import BURNT_C, press_cycle
from circuitcheck.solve.solution import HEAT_SOAKED, CoilHeat
from circuitcheck.units import text

NAME = "coil temperature"
WHY = "A winding above its class ages fast: every 10 K or so halves its life, then turns short."
ASK_HEAT = (
    "the coil's thermal resistance is not known: ask for its hot resistance at a stated air "
    "temperature, or measure its resistance cold and after its longest use: "
    "T2 = R2 / R1 (234.5 + T1) - 234.5"
)
ASK_CLASS = (
    "the coil's temperature class is not known: read it on the coil (F 155, H 180, N 200 degC)"
)
KEYS = ("resistance", "thermal.resistance", "thermal.time_constant", "thermal.limit")
SOURCES = ("iec-60085", "vde-0580", "iec-60028")


def judge(case: Case) -> list[Finding]:
    """Return one finding per coil that is ever energised."""
    heats = case.solution.heat
    return [
        _finding(case, coil, heats[coil.name]) for coil in case.harness.coils if coil.name in heats
    ]


def _finding(case: Case, coil: SolenoidCoil, heat: CoilHeat) -> Finding:
    missing = []
    if not heat.judged or said_unknown(case, coil.name, "thermal.resistance"):
        missing.append(ASK_HEAT)
    if coil.temperature_limit_c is None:
        missing.append(ASK_CLASS)
    value = heat.temperature_c.upper
    limit = coil.temperature_limit_c
    return Finding(
        check=NAME,
        subject=coil.name,
        result=NOT_JUDGED if missing or limit is None else judged(value, limit),
        quantity="hottest temperature of the winding",
        reason="; ".join(missing) or WHY,
        position=heat.hottest_position,
        coil_state=HEAT_SOAKED,
        value=value if heat.judged else None,
        limit=limit,
        unit="degC",
        conditions=(
            f"{text(heat.supply_v, 'V')} at the coil, the highest",
            f"air {heat.ambient_c:.0f} degC, the hottest of its zone",
            heat.basis,
            *assumed(case, coil.name, *KEYS),
        ),
        sources=SOURCES,
        gap=heat.temperature_c.gap,
        working=_working(case, coil, heat) if heat.judged and heat.supply_v > 0.0 else None,
    )


def _working(case: Case, coil: SolenoidCoil, heat: CoilHeat) -> Working:
    rth, hottest_c = coil.thermal_resistance_k_per_w, heat.temperature_c.upper
    assert rth is not None  # heat.judged says so
    result = Term("T", hottest_c, "degC", "winding")
    if hottest_c >= BURNT_C:
        return Working("T_b", (Term("T_b", BURNT_C, "degC", "it burns out on the way"),), result)
    cycle, tau = press_cycle(case.harness.use), coil.thermal_time_constant_s
    share = Term("s", 1.0, "1", "share of the steady rise: held on")
    steps: list[Working] = []
    when = "at the end of a press"
    if cycle.press_s is not None and cycle.cycle_s is not None and tau is not None:
        reached = periodic_share(cycle.press_s, cycle.cycle_s, tau.lower)
        share = Term("s", reached, "1", "share of the steady rise at the end of a press")
        times = (
            Term("t_p", cycle.press_s, "s", "longest press"),
            Term("t_c", cycle.cycle_s, "s", "from press to press"),
            Term("tau", tau.lower, "s", "time constant of the coil, lower end"),
        )
        formula = "(1 - exp(-t_p / tau)) / (1 - exp(-t_c / tau))"
        steps, when = [Working(formula, times, share)], "at the start of a press"
    r20, air_c = coil.resistance_20c_ohm.lower, heat.ambient_c
    # The bound counts the power at one temperature of the winding: it follows from the rise.
    ohm = rth.upper * share.value * heat.supply_v**2 / (hottest_c - air_c)
    copper = (
        Term("R_20", r20, "ohm", "winding at 20 degC, lowest of its tolerance"),
        Term("T_0", COPPER_ZERO_C, "degC", "copper would lose its resistance at minus this"),
        Term("T_w", winding_temperature_c(ohm, r20), "degC", f"winding {when}, solved with it"),
        Term("T_20", 20.0, "degC", "where R_20 holds"),
    )
    warm = Term("R_w", ohm, "ohm", f"winding {when}")
    return Working(
        "T_air + R_th * s * V**2 / R_w",
        (
            Term("T_air", air_c, "degC", "air around the coil"),
            Term("R_th", rth.upper, "K/W", "thermal resistance, winding to air"),
            share,
            Term("V", heat.supply_v, "V", "voltage at the coil"),
            warm,
        ),
        result,
        steps=(*steps, Working("R_20 * (T_0 + T_w) / (T_0 + T_20)", copper, warm)),
    )


CHECK = Check(
    name=NAME,
    judges="hottest winding by its duty, against its class",
    why=WHY,
    does_not_cover="the hottest spot inside the winding; presses that come in bursts",
    sources=SOURCES,
    judge=judge,
)
