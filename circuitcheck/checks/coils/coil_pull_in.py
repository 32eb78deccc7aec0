"""Pull-in of each coil: heat-soaked, asked to move on the lowest supply, in its worst position.

Finds       a coil that may not move its plunger after hours of work on a weak battery
Formula     by voltage  V_min >= p U_r
            by current  V_min >= p U_r (234.5 + T_soak) / (234.5 + T_ref)
            p is the pull-in share of the rated voltage U_r. The figure holds for the coil as warm
            as U_r makes it in its rated air: T_ref. Force follows ampere-turns, so the current
            p U_r / R(T_ref) must flow again at T_soak; R20 of that one coil cancels.
            V_min is that at a winding as hot as its use makes it: a cold one needs less still.
Source      valve-coil-ranges (85 % of rated voltage, hot coil), vde-0580 (force is stated with the
            winding at running temperature), iec-60028 (copper)
Worst case  two linked solves: soaked at the highest supply in the hottest air by its duty, then
            asked on the lowest supply, contacts aged, with all that may be worked at the same
            time; often two buttons pressed together
Not covered cranking; pressure or dirt that holds the plunger; what a coil needs to hold
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.coils.energised_coil import EnergisedCoil, energised_coils
from circuitcheck.checks.coils.energised_winding import across_working
from circuitcheck.checks.coils.soaked_winding import with_hot_winding
from circuitcheck.checks.finding import (
    NOT_JUDGED,
    PASS,
    Finding,
    Probe,
    Term,
    Working,
    judged,
    stepped,
    worst_with,
)
from circuitcheck.checks.stand_ins import assumed, said_unknown, stand_ins, unknown_upstream
from circuitcheck.formulas.wire_resistance import COPPER_ZERO_C
from circuitcheck.solve.heat.reference_heat import soaked_and_reference_c
from circuitcheck.solve.solution import HEAT_SOAKED
from circuitcheck.units import text

NAME = "coil pull-in"
WHY = "Below it the valve may not shift, or only sometimes: hot, and on a weak battery."
BY_VOLTAGE = "lowest voltage at the hot coil, against its pull-in voltage"
BY_CURRENT = "lowest voltage at the hot coil, against what drives its pull-in current"
NOT_GIVEN = "no pull-in voltage is given: ask the coil's maker for that of the warm coil"
ASK_HEAT = (
    "the coil's thermal resistance is not known: measure its resistance cold and after its longest "
    "use, or ask for its hot resistance"
)
SOURCES = ("valve-coil-ranges", "vde-0580")
KEYS = ("pull_in", "rated", "resistance", "rated_ambient", "thermal.resistance")


def judge(case: Case) -> list[Finding]:
    """Return, per coil, one finding by voltage and one by current in its worst position."""
    found: dict[tuple[str, str], list[tuple[Finding, EnergisedCoil]]] = {}
    for found_at in energised_coils(case, HEAT_SOAKED):
        at = with_hot_winding(case, found_at)
        for finding in (_by_voltage(case, at), _by_current(case, at)):
            found.setdefault((at.coil.name, finding.quantity), []).append((finding, at))
    leading = (worst_with(pairs) for pairs in found.values())
    return [stepped(finding, across_working(at, "lower", "V_min")) for finding, at in leading]


def _by_voltage(case: Case, at: EnergisedCoil) -> Finding:
    coil = at.coil
    if coil.pull_in_fraction is None:
        return _finding(case, at, BY_VOLTAGE, None, NOT_GIVEN)
    share = Term("p", coil.pull_in_fraction, "1", "pull-in share of rated voltage")
    rated = Term("U_r", coil.rated_v, "V", "rated voltage")
    limit = Term("V_p", share.value * rated.value, "V", "pull-in voltage")
    probe = Probe("voltage", at.fed, at.returned)
    return _finding(case, at, BY_VOLTAGE, Working("p * U_r", (share, rated), limit, probe), WHY)


def _by_current(case: Case, at: EnergisedCoil) -> Finding:
    coil = at.coil
    if coil.pull_in_fraction is None:
        return _finding(case, at, BY_CURRENT, None, NOT_GIVEN)
    heat = case.solution.heat[coil.name]
    if not heat.judged or said_unknown(case, coil.name, "thermal.resistance"):
        return _finding(case, at, BY_CURRENT, None, ASK_HEAT)
    soaked_c, reference_c = soaked_and_reference_c(case.solution, coil)
    share = Term("p", coil.pull_in_fraction, "1", "pull-in share of rated voltage")
    rated = Term("U_r", coil.rated_v, "V", "rated voltage")
    soaked = Term("T_soak", soaked_c, "degC", "winding, heat-soaked by its use")
    air = text(coil.rated_ambient_c, "degC")
    reference = Term("T_ref", reference_c, "degC", f"winding on rated voltage, in air of {air}")
    zero = Term("T_0", COPPER_ZERO_C, "degC", "copper would lose its resistance at minus this")
    needed = share.value * rated.value * (zero.value + soaked_c) / (zero.value + reference_c)
    return _finding(
        case,
        at,
        BY_CURRENT,
        Working(
            "p * U_r * (T_0 + T_soak) / (T_0 + T_ref)",
            (share, rated, zero, soaked, reference),
            Term("V_i", needed, "V", "voltage that drives the pull-in current"),
            Probe("voltage", at.fed, at.returned),
        ),
        WHY,
    )


def _finding(
    case: Case, at: EnergisedCoil, quantity: str, working: Working | None, reason: str
) -> Finding:
    limit = None if working is None else working.result.value
    value = at.across_v.lower
    result = NOT_JUDGED if limit is None else judged(value, limit, at_most=False)
    unknown = unknown_upstream(case, at.way)
    if result == PASS and unknown:
        result, reason = NOT_JUDGED, f"the voltage may be lower: {'; '.join(unknown)}"
    return Finding(
        check=NAME,
        subject=at.coil.name,
        result=result,
        quantity=quantity,
        reason=reason,
        position=at.solved.position.name,
        coil_state=at.solved.coil_state,
        value=value,
        limit=limit,
        unit="V",
        at_most=False,
        conditions=(
            *at.at_lowest(case),
            *stand_ins(case, at.way),
            *assumed(case, at.coil.name, *KEYS),
        ),
        sources=SOURCES,
        gap=at.across_v.gap,
        working=working,
    )


CHECK = Check(
    name=NAME,
    judges="lowest voltage at the heat-soaked coil, against its pull-in voltage and current",
    why=WHY,
    does_not_cover="pull-in while cranking; a plunger held by pressure or dirt",
    sources=SOURCES,
    judge=judge,
)
