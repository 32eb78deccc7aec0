"""How the voltage lost in a coil's feed, return or whole loop is worked out by hand.

Shared ground of the check on voltage drop; it judges nothing itself.
"""

from __future__ import annotations

from circuitcheck.checks.coils.energised_winding import EnergisedWinding, across_working
from circuitcheck.checks.finding import Finding, Probe, Term, Working, stepped
from circuitcheck.checks.workings.current_working import lost_working

QUANTITIES = {
    "total": "voltage drop, feed and return together",
    "feed": "voltage drop of the feed",
    "return": "voltage drop of the return",
}


def drop_working(at: EnergisedWinding, part: str) -> tuple[Working, float, float]:
    """Return the closed form, the gap of its voltage [V] and the supply it is held against [V]."""
    if at.behind is not None and part == "total":
        return _behind_converter(at)
    ends = ends_of(at, part)
    if part == "total":
        supply = _supply(at, "lower")
        left = Term("V_c", at.across_v.lower, "V", f"lowest voltage across coil {at.branch}")
        share = 100.0 * (supply.value - left.value) / supply.value
        formula, terms = "100 * (V_s - V_c) / V_s", (supply, left)
        gap_v = at.across_v.gap
    else:
        drop = at.solved.between_v(*ends)
        supply = _supply(at, "upper")
        lost = Term("V_d", drop.upper, "V", f"largest voltage from {ends[0]} to {ends[1]}")
        share = 100.0 * lost.value / supply.value
        formula, terms = "100 * V_d / V_s", (supply, lost)
        gap_v = drop.gap
    result = Term("drop", share, "%", QUANTITIES[part])
    return Working(formula, terms, result, Probe("voltage", *ends)), gap_v, supply.value


def _behind_converter(at: EnergisedWinding) -> tuple[Working, float, float]:
    """Return both drops added up: what the converter gives depends on all that hangs on it."""
    drops = [at.solved.between_v(*ends_of(at, part)) for part in ("feed", "return")]
    supply = _supply(at, "lower")
    terms = (
        supply,
        Term("V_f", drops[0].upper, "V", "largest drop of the feed"),
        Term("V_r", drops[1].upper, "V", "largest drop of the return"),
    )
    share = 100.0 * (drops[0].upper + drops[1].upper) / supply.value
    result = Term("drop", share, "%", QUANTITIES["total"])
    gap_v = drops[0].gap + drops[1].gap
    return Working("100 * (V_f + V_r) / V_s", terms, result), gap_v, supply.value


def _supply(at: EnergisedWinding, side: str) -> Term:
    """Return the supply at the source: at its end for the battery, the lowest of a converter."""
    if at.behind is not None:
        volts = at.solved.between_v(*at.source).lower
        return Term("V_s", volts, "V", f"lowest output of converter {at.behind}")
    band = at.solved.supply_v
    volts = band.lower if side == "lower" else band.upper
    return Term("V_s", volts, "V", "supply at the battery posts")


def ends_of(at: EnergisedWinding, part: str) -> tuple[str, str]:
    """Return the terminals between which a part of the loop is measured; the coil's for total."""
    if part == "feed":
        return at.source[0], at.fed
    return (at.returned, at.source[1]) if part == "return" else (at.fed, at.returned)


def with_steps(part: str, finding: Finding, at: EnergisedWinding) -> Finding:
    """Add how the voltage is worked out, in the one position that counts."""
    if part == "total" and at.behind is not None:
        return finding
    if part == "total":
        return stepped(finding, across_working(at, "lower", "V_c"))
    ends, passed = ends_of(at, part), at.way_there if part == "feed" else at.way_back
    lost = Term("V_d", at.solved.between_v(*ends).upper, "V", f"voltage {ends[0]} to {ends[1]}")
    return stepped(finding, lost_working(at.solved, ends, "upper", [e.name for e in passed], lost))
