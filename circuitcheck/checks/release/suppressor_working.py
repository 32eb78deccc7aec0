"""How the figures of a suppressor are worked out by hand.

Shared ground of the checks on suppressors; it judges nothing itself.
"""

from __future__ import annotations

import math

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Term, Working
from circuitcheck.checks.release.released_coil import energy_working
from circuitcheck.formulas.suppression import diode_reverse_voltage_v
from circuitcheck.record import record
from circuitcheck.transient.switching_off.suppressor import Suppressor
from circuitcheck.transient.switching_off.switching_off import SwitchedWinding, absorbed_j

QUICKEST_PER_HOUR = 3600.0
"""Releases per hour where the file gives no rate."""
AVERAGE_OF = "average power of the {}"
WINDOW_OF = "most power of the {} over a short time"


@record
class Burnt:
    """Power of one suppressor in repeated use [W].

    `average_w` over the whole cycle and `while_on_w` while the coil is held, which a resistor alone
    takes. `counted_w` is what its rated power is held against, under the name `quantity`, and
    `working` gives it.
    """

    average_w: float
    while_on_w: float
    quantity: str
    working: Working

    @property
    def counted_w(self) -> float:
        """Power that its rated power must reach [W]."""
        return self.working.result.value


def burnt(
    case: Case, winding: SwitchedWinding, one: Suppressor, neighbours_j: float = 0.0
) -> Burnt:
    """Return what a suppressor turns to heat at the rate of use.

    W / T, and of a resistor the most over the time t_w for which it stands a short overload:
    max(P_on / k, n (P_on t_p + W) / t_w), n presses of t_p within it, k the overload it stands.
    `neighbours_j` is what other windings put into it in each release.
    """
    rate = case.harness.use.presses_per_hour or QUICKEST_PER_HOUR
    stored = Term("W", winding.energy_j, "J", "energy in the coil's field")
    steps = (energy_working(winding.slowest, stored),)
    energy_j = absorbed_j(winding.slowest, one) + neighbours_j
    others = ", with that of other coils" if neighbours_j else ""
    energy = Term("W_s", energy_j, "J", f"share of one release that it takes{others}")
    period = Term("T_c", 3600.0 / rate, "s", "time from one release to the next")
    switched_w = energy_j / period.value
    if one.kind != "resistor":
        power = Term("P", switched_w, "W", "average power")
        working = Working("W_s / T_c", (energy, period), power, steps=steps)
        return Burnt(switched_w, 0.0, AVERAGE_OF.format(one.name), working)
    volts = winding.position.across_v(winding.branch).largest()
    on = power_working(volts, one.least.series_ohm)
    working = _short_time(case, on, energy, period, steps)
    average_w = on.result.value * case.harness.use.duty() + switched_w
    return Burnt(average_w, on.result.value, WINDOW_OF.format(one.name), working)


def _short_time(
    case: Case, on: Working, energy: Term, period: Term, steps: tuple[Working, ...]
) -> Working:
    limits, use = case.library.limit, case.harness.use
    window = Term("t_w", limits("resistor_overload_s").value, "s", "short time of an overload")
    overload = Term("k", limits("resistor_overload_share").value, "1", "overload stood for it")
    count = Term("n", math.ceil(window.value / period.value), "1", "most releases in that time")
    press_s = window.value if use.longest_press_s is None else use.longest_press_s
    held_s = min(window.value, count.value * press_s)
    held = Term("t_on", held_s, "s", "most that the coil is on in that time")
    power = Term("P_on", on.result.value, "W", on.result.meaning)
    most_w = max(
        power.value / overload.value,
        (power.value * held_s + count.value * energy.value) / window.value,
    )
    return Working(
        "max(P_on / k, (P_on * t_on + n * W_s) / t_w)",
        (power, overload, held, count, energy, window),
        Term("P", most_w, "W", "power to hold against the rated power"),
        steps=(*steps, on),
    )  # fmt: skip


def reverse_working(highest_v: float, load_dump_v: float) -> Working:
    """Return the voltage that a diode must block: the highest supply or a load dump."""
    terms = (
        Term("V_s", highest_v, "V", "supply at the battery posts, the highest"),
        Term("V_d", load_dump_v, "V", "load dump"),
    )
    reverse_v = diode_reverse_voltage_v(highest_v, load_dump_v)
    return Working("max(V_s, V_d)", terms, Term("V_r", reverse_v, "V", "the higher of the two"))


def power_working(highest_v: float, resistance_ohm: float) -> Working:
    """Return the power of a resistor on the highest voltage that stands across it."""
    return Working(
        "V_max**2 / R_s",
        (
            Term("V_max", highest_v, "V", "highest voltage across it"),
            Term("R_s", resistance_ohm, "ohm", "suppressor, lower end"),
        ),
        Term("P", highest_v**2 / resistance_ohm, "W", "power turned to heat"),
    )
