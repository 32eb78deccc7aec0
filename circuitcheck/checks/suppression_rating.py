"""Ratings of each coil's suppressor.

Finds       a diode that a load dump breaks down or the coil's current burns; a resistor that its
            own heat burns or that lets too high a peak through
Formula     diode      reverse: max(V_supply, V_load dump) <= V_R;  forward: I_coil <= I_F
            resistor   power: V^2 / R <= P;  peak at switch-off: I R <= level that electronics are
                       tested with
Source      iso-16750-2 (load dump with clamp), iso-7637-2 (negative pulse 1, level IV),
            suppression-measured (peak of I R: 680 ohm beside 120 ohm, 65 V)
Worst case  highest supply; for currents the cold coil at its lowest resistance; for power and peak
            the resistor at the end of its tolerance that is worse
Not covered load dump without a clamp (old alternators: 101 V and 202 V); heat of frequent
            switching; the Zener voltage of a pair
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.current_working import highest_current_working
from circuitcheck.checks.energised_coil import EnergisedCoil, energised_coils
from circuitcheck.checks.finding import NOT_JUDGED, Finding, Working, judged, worst
from circuitcheck.checks.suppressor_working import peak_working, power_working, reverse_working
from circuitcheck.formulas.suppression import diode_reverse_voltage_v, resistor_peak_v
from circuitcheck.solve.solution import COLD_START
from circuitcheck.units import text

NAME = "suppression rating"
WHY = "A suppressor that fails goes unnoticed: shorted it blows the fuse, open it protects nothing."
ASK = "is not given: read it in the data sheet of the coil or of its suppressor"
DIODES = ("diode", "diode + Zener")


def judge(case: Case) -> list[Finding]:
    """Return the findings on each rating of each suppressor, in the coil's worst position."""
    found: dict[tuple[str, str], list[Finding]] = {}
    for at in energised_coils(case, COLD_START):
        kind = at.coil.suppression.kind
        rule = _diode if kind in DIODES else _resistor if kind == "resistor" else None
        for finding in rule(case, at) if rule else ():
            found.setdefault((at.coil.name, finding.quantity), []).append(finding)
    return [worst(sorted(findings, key=_most_first)) for findings in found.values()]


def _most_first(finding: Finding) -> float:
    """Sort key: without a rating no position is worse by margin, so the largest value leads."""
    return -(finding.value or 0.0)


def _diode(case: Case, at: EnergisedCoil) -> Iterator[Finding]:
    suppression = at.coil.suppression
    dump = case.library.limit(f"load_dump_clamped_{case.harness.system_v:g}v_v")
    highest_v = at.solved.supply_v.upper
    yield _finding(
        at,
        "reverse voltage of the diode",
        diode_reverse_voltage_v(highest_v, dump.value),
        suppression.reverse_v,
        "V",
        (f"load dump with clamp, {text(dump.value, 'V')}",),
        (dump.source,),
        reverse_working(highest_v, dump.value),
    )
    current = at.solved.current_a(at.coil.name)
    yield _finding(
        at,
        "current of the diode at switch-off",
        current.largest(),
        suppression.forward_a,
        "A",
        (*at.solved.conditions(at.coil.name, "upper"), "the coil's whole current passes over"),
        ("worked-out",),
        highest_current_working(at.solved, at.coil.name),
    )


def _resistor(case: Case, at: EnergisedCoil) -> Iterator[Finding]:
    ohm = at.coil.suppression.resistance_ohm
    if ohm is None:
        yield _finding(at, "resistance of the suppressor", None, None, "ohm", (), ("worked-out",))
        return
    yield _finding(
        at,
        "power of the resistor",
        at.across_v.upper**2 / ohm.lower,
        at.coil.suppression.power_w,
        "W",
        at.at_highest(case),
        ("lessons-in-electric-circuits",),
        power_working(at.across_v.upper, ohm.lower),
    )
    pulse = case.library.limit(f"negative_pulse_{case.harness.system_v:g}v_v")
    amps = at.solved.current_a(at.coil.name).largest()
    yield _finding(
        at,
        "peak at switch-off",
        resistor_peak_v(amps, ohm.upper),
        pulse.value,
        "V",
        (*at.solved.conditions(at.coil.name, "upper"), f"resistor {text(ohm.upper, 'ohm')}"),
        (pulse.source, "suppression-measured"),
        peak_working(amps, ohm.upper, at.coil.name),
    )


def _finding(
    at: EnergisedCoil,
    quantity: str,
    value: float | None,
    limit: float | None,
    unit: str,
    conditions: tuple[str, ...],
    sources: tuple[str, ...],
    working: Working | None = None,
) -> Finding:
    result = NOT_JUDGED if value is None or limit is None else judged(value, limit)
    return Finding(
        check=NAME,
        subject=at.coil.name,
        result=result,
        quantity=quantity,
        reason=f"the rating for {quantity} {ASK}" if result == NOT_JUDGED else WHY,
        position=at.solved.position.name,
        coil_state=at.solved.coil_state,
        value=value,
        limit=limit,
        unit=unit,
        conditions=conditions,
        sources=sources,
        working=working,
    )


CHECK = Check(
    name=NAME,
    judges="reverse voltage, current, power and peak of each suppressor, against its ratings",
    why=WHY,
    does_not_cover="load dump without a clamp; Zener voltage; heat of frequent switching",
    sources=("iso-16750-2", "iso-7637-2", "suppression-measured"),
    judge=judge,
)
