"""Temperature of each winding by its duty, and the duty itself.

Finds       a coil that its use, the air and the charging voltage heat beyond its insulation class,
            and a coil used more of the time than it is made for
Formula     T = T_air + R_th s V^2 / R(T),  R(T) = R20 (234.5 + T) / 254.5, solved together;
            s = share of the steady rise at the end of a press (1 where it is held on)
            duty: d_use <= d_coil
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
from circuitcheck.formulas.wire_resistance import resistance_at_ohm
from circuitcheck.model.solenoid_coil import SolenoidCoil
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
ASK_DUTY = (
    "the coil's duty is not known: read it on the coil or in its data sheet (100 % ED: held on)"
)
KEYS = ("resistance", "thermal.resistance", "thermal.time_constant", "thermal.limit")
SOURCES = ("iec-60085", "vde-0580", "iec-60028")


def judge(case: Case) -> list[Finding]:
    """Return, per coil that is ever energised, a finding on temperature and one on duty."""
    findings = []
    for coil in case.harness.coils:
        heat = case.solution.heat.get(coil.name)
        if heat is not None:
            findings += [_temperature(case, coil, heat), _duty(case, coil, heat)]
    return findings


def _temperature(case: Case, coil: SolenoidCoil, heat: CoilHeat) -> Finding:
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
        working=_working(coil, heat) if heat.judged and heat.supply_v > 0.0 else None,
    )


def _working(coil: SolenoidCoil, heat: CoilHeat) -> Working:
    rth = coil.thermal_resistance_k_per_w
    assert rth is not None  # heat.judged says so
    hottest_c = heat.temperature_c.upper
    ohm = resistance_at_ohm(coil.resistance_20c_ohm.lower, hottest_c)
    rise_per_share = rth.upper * heat.supply_v**2 / ohm
    share = (hottest_c - heat.ambient_c) / rise_per_share
    return Working(
        "T_air + R_th * s * V**2 / R_hot",
        (
            Term("T_air", heat.ambient_c, "degC", "air around the coil"),
            Term("R_th", rth.upper, "K/W", "thermal resistance, winding to air"),
            Term("s", share, "1", "share of the steady rise that the duty reaches"),
            Term("V", heat.supply_v, "V", "voltage at the coil"),
            Term("R_hot", ohm, "ohm", f"winding at {hottest_c:.0f} degC, lowest of its tolerance"),
        ),
        Term("T", hottest_c, "degC", "winding"),
    )


def _duty(case: Case, coil: SolenoidCoil, heat: CoilHeat) -> Finding:
    allowed = coil.duty
    return Finding(
        check=NAME,
        subject=coil.name,
        result=NOT_JUDGED if allowed is None else judged(heat.duty, allowed),
        quantity="share of time on",
        reason=ASK_DUTY if allowed is None else "A coil made for short use burns when it is held.",
        coil_state=HEAT_SOAKED,
        value=heat.duty,
        limit=allowed,
        unit="1",
        conditions=(heat.basis, *assumed(case, coil.name, "duty")),
        sources=("vde-0580",),
        working=_duty_working(case, heat),
    )


def _duty_working(case: Case, heat: CoilHeat) -> Working:
    use, share = case.harness.use, Term("d_use", heat.duty, "1", "share of time on")
    if use.longest_press_s is None or use.presses_per_hour is None or heat.duty >= 1.0:
        return Working("d", (Term("d", 1.0, "1", heat.basis),), share)
    return Working(
        "t_p * n / t_h",
        (
            Term("t_p", use.longest_press_s, "s", "longest press"),
            Term("n", use.presses_per_hour, "1", "presses in an hour"),
            Term("t_h", 3600.0, "s", "an hour"),
        ),
        share,
    )


CHECK = Check(
    name=NAME,
    judges="hottest winding by its duty against its class, and duty in use against its own",
    why=WHY,
    does_not_cover="the hottest spot inside the winding; presses that come in bursts",
    sources=SOURCES,
    judge=judge,
)
