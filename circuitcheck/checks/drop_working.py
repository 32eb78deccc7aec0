"""How the voltage lost in a coil's feed, return or whole loop is worked out by hand.

Shared ground of the check on voltage drop; it judges nothing itself.
"""

from __future__ import annotations

from circuitcheck.checks.check import Case
from circuitcheck.checks.current_working import lost_working
from circuitcheck.checks.energised_coil import EnergisedCoil
from circuitcheck.checks.energised_winding import across_working
from circuitcheck.checks.finding import Finding, Probe, Term, Working, stepped

QUANTITIES = {
    "total": "voltage drop, feed and return together",
    "feed": "voltage drop of the feed",
    "return": "voltage drop of the return",
}


def drop_working(case: Case, at: EnergisedCoil, part: str) -> tuple[Working, float, float]:
    """Return the closed form, the gap of its voltage [V] and the supply it is held against [V]."""
    ends = ends_of(case, at, part)
    if part == "total":
        supply = Term("V_s", at.solved.supply_v.lower, "V", "supply at the battery posts")
        left = Term("V_c", at.across_v.lower, "V", f"lowest voltage across coil {at.coil.name}")
        share = 100.0 * (supply.value - left.value) / supply.value
        formula, terms = "100 * (V_s - V_c) / V_s", (supply, left)
        gap_v = at.across_v.gap
    else:
        drop = at.solved.between_v(*ends)
        supply = Term("V_s", at.solved.supply_v.upper, "V", "supply at the battery posts")
        lost = Term("V_d", drop.upper, "V", f"largest voltage from {ends[0]} to {ends[1]}")
        share = 100.0 * lost.value / supply.value
        formula, terms = "100 * V_d / V_s", (supply, lost)
        gap_v = drop.gap
    result = Term("drop", share, "%", QUANTITIES[part])
    return Working(formula, terms, result, Probe("voltage", *ends)), gap_v, supply.value


def ends_of(case: Case, at: EnergisedCoil, part: str) -> tuple[str, str]:
    """Return the terminals between which a part of the loop is measured; the coil's for total."""
    battery = case.harness.battery.name
    if part == "feed":
        return f"{battery}.+", at.fed
    return (at.returned, f"{battery}.-") if part == "return" else (at.fed, at.returned)


def with_steps(case: Case, part: str, finding: Finding, at: EnergisedCoil) -> Finding:
    """Add how the voltage is worked out, in the one position that counts."""
    if part == "total":
        return stepped(finding, across_working(at, "lower", "V_c"))
    ends, branches = ends_of(case, at, part), at.way_there if part == "feed" else at.way_back
    lost = Term("V_d", at.solved.between_v(*ends).upper, "V", f"voltage {ends[0]} to {ends[1]}")
    names = [branch.name for branch in branches]
    return stepped(finding, lost_working(at.solved, ends, "upper", names, lost))
