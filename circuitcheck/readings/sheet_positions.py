"""Which switch positions a test sheet visits, told by closed contacts and wires alone.

Only these are solved: a harness of eight buttons has hundreds of positions and needs eight.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from circuitcheck.circuit.asked_for import asked_loads
from circuitcheck.circuit.build import pull_states
from circuitcheck.circuit.positions import Position, switch_positions
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.readings.sheet_walk import loads_of
from circuitcheck.record import record
from circuitcheck.solve.position_networks import PositionNetworks
from circuitcheck.solve.relays.relay_states import settle_relays


@record
class SheetPositions:
    """Positions of a sheet, relays as reached from rest.

    `rest` has the key on and nothing pressed; `pressed` are those that work something.
    """

    key_off: Position
    rest: Position
    pressed: tuple[Position, ...]
    cranking: Position | None

    @property
    def all(self) -> tuple[Position, ...]:
        """Every position that is visited."""
        cranking = () if self.cranking is None else (self.cranking,)
        return (self.key_off, self.rest, *self.pressed, *cranking)


def sheet_positions(harness: Harness, library: Library, *, every: bool) -> SheetPositions:
    """Return the positions to visit: with `every` all with the key on, else the fewest."""
    networks = PositionNetworks(harness, library)
    known = settle_relays(harness, switch_positions(harness), networks.coil_volts, history=False)
    by_key: dict[str, list[Position]] = {}
    for position in known.positions:
        by_key.setdefault(position.key, []).append(position)
    key_on = by_key["key on"]
    rest = key_on[0]
    off_name = rest.name.replace("key on", "key off", 1)
    key_off = next(one for one in by_key["key off"] if one.name == off_name)
    pressed = key_on[1:] if every else _fewest(key_on, _asked(harness, networks, key_on))
    return SheetPositions(
        key_off, rest, tuple(pressed), next(iter(by_key.get("cranking", ())), None)
    )


def _asked(
    harness: Harness, networks: PositionNetworks, positions: Sequence[Position]
) -> Mapping[Position, frozenset[str]]:
    """Return the loads that each position asks for, once pull windings are cut out."""
    state, found = pull_states(harness)[-1], {}
    for position in positions:
        network = networks.at(position, state).network
        found[position] = asked_loads(network) & {load.name for load in loads_of(network)}
    return found


def _fewest(key_on: Sequence[Position], asked: Mapping[Position, frozenset[str]]) -> list[Position]:
    """Return the fewest positions, fewest buttons first, that ask for each load once."""
    done, chosen = set(asked[key_on[0]]), set()
    for position in sorted(key_on[1:], key=lambda one: len(one.pressed)):
        if not asked[position] <= done:
            chosen.add(position)
            done |= asked[position]
    return [position for position in key_on if position in chosen]
