"""Held coil dips: a coil that is on stays in when something else is switched on.

Finds       a press that drops another valve out: cold filaments, pull windings and coils on a
            shared feed that take the voltage away from it for a moment
Formula     V_min = V_0 - R_1 I_1 - R_2 I_2 - ...  >=  d U_r (234.5 + T) / (234.5 + T_r)
            V_0 the voltage at the coil with nothing on, R_k what it loses per ampere of load k; d
            the upper end of the coil's drop-out, stated for its winding at T_r. Force follows
            current, which falls no lower than V_min would drive it, whatever the voltage does in
            the first millisecond. A pull and hold coil: >= h U_r; a relay: its pull-in voltage, hot
Source      valve-coil-ranges (drop-out), lamp-starting (cold filaments), iec-60028 (copper)
Worst case  lowest supply, contacts aged, wires hot; every winding heat-soaked and of the least
            resistance for that; filaments cold for as long as it lasts
Not covered input capacitors of converters (`circuitcheck switching` follows them where they are
            given); the bounds of a bridge between feeds: its lowest corner is not searched for
Result      one finding per coil that some press leaves on, at its worst press
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.contacts.hot_relay import at_temperature, hot_pull_in
from circuitcheck.checks.finding import NOT_JUDGED, PASS, Finding, Term, Working, judged
from circuitcheck.checks.stand_ins import assumed
from circuitcheck.formulas.coil import steady_resistance_ohm, winding_temperature_c
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.record import record
from circuitcheck.solve.solution import HEAT_SOAKED
from circuitcheck.transient.switching_on.dip import Dip, dips
from circuitcheck.units import text

NAME = "held coil dips"
WHY = "One valve lets go for a moment, or for good, because another one is switched on."
QUANTITY = "voltage left for the coil while other loads switch on"
ASK = "from which voltage it stays in is not given: read drop-out or hold in its data sheet"
ASK_RELAY = "below its pull-in voltage; from which voltage it stays in is not given: ask its maker"
UNCHARGED = "the input capacitor of {} charges meanwhile: see `circuitcheck switching`"
SOURCES = ("valve-coil-ranges", "lamp-starting", "iec-60028")
LEAST_V = 1e-3


@record
class _Judged:
    dip: Dip
    limit: Working | None

    @property
    def margin_v(self) -> float:
        return self.dip.across_v - (self.limit.result.value if self.limit else 0.0)


def judge(case: Case) -> list[Finding]:
    """Return one finding per coil that some press leaves on, at its worst press."""
    found: dict[str, _Judged] = {}
    for dip in dips(case.solution):
        if dip.branch.endswith("/pull"):
            continue
        one = _Judged(dip, _limit(case, dip))
        if dip.branch not in found or one.margin_v < found[dip.branch].margin_v:
            found[dip.branch] = one
    return [_finding(case, one) for one in found.values()]


def _limit(case: Case, dip: Dip) -> Working | None:
    part = case.harness.parts[dip.owner]
    if isinstance(part, Relay):
        return hot_pull_in(case, part)
    rated = Term("U_r", part.rated_v, "V", "rated voltage") if isinstance(
        part, SolenoidCoil | PullHoldCoil
    ) else None  # fmt: skip
    if isinstance(part, PullHoldCoil) and rated and part.hold_fraction is not None:
        share = Term("h", part.hold_fraction, "1", "hold share of rated voltage")
        limit = Term("V_h", share.value * rated.value, "V", "voltage that keeps it in")
        return Working("h * U_r", (share, rated), limit)
    if not isinstance(part, SolenoidCoil) or rated is None or part.drop_out_fraction is None:
        return None
    share = Term("d", part.drop_out_fraction.upper, "1", "highest drop-out of the type")
    stated = Term("V_d", share.value * rated.value, "V", "voltage that keeps it in, as stated")
    step = Working("d * U_r", (share, rated), stated)
    rth, r20 = part.thermal_resistance_k_per_w, part.resistance_20c_ohm.lower
    if rth is None:
        return step
    duty = 1.0 if part.duty is None else part.duty
    ohm = steady_resistance_ohm(r20, part.rated_v, part.rated_ambient_c, rth.lower * duty)
    winding_c = winding_temperature_c(dip.winding_ohm, r20)
    warm = at_temperature(
        stated, winding_temperature_c(ohm, r20), winding_c, "winding as hot as it is", "V_h"
    )
    return Working(warm.formula, warm.terms, warm.result, steps=(step,))


def _finding(case: Case, one: _Judged) -> Finding:
    dip, limit = one.dip, one.limit
    value = dip.across_v
    result, reason = NOT_JUDGED, ASK
    if limit is not None:
        result, reason = judged(value, limit.result.value, at_most=False), WHY
        if result != PASS and isinstance(case.harness.parts[dip.owner], Relay):
            result, reason = NOT_JUDGED, ASK_RELAY
    if result == PASS and dip.uncharged:
        result, reason = NOT_JUDGED, UNCHARGED.format(", ".join(dip.uncharged))
    supply = text(dip.supply_v, "V")
    words = [
        dip.action.name,
        f"{supply} at the battery posts, wires hot, contacts aged, coils heat-soaked",
    ]
    if dip.cold:
        words.append(f"cold lamps: {', '.join(dip.cold)}")
    across = _across(dip)
    working = across if limit is None else Working(
        limit.formula, limit.terms, limit.result, steps=(*limit.steps, across)
    )  # fmt: skip
    return Finding(
        NAME, dip.owner, result, QUANTITY, reason, dip.action.after.name, HEAT_SOAKED,
        value, None if limit is None else limit.result.value, "V", at_most=False,
        conditions=(*words, *assumed(case, dip.owner, "drop_out", "hold", "rated")),
        sources=SOURCES, working=working,
    )  # fmt: skip


def _across(dip: Dip) -> Working:
    """Return how the voltage left is worked out: what each load takes off it."""
    terms = [Term("V_0", dip.open_v, "V", "voltage at the coil with nothing on")]
    formula, rest_v = "V_0", 0.0
    for number, loss in enumerate(dip.losses, start=1):
        if abs(loss.ohm * loss.current_a) < LEAST_V:
            rest_v += loss.ohm * loss.current_a
            continue
        terms.append(Term(f"R_{number}", loss.ohm, "ohm", f"lost per ampere of {loss.load}"))
        terms.append(Term(f"I_{number}", loss.current_a, "A", f"current of {loss.load}"))
        formula += f" - R_{number} * I_{number}"
    terms.append(Term("V_r", rest_v, "V", "lost to all others together"))
    left = Term("V_min", dip.across_v, "V", f"voltage left for coil {dip.branch}")
    return Working(f"{formula} - V_r", tuple(terms), left)


CHECK = Check(
    name=NAME,
    judges="voltage left for a coil that is on while other loads switch on, against what keeps it",
    why=WHY,
    does_not_cover="input capacitors of converters; bridges between feeds",
    sources=SOURCES,
    judge=judge,
)
