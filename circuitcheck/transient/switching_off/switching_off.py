"""A winding switched off: energy, peaks, and how long its current takes to let the plunger go.

    L di/dt + (R + r) i + E = 0          E, r of the suppressor, R of the winding
    t = L / (R + r) ln((I0 (R + r) + E) / (I_d (R + r) + E))

I_d is the current at which the plunger lets go. Coil and suppressor are one loop: what else hangs
on it through wires is left to `freewheel.py`. Slowest: inductance at its upper end (plunger in),
winding at its coldest and of least resistance, highest supply, drop-out at its lower end. For one
winding I0 / I_d does not hang on its resistance at 20 degC, so the lower end counts for both.
The bare peak of a winding without suppressor hangs on the arc in the contact and cannot be worked
out from L and R: its energy is given instead. Source: openstax-university-physics, m58752.
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.netlist import Network
from circuitcheck.formulas.coil import steady_resistance_ohm
from circuitcheck.formulas.suppression import decay_time_s, stored_energy_j, suppressor_energy_j
from circuitcheck.formulas.wire_resistance import COPPER_ZERO_C
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.position_solution import LEAST_COIL_A, PositionSolution
from circuitcheck.solve.solution import COLD_START, HEAT_SOAKED
from circuitcheck.solve.worst_case import Solution
from circuitcheck.transient.supply_events import converter_ahead
from circuitcheck.transient.switching_off.suppressor import Law, Suppressor

HIGH_SIDE, LOW_SIDE, BOTH_SIDES = "high side", "low side", "both sides"
Coil = SolenoidCoil | PullHoldCoil | Relay


@record
class WindingState:
    """One winding at one end of what can be, just before its contact opens.

    Resistance as warm as it is, current, and the current below which it lets go; None where the
    drop-out is not known.
    """

    inductance_h: float
    ohm: float
    current_a: float
    drop_out_a: float | None

    def decay_s(self, law: Law, end_a: float) -> float:
        """Return the time until the current has fallen to `end_a` [s]; 0 if it is there."""
        if end_a >= self.current_a:
            return 0.0
        loop_ohm = self.ohm + law.series_ohm
        return decay_time_s(self.inductance_h, loop_ohm, self.current_a, end_a, law.clamp_v)


@record
class SwitchedWinding:
    """A winding that is switched off, by the name of its branch.

    `slowest`, `usual` and `quickest` are the ends of its band; `position` is where its current is
    largest, `supply_v` the highest there, `system_v` what its
    feed is rated for (12 behind a converter). `side` tells on which side of it the contact opens.
    `inductance_known` is False where a usual L/R stands in.
    """

    branch: str
    owner: str
    position: PositionSolution
    slowest: WindingState
    usual: WindingState
    quickest: WindingState
    supply_v: float
    system_v: float
    side: str
    inductance_known: bool

    @property
    def side_words(self) -> str:
        """Where its contact opens, after `contact on`."""
        return self.side if self.side == BOTH_SIDES else f"the {self.side}"

    @property
    def energy_j(self) -> float:
        """Most energy in its field [J]."""
        return stored_energy_j(self.slowest.inductance_h, self.slowest.current_a)


@record
class Release:
    """What one suppressor makes of a winding's switch-off.

    Peaks are None where its clamping voltage is not known; `release_s` where the drop-out is not.
    `coil_peak_v` stands across the coil, reversed; `contact_peak_v` across the opening contact,
    the supply on top. `absorbed_j` is the most that the suppressor takes of one release.
    """

    suppressor: Suppressor
    coil_peak_v: float | None
    contact_peak_v: float | None
    release_s: Band | None
    absorbed_j: float


def switched_windings(
    harness: Harness, library: Library, solution: Solution
) -> Iterator[SwitchedWinding]:
    """Yield every solenoid coil, relay coil and hold winding that some live position works."""
    for part in harness.parts.values():
        if isinstance(part, SolenoidCoil | Relay):
            found = _switched(harness, library, solution, part, part.name)
        elif isinstance(part, PullHoldCoil):
            found = _switched(harness, library, solution, part, f"{part.name}/hold")
        else:
            continue
        if found is not None:
            yield found


def pull_windings(
    harness: Harness, library: Library, solution: Solution
) -> Iterator[SwitchedWinding]:
    """Yield every pull winding that some live position works; of what it holds nothing is known.

    Its inductance is that of usual coils, for that of the hold winding says nothing about it.
    """
    for part in harness.of_kind(PullHoldCoil):
        found = _switched(harness, library, solution, part, f"{part.name}/pull")
        if found is not None:
            yield found


def released(
    winding: SwitchedWinding, suppressor: Suppressor, through_a: float | None = None
) -> Release:
    """Return peaks, release time and energy of a winding with one suppressor.

    `through_a` is the current that passes into the suppressor where other windings push theirs
    into it too [A].
    """
    most, amps = suppressor.most, through_a or winding.slowest.current_a
    coil_v = None if most is None else most.volts(amps)
    slow, quick = winding.slowest, winding.quickest
    times = None
    if slow.drop_out_a is not None and quick.drop_out_a is not None:
        shortest = quick.decay_s(most or suppressor.usual, quick.drop_out_a)
        longest = slow.decay_s(suppressor.least, slow.drop_out_a)
        usual = longest
        if winding.usual.drop_out_a is not None:
            usual = winding.usual.decay_s(suppressor.usual, winding.usual.drop_out_a)
        times = Band(min(shortest, longest), min(max(shortest, usual), longest), longest)
    return Release(
        suppressor,
        coil_v,
        None if coil_v is None else winding.supply_v + coil_v,
        times,
        absorbed_j(slow, suppressor),
    )


def absorbed_j(state: WindingState, suppressor: Suppressor) -> float:
    """Return the most that the suppressor takes up of one release [J]."""
    laws = [law for law in (suppressor.least, suppressor.usual, suppressor.most) if law is not None]
    return max(
        suppressor_energy_j(
            state.inductance_h, state.ohm, state.current_a, law.clamp_v, law.series_ohm
        )
        for law in laws
    )


def _switched(
    harness: Harness, library: Library, solution: Solution, part: Coil, branch: str
) -> SwitchedWinding | None:
    cold = [s for s in solution.live(COLD_START) if _works(s, branch)]
    hot = [s for s in solution.live(HEAT_SOAKED) if _works(s, branch)]
    if not cold and not hot:
        return None
    # A change that is tried out is solved in one coil state alone.
    cold, hot = cold or hot, hot or cold
    most = max(cold, key=lambda solved: solved.current_a(branch).largest())
    weakest_a = min(solved.current_a(branch).smallest() for solved in hot)
    r20 = _resistance_20c_ohm(part, branch)
    coldest, hottest = most.resistance_ohm(branch).lower, solution.heat[branch].resistance_ohm.upper
    usual_a = abs(most.current_a(branch).nominal)
    is_pull = branch.endswith("/pull") and isinstance(part, PullHoldCoil)
    henry, is_known = _inductance(part, r20, library, is_pull=is_pull)
    lower_a, middle_a, upper_a = (None, None, None) if is_pull else _drop_out_a(part, r20)
    return SwitchedWinding(
        branch,
        part.name,
        most,
        WindingState(henry.upper, coldest, most.current_a(branch).largest(), lower_a),
        WindingState(henry.nominal, most.resistance_ohm(branch).nominal, usual_a, middle_a),
        WindingState(henry.lower, hottest, min(weakest_a, usual_a), upper_a),
        *_supply_v(harness, part, most),
        _side(solution, most, branch),
        is_known,
    )


def _works(solved: PositionSolution, branch: str) -> bool:
    return (
        branch in solved.network.branch_of
        and branch in solved.asked_for
        and abs(solved.current_a(branch).nominal) > LEAST_COIL_A
    )


def _supply_v(harness: Harness, part: Coil, solved: PositionSolution) -> tuple[float, float]:
    """Return the highest voltage that feeds a coil, and what its feed is rated for [V]."""
    ahead = converter_ahead(harness, part)
    if ahead is None:
        return solved.supply_v.upper, harness.system_v
    return ahead.output_v.upper, harness.system_v / 2.0


def _resistance_20c_ohm(part: Coil, branch: str) -> Band:
    if not isinstance(part, PullHoldCoil):
        return part.resistance_20c_ohm
    return part.pull_20c_ohm if branch.endswith("/pull") else part.hold_20c_ohm


def _inductance(part: Coil, r20: Band, library: Library, *, is_pull: bool) -> tuple[Band, bool]:
    """Return the inductance, and whether it is the part's own rather than a usual L / R [H]."""
    if not (isinstance(part, Relay) or is_pull) and part.inductance_h is not None:
        return part.inductance_h, True
    kind = "relay" if isinstance(part, Relay) and part.kind == "relay" else "coil"
    shortest, longest = (
        library.limit(f"{kind}_time_constant_{end}_s").value for end in ("shortest", "longest")
    )
    lower, upper = shortest * r20.lower, longest * r20.upper
    return Band(lower, (lower + upper) / 2.0, upper), False


def _drop_out_a(part: Coil, r20: Band) -> tuple[float | None, float | None, float | None]:
    """Return the currents below which the plunger lets go: slowest, usual and quickest [A].

    The voltage is stated for a winding at a temperature; force goes with ampere-turns.
    """
    if isinstance(part, Relay):
        warm = (COPPER_ZERO_C + part.coil_at_c) / (COPPER_ZERO_C + 20.0)
        low_v, high_v = part.drop_out_v, part.pull_in_v
        if low_v is None or high_v is None:
            return None, None, None
        # It holds on less than it needs to pull in: that bounds a release voltage never printed.
        middle_a = (low_v + high_v) / 2.0 / (r20.nominal * warm)
        return low_v / (r20.lower * warm), middle_a, high_v / (r20.upper * warm)
    share = part.drop_out_fraction
    if share is None:
        return None, None, None
    rth = part.thermal_resistance_k_per_w
    duty = 1.0 if part.duty is None else part.duty
    coolest, hottest = (rth.lower, rth.upper) if rth is not None else (0.0, 0.0)

    def running(r20_ohm: float, k_per_w: float) -> float:
        return steady_resistance_ohm(
            r20_ohm, part.rated_v, part.rated_ambient_c, max(k_per_w * duty, 1e-9)
        )

    low_a = share.lower * part.rated_v / running(r20.lower, hottest)
    middle_a = share.nominal * part.rated_v / running(r20.nominal, rth.nominal if rth else 0.0)
    return low_a, middle_a, share.upper * part.rated_v / running(r20.upper, coolest)


def _side(solution: Solution, on: PositionSolution, branch: str) -> str:
    """Return on which side the contact lies, by what the winding hangs on with no button worked."""
    off = next(
        (s for s in solution.positions if s.position.key == on.position.key
         and not s.position.pressed and s.coil_state == on.coil_state),
        None,
    )  # fmt: skip
    if off is None or off.position == on.position:
        return HIGH_SIDE  # the key takes its feed
    fed, returned = _ends(on.network, branch)
    is_fed = fed in off.network.reached_from_source()
    is_returned = returned in off.network.reached_from_reference()
    if is_fed == is_returned:
        return BOTH_SIDES
    return LOW_SIDE if is_fed else HIGH_SIDE


def _ends(network: Network, branch: str) -> tuple[str, str]:
    """Return the winding's terminals, the fed one first."""
    record = network.branches[network.branch_of[branch]]
    pair = (network.node_names[record.start], network.node_names[record.end])
    return pair if pair[0] in network.reached_from_source() else pair[::-1]
