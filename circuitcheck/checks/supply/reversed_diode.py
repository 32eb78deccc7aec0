"""A bare diode across a coil on a reversed battery: its current, the fuse ahead, what goes first.

Shared ground of the check on a reversed battery; it judges nothing itself.
"""

from __future__ import annotations

from circuitcheck.checks.check import Case
from circuitcheck.checks.coils.energised_winding import EnergisedWinding, windings_on
from circuitcheck.checks.finding import Term, Working
from circuitcheck.checks.fuses.fuse_ahead import FittedFuse, read_fuses_ahead
from circuitcheck.checks.release.released_coil import ReleasedCoil
from circuitcheck.circuit.netlist import Branch
from circuitcheck.formulas.fuse_clearing import clearing_time_s, guaranteed_opening_a
from circuitcheck.record import record
from circuitcheck.transient.heat.fuse_rating import rerated_a
from circuitcheck.transient.supply_events import SupplyEvent
from circuitcheck.transient.switching_off.suppressor import Suppressor
from circuitcheck.units import text

HALF_SINE_S = 0.0083
"""Length of the half sine that a diode's surge is printed for (60 Hz)."""


@record
class NoFuse:
    """No fuse is on the way, or the machine's own is not known."""

    position: str
    is_unknown: bool


@record
class ReversedDiode:
    """The reversed current through a diode, and the fuse that opens soonest for sure.

    `weakest` gives its least current; `opens_a` is what the fuse must open at; `clearing` gives
    the longest time, None where it may never open. `first_to_go` says in words whether diode or
    fuse goes first, at the strongest current; `diode_first` whether it is the diode.
    """

    position: str
    fuse: str
    weakest: Working
    opens_a: float
    clearing: Working | None
    first_to_go: str
    diode_first: bool
    words: tuple[str, ...]


def reversed_diode(
    case: Case, coil: ReleasedCoil, event: SupplyEvent
) -> ReversedDiode | NoFuse | None:
    """Return what a reversed battery makes of a diode; None where something blocks it.

    A diode on the way blocks, and a converter ahead does not pass the reversal on.
    """
    solved = coil.winding.position
    at = next(one for one in windings_on(case, solved) if one.branch == coil.winding.branch)
    way = [step for step in at.way if isinstance(step, Branch)]
    if len(way) < len(at.way) or at.behind is not None:
        return None
    names = {branch.name for branch in way}
    fuses = [f for f in read_fuses_ahead(case.harness).fuses.values() if f.branch in names]
    known = [fuse for fuse in fuses if fuse.row is not None]
    if not known:
        return NoFuse(solved.position.name, bool(fuses))
    diode = next(one for one in coil.suppressors if one.kind == "diode")
    return _against(case, at, diode, event, known)


def _against(
    case: Case,
    at: EnergisedWinding,
    diode: Suppressor,
    event: SupplyEvent,
    fuses: list[FittedFuse],
) -> ReversedDiode:
    way = [at.solved.resistance_ohm(step.name) for step in at.way]
    battery = case.harness.battery.internal_resistance_ohm
    empty_v, most = case.harness.conditions.engine_off_v[0], diode.most or diode.usual
    terms = (
        Term("V_e", empty_v, "V", "empty battery"),
        Term("V_f", most.clamp_v, "V", "diode, upper end"),
        Term("R_b", battery.upper, "ohm", "battery, cold and aged"),
        Term("R_w", sum(band.upper for band in way), "ohm", "way there and back, hot and aged"),
    )
    amps = max(1e-6, (empty_v - most.clamp_v) / (terms[2].value + terms[3].value))
    weakest = Working(
        "(V_e - V_f) / (R_b + R_w)", terms, Term("I_r", amps, "A", "weakest reversed current")
    )
    strongest_a = (event.supply_v - diode.least.clamp_v) / (
        battery.lower + sum(band.lower for band in way)
    )
    timed = [(*_opening(case, fuse, amps), fuse) for fuse in fuses]
    time_s, opens_a, fuse = min(timed, key=lambda one: (one[0], one[1]))
    clearing, first, diode_first = None, "", False
    if amps >= opens_a:
        result = Term("t_f", time_s, "s", f"{fuse.words}, slow edge, at {text(amps, 'A')}")
        clearing = Working("t_f", (result,), result, steps=(weakest,))
        slow_s = _opening(case, fuse, strongest_a)[0]
        stands_s = _stands_s(case, diode, strongest_a)
        first, diode_first = _first(fuse.words, slow_s, stands_s, strongest_a), slow_s > stands_s
    words = (
        f"from {text(amps, 'A')} (empty, aged) to {text(strongest_a, 'A')} (full, new)",
        f"{event.supply_v:g} V reversed, the button pressed",
    )
    return ReversedDiode(
        at.solved.position.name, fuse.words, weakest, opens_a, clearing, first, diode_first, words
    )


def _opening(case: Case, fuse: FittedFuse, amps: float) -> tuple[float, float]:
    """Return the longest opening time, and the current at which the fuse must open at all."""
    assert fuse.row is not None  # the caller took those that are known
    band = case.library.fuse_opening_band(fuse.row.style)
    worth_a = rerated_a(case.library, fuse.row, fuse.ambient_c.lower)
    opens_a = guaranteed_opening_a(worth_a, band.percents, band.max_s)
    return clearing_time_s(amps, worth_a, band.percents, band.max_s), opens_a


def _stands_s(case: Case, diode: Suppressor, amps: float) -> float:
    """Return how long a diode stands a current, by its surge: I_s^2 t_s / (2 I^2)."""
    rows = sorted(case.library.diodes.values(), key=lambda row: row.current_a)
    like = [row for row in rows if row.current_a <= (diode.forward_a or rows[0].current_a)]
    surge_a = (
        min(row.surge_a or 0.0 for row in like if row.current_a == like[-1].current_a)
        if like
        else 0.0
    )
    return surge_a**2 * HALF_SINE_S / 2.0 / amps**2


def _first(fuse: str, fuse_s: float, diode_s: float, amps: float) -> str:
    at = f"at {text(amps, 'A')}, the strongest,"
    stands = f"the diode stands it for {text(diode_s, 's')}"
    if fuse_s <= diode_s:
        return f"The fuse goes first: {at} {fuse} opens within {text(fuse_s, 's')}, {stands}."
    return (
        f"After a reversed battery renew diode and fuse: {at} {fuse} takes up to "
        f"{text(fuse_s, 's')}, {stands}. A diode that has failed open is not noticed."
    )
