"""What a relay needs when its winding is as hot, or as cold, as it gets.

    V(T) = V(T_0) (234.5 + T) / (234.5 + T_0)        the same current through a warmer winding

Shared ground of the checks on relays; it judges nothing itself.
"""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.coils.energised_winding import EnergisedWinding
from circuitcheck.checks.finding import Term, Working
from circuitcheck.formulas.wire_resistance import COPPER_ZERO_C, resistance_at_ohm
from circuitcheck.model.relay import Relay
from circuitcheck.solve.relays.relay_certificate import UndeterminedRelay, at_temperature_v


def hot_pull_in(case: Case, relay: Relay) -> Working | None:
    """Return the pull-in voltage of the hot winding; None where it is not known."""
    if relay.pull_in_v is None:
        return None
    hot_c = case.solution.heat[relay.name].temperature_c.upper
    stated = Term("V_p", relay.pull_in_v, "V", "pull-in voltage as stated")
    return at_temperature(stated, relay.coil_at_c, hot_c, "winding as hot as it gets", "V_h")


def at_temperature(stated: Term, stated_c: float, winding_c: float, what: str, to: str) -> Working:
    """Return a stated voltage of a winding for another temperature of it."""
    volts = stated.value * (COPPER_ZERO_C + winding_c) / (COPPER_ZERO_C + stated_c)
    terms = (
        stated,
        Term("T_0", COPPER_ZERO_C, "degC", "copper would lose its resistance at minus this"),
        Term("T_w", winding_c, "degC", what),
        Term("T_r", stated_c, "degC", "winding that the figure is stated for"),
    )
    formula = f"{stated.symbol} * (T_0 + T_w) / (T_0 + T_r)"
    return Working(formula, terms, Term(to, volts, "V", f"{stated.meaning}, {what}"))


def with_hot_relay(case: Case, relay: Relay, at: EnergisedWinding) -> EnergisedWinding:
    """Return the relay with its winding as hot as it gets and of the least resistance for that."""
    winding_c = case.solution.heat[relay.name].temperature_c.upper
    ohm = resistance_at_ohm(relay.resistance_20c_ohm.lower, winding_c)
    solved = at.solved.with_winding(at.branch, ohm, winding_c)
    across_v = solved.between_v(at.fed, at.returned)
    return replace(at, solved=solved, across_v=across_v)


def only_if_hot(case: Case, relay: Relay, across_v: float) -> bool:
    """Return whether a voltage is too low only for a winding whose heat path is not known.

    It is then taken as hot as its class allows.
    """
    if case.solution.heat[relay.name].judged or relay.pull_in_v is None:
        return False
    air_c = case.harness.zone_of(relay.zone).ambient_c.upper
    return across_v >= at_temperature_v(relay.pull_in_v, relay.coil_at_c, air_c)


def hangs_on_unknown(case: Case, relay: Relay, one: UndeterminedRelay) -> bool:
    """Return whether a relay's state is open only because something of it is not known."""
    if one.operate_v is None or one.release_v is None:
        return True
    return one.taken_energised and only_if_hot(case, relay, one.across_v.smallest())
