"""Fuse breaking capacity and voltage rating.

Finds       a fuse that bursts or arcs on in the strongest short, or is used above its voltage
Source      iec-60364-4-43, 434.5.1; breaking capacity and voltage of the fuse's own row
Formula     I_strongest <= I_breaking, right behind the fuse; U_charging <= U_rated
Worst case  battery full and warm with the alternator, joints new, wires cold; highest charging
            voltage
Not covered the machine's own fuse, whose short is no stronger for the add-on; load dump
Result      two findings per inline fuse
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import NOT_JUDGED, Finding, Term, Working, judged
from circuitcheck.checks.workings.current_working import strongest_short_working
from circuitcheck.errors import CircuitcheckError
from circuitcheck.model.fuse import Fuse

NAME = "fuse breaking capacity"
WHY = "A fuse asked to break more than it can may arc on inside and burn its holder."
STRONGEST = "strongest short right behind the fuse"
VOLTAGE = "highest supply at the fuse"
SOURCES = ("iec-60364-4-43",)


def judge(case: Case) -> list[Finding]:
    """Return two findings per inline fuse: breaking capacity and voltage."""
    return [
        finding
        for fuse in case.harness.of_kind(Fuse)
        for finding in (_breaking(case, fuse), _voltage(case, fuse))
    ]


def _breaking(case: Case, fuse: Fuse) -> Finding:
    sources = (*SOURCES, fuse.row.source)
    try:
        short = case.shorts.at_fuse_load(fuse.name)
        fault = case.shorts.strongest_behind(fuse.name)
    except CircuitcheckError as error:
        return Finding(NAME, fuse.name, NOT_JUDGED, STRONGEST, str(error), sources=sources)
    if fuse.row.breaking_capacity_a is None:
        unknown = _not_known(fuse, "breaking capacity")
        return Finding(NAME, fuse.name, NOT_JUDGED, STRONGEST, unknown, sources=sources)
    battery = case.harness.battery
    return Finding(
        check=NAME,
        subject=fuse.name,
        result=judged(short.strongest_a, fuse.row.breaking_capacity_a),
        quantity=STRONGEST,
        reason=WHY,
        value=short.strongest_a,
        limit=fuse.row.breaking_capacity_a,
        unit="A",
        conditions=(
            f"{battery.name} at {battery.open_circuit_v.upper:g} V and its lowest inner resistance",
            f"alternator adds {battery.charging_current_a:g} A",
            "joints new, wires cold, no resistance in the fault",
        ),
        sources=sources,
        working=strongest_short_working(fault, fuse.name, battery.charging_current_a),
    )


def _voltage(case: Case, fuse: Fuse) -> Finding:
    highest_v = case.harness.conditions.running_v().upper
    if fuse.row.voltage_rating_v is None:
        unknown = _not_known(fuse, "voltage rating")
        return Finding(NAME, fuse.name, NOT_JUDGED, VOLTAGE, unknown, sources=(fuse.row.source,))
    return Finding(
        check=NAME,
        subject=fuse.name,
        result=judged(highest_v, fuse.row.voltage_rating_v),
        quantity=VOLTAGE,
        reason="Above its voltage rating a fuse may go on arcing after it has melted.",
        value=highest_v,
        limit=fuse.row.voltage_rating_v,
        unit="V",
        conditions=("highest voltage at the battery posts",),
        sources=(fuse.row.source,),
        working=Working(
            "V_s",
            (Term("V_s", highest_v, "V", "highest supply, engine off or charging"),),
            Term("V_f", highest_v, "V", "voltage that the fuse must break"),
        ),
    )


def _not_known(fuse: Fuse, what: str) -> str:
    return (
        f"no source gives the {what} of a {fuse.row.style} fuse on direct current: look for it in "
        f"its data sheet and give it as {what.replace(' ', '_')}"
    )


CHECK = Check(
    name=NAME,
    judges="strongest short and highest supply, against breaking capacity and voltage of each fuse",
    why=WHY,
    does_not_cover="load dump; the machine's own fuse",
    sources=SOURCES,
    judge=judge,
)
