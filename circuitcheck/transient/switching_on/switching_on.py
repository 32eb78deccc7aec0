"""One action followed in time at one corner: currents and voltages from before to settled.

Windings rise through the feed that they share, relays move after their own time, pull windings are
taken off, filaments warm up, input capacitors charge, plungers move. Where windings and diodes are
all there is, in closed form (`rise.py`), else step by step (`following.py`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from circuitcheck.circuit.positions import Position
from circuitcheck.model.converter import Converter
from circuitcheck.model.harness import Part
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.position_networks import PositionNetworks, supply_of
from circuitcheck.solve.worst_case import Solution
from circuitcheck.transient.switching_on.actions import Action
from circuitcheck.transient.switching_on.corners import CORNERS, STRONGEST, Corner
from circuitcheck.transient.switching_on.recording import Recorded, Recording
from circuitcheck.transient.switching_on.side_by_side import Ahead, Past, follow_all
from circuitcheck.transient.switching_on.stage_circuit import Carried, StageCircuit
from circuitcheck.transient.switching_on.stage_circuits import StageCircuits
from circuitcheck.transient.switching_on.stages import Stage, StageWalk
from circuitcheck.transient.waveform import Waveform

CLOSED_FORM, STEP_BY_STEP = "closed form", "step by step"


@record
class Switching:
    """One action at one corner.

    `currents` by branch: fuses, contacts, windings, lamps, LEDs, converter inputs and the wires
    asked for. `voltages` across each winding and converter input. Both begin with what was before,
    at 0 s. `not_modelled` tells in words what was left out and why. `stages` are what happened
    after the action by itself; `method` is CLOSED_FORM or STEP_BY_STEP. `places` are those of
    plungers, from released, where they are known to move.
    """

    action: Action
    corner: str
    conditions: tuple[str, ...]
    currents: Mapping[str, Waveform]
    voltages: Mapping[str, Waveform]
    not_modelled: tuple[str, ...]
    stages: tuple[Stage, ...] = ()
    method: str = CLOSED_FORM
    places: Mapping[str, Waveform] = field(default_factory=dict)


def switch_on(
    solution: Solution,
    action: Action,
    corner: str = STRONGEST,
    *,
    wires: Sequence[str] = (),
) -> Switching:
    """Return what an action does at one of `corners.CORNERS`; for many, keep `SwitchingCircuits`.

    Raises CircuitError where relays never come to rest, SolveError where a transient cannot be
    followed.
    """
    return SwitchingCircuits(solution).switch_on(action, corner, wires=wires)


class SwitchingCircuits:
    """The circuits of one solved harness, each reduced once, for all its actions."""

    def __init__(self, solution: Solution) -> None:
        self.solution, self.harness = solution, solution.harness
        self.networks = solution.networks or PositionNetworks(self.harness, solution.library)
        self.circuits = StageCircuits(solution, self.networks)
        self._relays = self.harness.of_kind(Relay)
        self._pull_coils = self.harness.of_kind(PullHoldCoil)

    def settled(self, action: Action) -> Action:
        """Return an action with the relays of its positions as they stand.

        Before it as reached from rest, after it as reached from there.
        """
        walk = self._walk(Corner(STRONGEST, self.solution.heat))
        before = walk.settled(_with_relays(action.before, frozenset()))
        after = walk.settled(_with_relays(action.after, before.energised_relays))
        if before is action.before and after is action.after:
            return action
        return replace(action, before=before, after=after)

    def changes(self, action: Action) -> bool:
        """Return whether an action feeds anything, or takes anything off."""
        settled = self.settled(action)
        ends = (self.networks.at(one).network for one in (settled.before, settled.after))
        is_live = [network.live for network in ends]
        closed = [
            self.networks.at(one).network.closed_contacts()
            for one in (settled.before, settled.after)
        ]
        return any(is_live) and (closed[0] != closed[1] or is_live[0] != is_live[1])

    def switch_on(
        self, action: Action, corner: str = STRONGEST, *, wires: Sequence[str] = ()
    ) -> Switching:
        """Return what an action does at a corner."""
        return self.switch_on_all([action], [corner], wires=wires)[0]

    def switch_on_all(
        self,
        chosen: Sequence[Action],
        corners: Sequence[str] = CORNERS,
        *,
        wires: Sequence[str] = (),
    ) -> list[Switching]:
        """Return what actions do, each at every corner in turn, worked out side by side.

        Raises as `switch_on`.
        """
        at = [Corner(corner, self.solution.heat) for corner in corners]
        settled = [self.settled(action) for action in chosen]
        cuts = self.prepare(settled, at)
        recorded = Recorded(frozenset(wires))
        runs = [
            self._begun(action, cut, corner, recorded)
            for action, cut in zip(settled, cuts, strict=True)
            for corner in at
        ]
        for number in range(max((len(run.stages) for run in runs), default=0)):
            going = [run for run in runs if number < len(run.stages)]
            ahead = [run.ahead(number, self.circuits) for run in going]
            for run, one, past in zip(going, ahead, follow_all(ahead), strict=True):
                run.passed(number, one.circuit, past)
        return [self._ended(run) for run in runs]

    def prepare(self, settled: Sequence[Action], corners: Sequence[Corner]) -> list[frozenset[str]]:
        """Build the circuits of settled actions together; return the pull windings off before."""
        if self._pull_coils:
            strongest = Corner(STRONGEST, self.solution.heat)
            self.circuits.build((action.before, frozenset(), strongest) for action in settled)
        cuts = [self.already_in(action.before) for action in settled]
        self.circuits.build(
            (position, cut, corner)
            for action, cut in zip(settled, cuts, strict=True)
            for position in dict.fromkeys((action.before, _first(action), action.after))
            for corner in corners
        )
        return cuts

    def _begun(
        self, action: Action, cut: frozenset[str], corner: Corner, recorded: Recorded
    ) -> _Run:
        walk = self._walk(corner)
        stages = walk.stages(_first(action), cut)
        before = self.circuits.at(action.before, cut, corner)
        run = _Run(action, corner, walk.notes, stages, Recording(recorded), before.settled)
        run.recording.before(before, run.carried)
        return run

    def _ended(self, run: _Run) -> Switching:
        recording = run.recording
        return Switching(
            run.action,
            run.corner.name,
            run.corner.words(run.corner.supply_v(self.supply_v(run.action.after))),
            recording.currents(),
            recording.voltages(),
            (*run.notes, *self._left_out(run.stages, recording)),
            run.stages,
            STEP_BY_STEP if run.is_step_by_step else CLOSED_FORM,
            recording.places(),
        )

    def supply_v(self, position: Position) -> Band:
        """Return the supply at the battery posts in a position [V]."""
        return supply_of(self.harness, position)

    def _walk(self, corner: Corner) -> StageWalk:
        return StageWalk(
            self.harness,
            self.solution.library,
            corner,
            self.networks.coil_volts,
            self.circuits.pull_volts,
            self._relays,
            self._pull_coils,
        )

    def already_in(self, before: Position) -> frozenset[str]:
        """Return the pull windings that are off before the action: their plungers are in."""
        volts = self.circuits.pull_volts(before, frozenset())
        return frozenset(
            f"{coil.name}/pull"
            for coil in self._pull_coils
            if coil.cuts_out and abs(volts.get(f"{coil.name}/pull", 0.0)) > 1.0
        )

    def _left_out(self, stages: Sequence[Stage], recording: Recording) -> list[str]:
        found = [
            f"{name}: how its current dies away once it is cut off (see switching off)"
            for name in sorted(recording.interrupted)
        ]
        for part in self.harness.parts.values():
            if part.name in recording.owners:
                found += _of_part(part)
        return found


@dataclass
class _Run:
    """One action at one corner on its way through its stages."""

    action: Action
    corner: Corner
    notes: Sequence[str]
    stages: tuple[Stage, ...]
    recording: Recording
    carried: Carried
    is_step_by_step: bool = False

    def ahead(self, number: int, circuits: StageCircuits) -> Ahead:
        """Return a stage as it is entered."""
        stage = self.stages[number]
        circuit = circuits.at(stage.position, stage.cut, self.corner)
        is_last = number + 1 == len(self.stages)
        lasts_s = None if is_last else self.stages[number + 1].start_s - stage.start_s
        return Ahead(circuit, self.carried, lasts_s)

    def passed(self, number: int, circuit: StageCircuit, past: Past) -> None:
        """Take over a stage that has been followed."""
        self.is_step_by_step |= not circuit.is_linear
        self.recording.interrupted.update(past.interrupted)
        self.recording.add(circuit, past.followed, self.stages[number].start_s)
        self.carried = past.followed.last


def _first(action: Action) -> Position:
    """Return the position in which an action begins: its relays as they stood before."""
    return _with_relays(action.after, action.before.energised_relays)


def _with_relays(position: Position, energised: frozenset[str]) -> Position:
    """Return a position with some relays energised: the same one where they are already."""
    if position.energised_relays == energised:
        return position
    return replace(position, energised_relays=energised)


def _of_part(part: Part) -> list[str]:
    said = ""
    if isinstance(part, SolenoidCoil) and part.plunger is None:
        said = "the dip while its plunger moves; give `plunger`"
        if part.inductance_h is None:
            said = "its inductance is not known; its current is taken to step"
    elif isinstance(part, PullHoldCoil):
        what = "windings rise" if part.inductance_h is None else "pull winding rises"
        said = f"how fast its {what}: inductance not known; taken to step"
    elif isinstance(part, Relay):
        said = "how the current of its coil rises, and bounce; only its delay"
    elif isinstance(part, Converter):
        charge = (
            "the inductance of the wires and the resistance of its capacitor, which blunt its peak"
        )
        if part.input_capacitance_f is None:
            charge = "the charge of its input capacitor, which is not given"
        said = f"{charge}; its own delay at start"
    return [f"{part.name}: {said}"] if said else []
