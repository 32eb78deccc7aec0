"""Which relays are energised in each switch position, starting from rest and after each press.

Contacts and coils decide each other: with the contacts at rest the circuit is solved, a relay with
enough voltage on its coil operates, its contacts move, and so on until nothing changes. A relay at
rest operates at its pull-in voltage; one that has operated stays until it is at its drop-out
voltage, so a circuit that holds itself stands in another state after a press than before it. Every
state that single presses, releases and turns of the key lead to is found.

The steps are decided at nominal values; whether every machine within its tolerances decides alike
is certified afterwards (`relay_certificate.py`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import field, replace

from circuitcheck.circuit.netlist import Network
from circuitcheck.circuit.positions import KEY_STATES, Position
from circuitcheck.errors import CircuitError
from circuitcheck.model.harness import Harness
from circuitcheck.model.relay import Relay
from circuitcheck.record import record

MOST_STATES = 2000
"""Positions and what relays make of them; beyond that nobody reads the answer."""
USUAL_PULL_IN = 0.7
"""Share of rated voltage at which a relay of unknown pull-in is taken to operate: common practice,
no source. It is recorded as undetermined all the same."""
USUAL_DROP_OUT = 0.1
"""Share of rated voltage below which a relay of unknown drop-out is taken to have released: common
practice, no source."""

CoilVolts = Callable[[Position], Mapping[str, float]]
"""Nominal voltage across each relay's coil in a position with its relays as they stand."""


@record
class RelayStates:
    """Switch positions with their relays settled, the state reached from rest first.

    `came_from` gives, by name of a position that only a history leads to, the position before it.
    `steps` are the positions passed while settling, contacts as they stood, by position name.
    `unsettled` names relays that never come to rest, by position name.
    """

    positions: tuple[Position, ...]
    came_from: Mapping[str, str] = field(default_factory=dict)
    steps: Mapping[str, tuple[Position, ...]] = field(default_factory=dict)
    unsettled: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def settle_relays(
    harness: Harness, positions: Sequence[Position], coil_volts: CoilVolts, *, history: bool = True
) -> RelayStates:
    """Return the positions with their relays settled; unchanged where there are no relays.

    `history` also follows presses and releases from each state to the next.
    Raises CircuitError where relays and buttons make more than MOST_STATES states.
    """
    relays = harness.of_kind(Relay)
    if not relays:
        return RelayStates(tuple(positions))
    return _Settling(relays, positions, coil_volts).run(history)


@record
class _Settled:
    position: Position
    steps: tuple[Position, ...]
    unsettled: tuple[str, ...]
    before: str = ""


class _Settling:
    def __init__(
        self, relays: Sequence[Relay], positions: Sequence[Position], coil_volts: CoilVolts
    ) -> None:
        self.relays, self.positions, self.coil_volts = relays, tuple(positions), coil_volts
        self.found: dict[tuple[str, frozenset[str]], _Settled] = {}
        self.at_rest: dict[str, frozenset[str]] = {}
        self.by_name = {position.name: position for position in positions}
        self.by_buttons = {(p.key, p.pressed): p for p in positions}

    def run(self, history: bool) -> RelayStates:
        for position in self.positions:
            one = self._settle(replace(position, energised_relays=frozenset()))
            self.found[position.name, one.position.energised_relays] = one
            self.at_rest[position.name] = one.position.energised_relays
        if history:
            self._follow()
        settled = [self._named(one) for one in self._in_order()]
        return RelayStates(
            tuple(one.position for one in settled),
            {one.position.name: one.before for one in settled if one.before},
            {one.position.name: one.steps for one in settled},
            {one.position.name: one.unsettled for one in settled if one.unsettled},
        )

    def _follow(self) -> None:
        """Follow single presses, releases and turns of the key until nothing new is found."""
        waiting = list(self.found.items())
        while waiting:
            (name, energised), _ = waiting.pop(0)
            if not energised:
                continue  # everything at rest: where the next position was set out from already
            for there in self._next_to(self.by_name[name]):
                one = self._settle(replace(there, energised_relays=energised))
                key = (there.name, one.position.energised_relays)
                if key not in self.found:
                    if len(self.found) >= MOST_STATES:
                        raise CircuitError(
                            f"relays and buttons make more than {MOST_STATES} states; "
                            "check the circuit in parts"
                        )
                    self.found[key] = replace(one, before=self._name(name, energised))
                    waiting.append((key, self.found[key]))

    def _next_to(self, here: Position) -> Iterable[Position]:
        """Positions one press, one release or one turn of the key away."""
        buttons = frozenset().union(*(position.pressed for position in self.positions))
        beside = [(here.key, here.pressed ^ {button}) for button in sorted(buttons)]
        beside += [(key, here.pressed) for key in KEY_STATES if key != here.key]
        for one in beside:
            if one in self.by_buttons:
                yield self.by_buttons[one]

    def _settle(self, start: Position) -> _Settled:
        steps = [start]
        for _ in range(2 * len(self.relays) + 2):
            here = steps[-1]
            energised = self._decided(here)
            if energised == here.energised_relays:
                return _Settled(here, tuple(steps), ())
            steps.append(replace(here, energised_relays=energised))
        restless = steps[-1].energised_relays ^ steps[-2].energised_relays
        return _Settled(steps[-1], tuple(steps), tuple(sorted(restless)))

    def _decided(self, here: Position) -> frozenset[str]:
        volts = self.coil_volts(here)
        return frozenset(
            relay.name
            for relay in self.relays
            if abs(volts.get(relay.name, 0.0))
            >= (drop_out_v(relay) if relay.name in here.energised_relays else pull_in_v(relay))
        )

    def _in_order(self) -> Iterable[_Settled]:
        """The state from rest of each position, then what a history makes of it."""
        by_name: dict[str, list[_Settled]] = {position.name: [] for position in self.positions}
        for (name, _), one in self.found.items():
            by_name[name].append(one)
        return [one for some in by_name.values() for one in some]

    def _name(self, name: str, energised: frozenset[str]) -> str:
        return state_name(name, self.at_rest[name], energised)

    def _named(self, one: _Settled) -> _Settled:
        if not one.before:
            return one
        name = self._name(one.position.name, one.position.energised_relays)
        steps = tuple(replace(step, name=name) for step in one.steps)
        return replace(one, position=replace(one.position, name=name), steps=steps)


def state_name(name: str, at_rest: frozenset[str], energised: frozenset[str]) -> str:
    """Return the name of a position whose relays stand otherwise than reached from rest."""
    held, fallen = sorted(energised - at_rest), sorted(at_rest - energised)
    words = [f"{' and '.join(held)} held in"] if held else []
    words += [f"{' and '.join(fallen)} at rest"] if fallen else []
    return ", ".join([name, *words])


def pull_in_v(relay: Relay) -> float:
    """Return the voltage at which a relay is taken to operate, winding as stated [V]."""
    return USUAL_PULL_IN * relay.rated_v if relay.pull_in_v is None else relay.pull_in_v


def drop_out_v(relay: Relay) -> float:
    """Return the voltage below which a relay is taken to have released, winding as stated [V]."""
    return USUAL_DROP_OUT * relay.rated_v if relay.drop_out_v is None else relay.drop_out_v


def relay_coils(network: Network) -> tuple[str, ...]:
    """Return the names of the relay coils of a network."""
    return tuple(branch.name for branch in network.branches if branch.role == "relay coil")
