"""The stages of an action: what relays and pull windings switch by themselves afterwards.

A relay moves its contacts its own time after its coil is fed, and back again after it is not. A
pull winding is taken off by its timer, or at the latest when it has been on for as long as it
stands. Whether a relay moves is decided at nominal values, as in the settled positions.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from circuitcheck.circuit.positions import Position
from circuitcheck.errors import CircuitError
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.relays.relay_states import CoilVolts, drop_out_v, pull_in_v
from circuitcheck.transient.switching_on.corners import Corner
from circuitcheck.units import text

MOST_STAGES = 60
PullVolts = Callable[[Position, frozenset[str]], Mapping[str, float]]
"""Voltage at each pull winding in a position, those named being cut out."""
LEAST_PULL_V = 1.0
"""A pull winding with less is not switched on."""


@record
class Stage:
    """From `start_s` on the contacts stand as in `position`, with the pull windings of `cut` off.

    `what` tells in words what happened at its start; empty for the action itself.
    """

    start_s: float
    position: Position
    cut: frozenset[str]
    what: str = ""


@dataclass
class StageWalk:
    """Finds the stages of an action at a corner; `notes` collects what stands in for values."""

    harness: Harness
    library: Library
    corner: Corner
    coil_volts: CoilVolts
    pull_volts: PullVolts
    relays: Sequence[Relay]
    pull_coils: Sequence[PullHoldCoil]
    notes: list[str] = field(default_factory=list)
    _due: dict[str, float] = field(default_factory=dict)

    def settled(self, position: Position) -> Position:
        """Return a position with its relays settled, setting out from how they stand."""
        for _ in range(2 * len(self.harness.parts) + 2):
            moving = self._moving(position)
            if not moving:
                return position
            position = replace(position, energised_relays=position.energised_relays ^ moving)
        raise CircuitError(f"{position.name}: its relays never come to rest")

    def stages(self, after: Position, cut: frozenset[str]) -> tuple[Stage, ...]:
        """Return the stages from a position on whose relays stand as before the action."""
        found = [Stage(0.0, after, cut)]
        if not self.relays and not self.pull_coils:
            return tuple(found)
        while len(found) < MOST_STAGES:
            last = found[-1]
            self._note_due(last)
            if not self._due:
                return tuple(found)
            when = min(self._due.values())
            now = frozenset(name for name, due in self._due.items() if due == when)
            for name in now:
                del self._due[name]
            relays = frozenset(relay.name for relay in self.relays) & now
            position = replace(
                last.position, energised_relays=last.position.energised_relays ^ relays
            )
            found.append(Stage(when, position, last.cut | (now - relays), _words(now, last)))
        raise CircuitError(f"{after.name}: its relays never come to rest")

    def _note_due(self, stage: Stage) -> None:
        moving = self._moving(stage.position)
        relays = {relay.name: relay for relay in self.relays}
        for name in [name for name in self._due if name in relays and name not in moving]:
            del self._due[name]
        for name in moving:
            operates = name not in stage.position.energised_relays
            delay_s = self._delay_s(relays[name], operates)
            self._due.setdefault(name, stage.start_s + delay_s)
        volts = self.pull_volts(stage.position, stage.cut)
        for coil in self.pull_coils:
            name = f"{coil.name}/pull"
            is_fed = name not in stage.cut and abs(volts.get(name, 0.0)) > LEAST_PULL_V
            if not is_fed:
                self._due.pop(name, None)
            elif name not in self._due:
                on_s = self._pull_s(coil)
                if on_s is not None:
                    self._due[name] = stage.start_s + on_s

    def _moving(self, position: Position) -> frozenset[str]:
        if not self.relays:
            return frozenset()
        volts = self.coil_volts(position)
        on = position.energised_relays
        return frozenset(
            relay.name
            for relay in self.relays
            if (
                abs(volts.get(relay.name, 0.0))
                >= (drop_out_v(relay) if relay.name in on else pull_in_v(relay))
            )
            != (relay.name in on)
        )

    def _delay_s(self, relay: Relay, operates: bool) -> float:
        given = relay.operate_s if operates else relay.release_s
        if given is None:
            word = "operate" if operates else "release"
            given = Band(
                self.library.limit(f"{relay.kind}_{word}_least_s").value,
                self.library.limit(f"{relay.kind}_{word}_s").value,
                self.library.limit(f"{relay.kind}_{word}_most_s").value,
            )
            self._say(
                f"{relay.name}: its {word} time is not given, taken as usual, "
                f"{text(given.lower, 's')} to {text(given.upper, 's')}"
            )
        return self.corner.time_s(given)

    def _pull_s(self, coil: PullHoldCoil) -> float | None:
        """Return how long a pull winding is on, None where nothing is known to take it off."""
        if not coil.cuts_out:
            return None
        if coil.cut_out == "outside timer" and coil.pull_time_s is not None:
            return coil.pull_time_s.upper
        if coil.longest_pull_s is None:
            self._say(f"{coil.name}: when its pull winding is taken off is not known; shown as on")
            return None
        why = (
            "when its plunger is in is not worked out"
            if coil.cut_out == "internal switch"
            else "the time that its timer is set to is not given"
        )
        stands = text(coil.longest_pull_s, "s")
        shown = "shown with its pull winding on for as long as that stands"
        self._say(f"{coil.name}: {why}; {shown}, {stands}")
        return coil.longest_pull_s

    def _say(self, words: str) -> None:
        if words not in self.notes:
            self.notes.append(words)


def _words(now: frozenset[str], last: Stage) -> str:
    said = []
    for name in sorted(now):
        if name.endswith("/pull"):
            said.append(f"pull winding of {name.removesuffix('/pull')} off")
        else:
            is_on = name in last.position.energised_relays
            said.append(f"{name} {'releases' if is_on else 'operates'}")
    return ", ".join(said)
