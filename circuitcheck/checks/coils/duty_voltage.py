"""Highest voltage of a winding by the duty of its use: shorter use allows more.

    V_max <= h U_r                                       as given, for continuous duty
    V_max <= min(h U_r sqrt(d_coil / d_use), c U_r)       for a shorter duty

Heat is V^2 / R times the share of time. Shared ground of the checks on coils; it judges nothing.
"""

from __future__ import annotations

import math

from circuitcheck.checks.check import Case
from circuitcheck.checks.coils.energised_winding import EnergisedWinding
from circuitcheck.checks.finding import Probe, Term, Working
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.solenoid_coil import SolenoidCoil

CAP = "coil_short_duty_voltage_fraction"


def highest_limit(
    case: Case, at: EnergisedWinding, coil: SolenoidCoil | PullHoldCoil
) -> Working | None:
    """Return the highest voltage by the duty in use; None where no share is given."""
    if coil.highest_fraction is None:
        return None
    highest = Term("h", coil.highest_fraction, "1", "highest share of rated voltage, continuous")
    rated = Term("U_r", coil.rated_v, "V", "rated voltage")
    probe = Probe("voltage", at.fed, at.returned)
    steady_v, stretch = highest.value * rated.value, _stretch(case, coil)
    cap = case.library.limit(CAP).value
    if stretch == 1.0 or cap <= highest.value:
        result = Term("V_h", steady_v, "V", "highest voltage")
        return Working("h * U_r", (highest, rated), result, probe)
    if steady_v * stretch > cap * rated.value:
        top = Term("c", cap, "1", "cap on the share of rated voltage, whatever the duty")
        result = Term("V_h", cap * rated.value, "V", "highest voltage by duty, capped")
        return Working("c * U_r", (top, rated), result, probe)
    coil_duty = Term("d_coil", coil.duty or 0.0, "1", "share of time that the coil is made for")
    use_duty = Term("d_use", case.harness.use.duty(), "1", "share of time in use")
    result = Term("V_h", steady_v * stretch, "V", "highest voltage by duty")
    formula = "h * U_r * (d_coil / d_use)**0.5"
    return Working(formula, (highest, rated, coil_duty, use_duty), result, probe)


def _stretch(case: Case, coil: SolenoidCoil | PullHoldCoil) -> float:
    """Return sqrt(d_coil / d_use), 1 where a duty is unknown or the use is the harder one."""
    coil_duty, use_duty = coil.duty, case.harness.use.duty()
    if coil_duty is None or use_duty <= 0.0 or use_duty >= coil_duty:
        return 1.0
    return math.sqrt(coil_duty / use_duty)


def duty_words(case: Case, coil: SolenoidCoil | PullHoldCoil) -> tuple[str, ...]:
    """Return in words what the duty in use is, where it allows more."""
    if _stretch(case, coil) == 1.0:
        return ()
    return (f"on {case.harness.use.duty():.0%} of the time, presses spread over the hour",)
