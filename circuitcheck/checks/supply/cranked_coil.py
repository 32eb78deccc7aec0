"""A coil that is on when the engine is cranked: what is left at it, and what it needs to hold on.

    V_crank = V_lowest V_dip / V_s      the first dip is in proportion to what was solved
    V_hold  = d_u U_r (234.5 + T_hot) / (234.5 + T_ref)      d_u: upper end of its drop-out

Shared ground of the checks on cranking; it judges nothing itself.
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case
from circuitcheck.checks.coils.energised_winding import (
    EnergisedWinding,
    across_working,
    windings_on,
)
from circuitcheck.checks.contacts.hot_relay import at_temperature, hot_pull_in
from circuitcheck.checks.finding import Term, Working
from circuitcheck.checks.movement.movers import movers
from circuitcheck.checks.stand_ins import is_stand_in
from circuitcheck.formulas.coil import steady_resistance_ohm, winding_temperature_c
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.record import record
from circuitcheck.solve.solution import HEAT_SOAKED
from circuitcheck.solve.worst_case import PositionSolution
from circuitcheck.transient.supply_events import cranking_dip_v

Mover = SolenoidCoil | PullHoldCoil
TAP_DEAD = "its tap is dead while the engine is cranked"
NO_HOLD = "the voltage that it surely holds on with is not known: read it in the data sheet"


@record
class CrankedCoil:
    """One coil in one combination of buttons, before and while the engine is cranked.

    `before` is the position with the key on. `left` gives the voltage at the coil in the first dip,
    `hold` what it needs to hold on for sure, None where not known. `why` says in words why nothing
    is left, where nothing is. `by_itself` is True where no hand holds a button.
    """

    part: Mover
    branch: str
    before: PositionSolution
    left: Working
    hold: Working | None
    why: str
    words: tuple[str, ...]
    by_itself: bool

    @property
    def is_lost(self) -> bool:
        """Whether it may let go; with an unknown hold voltage only where nothing is left."""
        if self.left.result.value <= 0.0:
            return True
        return self.hold is not None and self.left.result.value < self.hold.result.value

    @property
    def is_sure(self) -> bool:
        """Whether every coil of the type holds on."""
        return self.hold is not None and not self.is_lost


def cranked_coils(case: Case) -> Iterator[CrankedCoil]:
    """Yield each coil that moves something, in the combination that leaves it least.

    A coil that only a hand holds, and one that maintained switches hold, are told apart: it comes
    once for each.
    """
    for part in movers(case.harness):
        branch = f"{part.name}/hold" if isinstance(part, PullHoldCoil) else part.name
        found: dict[bool, list[CrankedCoil]] = {}
        for solved in case.solution.live(HEAT_SOAKED):
            position = solved.position
            remembered = position.name in case.solution.came_from
            if position.key != "key on" or branch not in solved.asked_for:
                continue
            alone = not remembered and not case.harness.momentary & position.pressed
            found.setdefault(alone, []).append(_cranked(case, part, branch, solved, alone))
        for several in found.values():
            yield min(several, key=lambda one: one.left.result.value)


def _cranked(
    case: Case, part: Mover, branch: str, before: PositionSolution, by_itself: bool
) -> CrankedCoil:
    twin = next(
        (s for s in case.solution.positions
         if s.position.key == "cranking" and s.position.pressed == before.position.pressed
         and s.coil_state == HEAT_SOAKED and s.pull_state == before.pull_state),
        None,
    )  # fmt: skip
    hold = _hold(case, part, branch)
    why, at = _nothing_left(case, branch, twin), None
    if twin is not None and not why:
        at = next(one for one in windings_on(case, twin) if one.branch == branch)
        why = _relay_lost(case, at)
    if at is None or why:
        term = Term("V_c", 0.0, "V", why)
        return CrankedCoil(part, branch, before, Working("V_c", (term,), term), hold, why, (),
                           by_itself)  # fmt: skip
    # the supply of the dip stands for the one that was solved
    others = [one for one in at.at_lowest(case) if not one.endswith("at the battery posts")]
    left, words = _at_dip(case, at), (*_profile(case, at.solved), *others)
    return CrankedCoil(part, branch, before, left, hold, "", words, by_itself)


def _nothing_left(case: Case, branch: str, twin: PositionSolution | None) -> str:
    if twin is None or not twin.network.live:
        return TAP_DEAD
    if all(at.branch != branch for at in windings_on(case, twin)):
        return "nothing feeds it while the engine is cranked"
    return ""


def _relay_lost(case: Case, at: EnergisedWinding) -> str:
    """Return in words which relay that feeds the coil may let go, empty where none may."""
    owners = [b.owner for b in at.way if b.role == "relay contact"]
    relays = {name: case.harness.parts[name] for name in dict.fromkeys(owners)}
    for one in windings_on(case, at.solved, ("relay coil",)):
        relay = relays.get(one.owner)
        if not isinstance(relay, Relay) or relay.name not in at.solved.position.energised_relays:
            continue
        needed = hot_pull_in(case, relay)
        if needed is None or _at_dip(case, one).result.value < needed.result.value:
            return f"relay {relay.name} on its way may let go"
    return ""


def _at_dip(case: Case, at: EnergisedWinding) -> Working:
    """Return the voltage at a winding in the first dip, lowest."""
    supply_v = at.solved.supply_v.lower
    dip_v = cranking_dip_v(case.library, case.harness.system_v, supply_v)
    lowest = Term("V_min", at.across_v.lower, "V", "lowest voltage at the coil while cranking")
    terms = (
        lowest,
        Term("V_dip", dip_v, "V", "first dip at the battery posts"),
        Term("V_s", supply_v, "V", "supply that the lowest voltage was solved for"),
    )
    volts = max(0.0, at.across_v.lower * dip_v / supply_v)
    result = Term("V_c", volts, "V", "voltage at the coil in the first dip")
    return Working("V_min * V_dip / V_s", terms, result,
                   steps=(across_working(at, "lower", "V_min"),))  # fmt: skip


def _profile(case: Case, cranking: PositionSolution) -> tuple[str, ...]:
    """Return in words how the supply falls while cranking."""
    supply_v, limit = cranking.supply_v.lower, case.library.limit
    dip_v = cranking_dip_v(case.library, case.harness.system_v, supply_v)
    if dip_v >= supply_v:
        said = f"{supply_v:g} V for {limit('cranking_s').value:g} s of cranking"
    else:
        said = (
            f"first {dip_v:g} V for up to {limit('cranking_dip_s').value:g} s, then "
            f"{supply_v:g} V for {limit('cranking_s').value:g} s"
        )
    return (f"at the battery posts {said}",)


def _hold(case: Case, part: Mover, branch: str) -> Working | None:
    """Return the voltage on which every coil of the type holds, its winding at its hottest."""
    if isinstance(part, PullHoldCoil):
        share, r20 = part.hold_fraction, part.hold_20c_ohm.upper
    else:
        # What stands in for an unknown drop-out is its lower end alone.
        known = part.drop_out_fraction is not None and not is_stand_in(case, part.name, "drop_out")
        share = part.drop_out_fraction.upper if known and part.drop_out_fraction else None
        r20 = part.resistance_20c_ohm.upper
    if share is None:
        return None
    terms = (
        Term("d_u", share, "1", "share of rated voltage on which every one holds"),
        Term("U_r", part.rated_v, "V", "rated voltage"),
    )
    stated = Working("d_u * U_r", terms, Term("V_u", share * part.rated_v, "V", "holds, as stated"))
    rth, duty = part.thermal_resistance_k_per_w, 1.0 if part.duty is None else part.duty
    stated_c = part.rated_ambient_c
    if rth is not None:
        ohm = steady_resistance_ohm(r20, part.rated_v, part.rated_ambient_c, rth.lower * duty)
        stated_c = winding_temperature_c(ohm, r20)
    hot_c = max(stated_c, case.solution.heat[branch].temperature_c.upper)
    hot = at_temperature(stated.result, stated_c, hot_c, "winding at its hottest", "V_h")
    return Working(hot.formula, hot.terms, hot.result, steps=(stated,))
