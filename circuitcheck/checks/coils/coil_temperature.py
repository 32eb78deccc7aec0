"""Temperature of each winding by its duty.

Finds       a coil that its use, the air and the charging voltage heat beyond its insulation class
Formula     T = T_air + R_th s V^2 / R(T),  R(T) = R20 (234.5 + T) / 254.5, solved together;
            s = share of the steady rise at the end of a press (1 where it is held on)
Source      iec-60085 (classes), vde-0580 (duty, and the mean temperature by resistance is what
            counts), iec-60028 (copper). That 10 K halve a winding's life is
            common practice, no source.
Worst case  highest supply, hottest air of the zone, lowest winding resistance, highest thermal
            resistance, the position that heats it most
Result      one per winding: solenoid coils, pull and hold coils, and relays whose heat path and
            class are given (else their highest voltage stands for it)
Not covered the hottest spot inside, some kelvin above the mean; presses that come in bursts; a hot
            valve body or sun on the coil beyond the zone's air
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import NOT_JUDGED, Finding, judged
from circuitcheck.checks.stand_ins import assumed, said_unknown
from circuitcheck.checks.workings.heat_working import heat_working
from circuitcheck.model.relay import Relay
from circuitcheck.solve.heat.windings import Winding, windings
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
QUANTITIES = {
    "": "hottest temperature of the winding",
    "hold": "hottest temperature of the hold winding",
    "pull": "hottest temperature of the pull winding",
}
KEYS = ("resistance", "thermal.resistance", "thermal.time_constant", "thermal.limit")
SOURCES = ("iec-60085", "vde-0580", "iec-60028")


def judge(case: Case) -> list[Finding]:
    """Return one finding per winding that stays on as long as its feed does."""
    heats = case.solution.heat
    return [
        _finding(case, winding, heats[winding.branch])
        for winding in windings(case.harness)
        if winding.carries_on and winding.branch in heats and not _is_bare_relay(case, winding)
    ]


def _is_bare_relay(case: Case, winding: Winding) -> bool:
    relay = isinstance(case.harness.parts[winding.owner], Relay)
    return relay and None in (winding.thermal_resistance_k_per_w, winding.temperature_limit_c)


def _finding(case: Case, coil: Winding, heat: CoilHeat) -> Finding:
    missing = []
    if not heat.judged or said_unknown(case, coil.owner, "thermal.resistance"):
        missing.append(ASK_HEAT)
    if coil.temperature_limit_c is None:
        missing.append(ASK_CLASS)
    value = heat.temperature_c.upper
    limit = coil.temperature_limit_c
    return Finding(
        check=NAME,
        subject=coil.owner,
        result=NOT_JUDGED if missing or limit is None else judged(value, limit),
        quantity=QUANTITIES[coil.branch.removeprefix(coil.owner).removeprefix("/")],
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
            *assumed(case, coil.owner, *KEYS),
        ),
        sources=SOURCES,
        gap=heat.temperature_c.gap,
        working=heat_working(case, coil, heat) if heat.judged else None,
    )


CHECK = Check(
    name=NAME,
    judges="hottest winding by its duty, against its class",
    why=WHY,
    does_not_cover="the hottest spot inside the winding; presses that come in bursts",
    sources=SOURCES,
    judge=judge,
)
