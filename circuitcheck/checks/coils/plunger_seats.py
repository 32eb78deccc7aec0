"""Plunger seats: the current that is left moves it against spring and load, all the way in.

Finds       a plunger that stays where it is, or comes to rest on its way, although its coil is fed
Formula     I_min >= sqrt(2 F S / (L_1 - L_0)): a plunger is pulled with i^2 / 2 dL/ds, the
            inductance straight along the stroke S from L_0 released to L_1 seated
            F = load + the greater of the spring's force released and seated, which it needs at
            every place: a spring that is straight between both has its greatest force at an end
Source      openstax-university-physics (force from the change of stored energy), iec-60028
Worst case  lowest supply, contacts aged, wires hot, heat-soaked winding of the highest resistance,
            the position that leaves it least
Not covered iron that saturates: a real coil pulls less than this, so what fails here fails all the
            more; friction, pressure and dirt; a plunger that its own swing carries over a gap
Result      one finding per coil whose `plunger` is given and that some position asks for
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.coils.energised_coil import EnergisedCoil, energised_coils
from circuitcheck.checks.finding import (
    NOT_JUDGED,
    PASS,
    Finding,
    Term,
    Working,
    judged,
    stepped,
    worst_with,
)
from circuitcheck.checks.stand_ins import assumed, said_unknown, stand_ins, unknown_upstream
from circuitcheck.checks.workings.current_working import lowest_current_working
from circuitcheck.model.solenoid_coil import Plunger
from circuitcheck.solve.solution import HEAT_SOAKED

NAME = "plunger seats"
QUANTITY = "lowest current of the winding, against spring and load"
WHY = "The coil is fed and draws its current, but the plunger is not pulled in or does not stay in."
IDEAL = "iron not saturated: a real coil pulls less"
ASK_HEAT = (
    "how warm its winding gets, and how little it then takes, is not known: ask for its hot "
    "resistance at a stated air temperature, or measure its resistance cold and after its longest "
    "use"
)
KEYS = ("resistance", "rated", "thermal.resistance")
SOURCES = ("openstax-university-physics", "iec-60028")


def judge(case: Case) -> list[Finding]:
    """Return one finding per coil with a plunger, in its worst position."""
    found: dict[str, list[tuple[Finding, EnergisedCoil]]] = {}
    for at in energised_coils(case, HEAT_SOAKED):
        if at.coil.plunger is not None:
            pair = _finding(case, at, at.coil.plunger), at
            found.setdefault(at.coil.name, []).append(pair)
    leading = (worst_with(pairs) for pairs in found.values())
    return [
        stepped(finding, lowest_current_working(at.solved, at.branch, "I_min"))
        for finding, at in leading
    ]


def seats_from(plunger: Plunger) -> Working:
    """Return the current that pulls a plunger in from any place of its stroke, and keeps it in."""
    springs = {"released": plunger.spring_n, "seated": plunger.seated_spring_n}
    place = max(springs, key=lambda name: springs[name])
    terms = (
        Term("F_s", springs[place], "N", f"the spring's greatest force, {place}"),
        Term("F_l", plunger.load_n, "N", "what the valve or latch adds"),
        Term("S", plunger.stroke_m, "m", "stroke"),
        Term("L_0", plunger.released_h, "H", "inductance released"),
        Term("L_1", plunger.seated_h, "H", "inductance seated"),
    )
    force_n = springs[place] + plunger.load_n
    slope_h_per_m = (plunger.seated_h - plunger.released_h) / plunger.stroke_m
    needed_a = (2.0 * force_n / slope_h_per_m) ** 0.5
    limit = Term("I_p", needed_a, "A", "current that pulls the plunger in and keeps it there")
    return Working("(2 * (F_s + F_l) * S / (L_1 - L_0))**0.5", terms, limit)


def _finding(case: Case, at: EnergisedCoil, plunger: Plunger) -> Finding:
    limit = seats_from(plunger)
    amps = at.solved.current_a(at.branch)
    value = amps.smallest()
    result, reason = judged(value, limit.result.value, at_most=False), WHY
    unknown = unknown_upstream(case, at.way)
    heat = case.solution.heat[at.coil.name]
    if result == PASS and unknown:
        result, reason = NOT_JUDGED, f"the current may be lower: {'; '.join(unknown)}"
    elif result == PASS and (
        not heat.judged or said_unknown(case, at.coil.name, "thermal.resistance")
    ):
        result, reason = NOT_JUDGED, ASK_HEAT
    side = "lower" if amps.lower > 0.0 else "upper"
    return Finding(
        check=NAME,
        subject=at.coil.name,
        result=result,
        quantity=QUANTITY,
        reason=reason,
        position=at.solved.position.name,
        coil_state=at.solved.coil_state,
        value=value,
        limit=limit.result.value,
        unit="A",
        at_most=False,
        conditions=(
            *at.solved.conditions(at.branch, side),
            IDEAL,
            *stand_ins(case, at.way),
            *assumed(case, at.coil.name, *KEYS),
        ),
        sources=SOURCES,
        gap=amps.gap,
        working=limit,
    )


CHECK = Check(
    name=NAME,
    judges="lowest current of a winding, against what pulls its plunger in against spring and load",
    why=WHY,
    does_not_cover="iron that saturates: a real coil pulls less; friction, pressure and dirt",
    sources=SOURCES,
    judge=judge,
)
