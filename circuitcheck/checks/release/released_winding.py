"""What each winding has to fall below to let go, and the temperature that this is stated for.

Shared ground of the checks on coils that must be off; it judges nothing itself.
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Term, Working
from circuitcheck.formulas.coil import steady_resistance_ohm, winding_temperature_c
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.record import record


@record
class DropOut:
    """Lower end of the drop-out voltage of one winding, by the name of its branch.

    `working` gives it, None where it is not known; `stated_c` is the winding's temperature that it
    holds for, None where the heat path that leads to it is not known.
    """

    branch: str
    owner: str
    working: Working | None
    stated_c: float | None


def drop_outs(case: Case) -> Iterator[DropOut]:
    """Yield the windings that hold something: coils, relay coils, hold windings."""
    for part in case.harness.parts.values():
        if isinstance(part, Relay):
            yield DropOut(part.name, part.name, _stated(part.drop_out_v), part.coil_at_c)
        elif isinstance(part, SolenoidCoil):
            yield DropOut(
                part.name, part.name, _share(part), _running_c(part, part.resistance_20c_ohm.lower)
            )
        elif isinstance(part, PullHoldCoil):
            running_c = _running_c(part, part.hold_20c_ohm.lower)
            yield DropOut(f"{part.name}/hold", part.name, _share(part), running_c)


def _stated(volts: float | None) -> Working | None:
    if volts is None:
        return None
    term = Term("V_d", volts, "V", "drop-out voltage, lower end")
    return Working("V_d", (term,), term)


def _share(part: SolenoidCoil | PullHoldCoil) -> Working | None:
    if part.drop_out_fraction is None:
        return None
    share = Term("d_o", part.drop_out_fraction.lower, "1", "drop-out share of rated voltage, lower")
    rated = Term("U_r", part.rated_v, "V", "rated voltage")
    volts = Term("V_d", share.value * rated.value, "V", "drop-out voltage, lower end")
    return Working("d_o * U_r", (share, rated), volts)


def _running_c(part: SolenoidCoil | PullHoldCoil, r20_ohm: float) -> float | None:
    """Return the hottest that rated voltage in rated air makes the winding [degC]."""
    rth = part.thermal_resistance_k_per_w
    if rth is None:
        return part.temperature_limit_c
    duty = 1.0 if part.duty is None else part.duty
    ohm = steady_resistance_ohm(r20_ohm, part.rated_v, part.rated_ambient_c, rth.upper * duty)
    return winding_temperature_c(ohm, r20_ohm)
