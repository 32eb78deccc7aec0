"""Relays that hold a coil's feed for as long as they take to let go themselves.

When the buttons are let go, or the key where none is worked, the contacts of relays still stand. A
coil that they feed stays on until the first relay that it hangs on has opened:

    t_lag(coil) = min over those relays of (t_lag(relay) + t_release(relay))

A relay lets go after the release time that the file gives; else after the longest that such relays
take (relay-figures, from memory), or after the decay of its own current if that is longer. Shared
ground of the check on release time and of the comparison of suppressors; it judges nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.release.released_coil import ReleasedCoil
from circuitcheck.checks.release.slowest_release import slowest_releases
from circuitcheck.circuit.asked_for import asked_loads
from circuitcheck.circuit.build import build_network
from circuitcheck.circuit.positions import Position
from circuitcheck.model.relay import Relay
from circuitcheck.record import record
from circuitcheck.solve.solution import COLD_START
from circuitcheck.units import text

KEY_OFF = "key off"
STATED, WORKED_OUT, USUAL = (
    "its release_time in the file: a data sheet's mostly holds without a diode",
    "worked out from what takes its current, its inductance that of usual coils",
    "that of usual relays, diode across the coil",
)


@record
class RelayLag:
    """The relays that open one after the other before a coil's own current can fall.

    `time_s` is the longest that they take, None where it is not known for the relay `unknown`;
    `is_stated` whether the file gives every time; `words` name each relay, its time and its origin.
    """

    relays: tuple[str, ...]
    time_s: float | None
    is_stated: bool
    words: tuple[str, ...]
    unknown: str = ""

    @property
    def names(self) -> str:
        """Relays, in the order in which they open."""
        return ", ".join(self.relays)


NO_LAG = RelayLag((), 0.0, True, ())


def relay_lag(case: Case, branch: str, every: Sequence[ReleasedCoil]) -> RelayLag:
    """Return the longest that relays hold the winding `branch` on; NO_LAG where none does."""
    relays = {relay.name: relay for relay in case.harness.of_kind(Relay)}
    if not relays:
        return NO_LAG
    walk = _Walk(case, {one.winding.owner: one for one in every if one.winding.owner in relays})
    starts = dict.fromkeys(
        _let_go(solved.position)
        for solved in case.solution.live(COLD_START)
        if solved.position.energised_relays and branch in solved.asked_for
    )
    found = [lag for start in starts for lag in [walk.lag(start, branch, frozenset())] if lag]
    return max(found, key=_time_s, default=NO_LAG)


def _let_go(position: Position) -> Position:
    """Return the moment after: buttons, or the key, let go; contacts of relays as they were."""
    rest: frozenset[tuple[str, str]] = frozenset()
    key = position.key if position.pressed else KEY_OFF
    return Position("let go", key, rest, position.energised_relays)


def _time_s(lag: RelayLag) -> float:
    return float("inf") if lag.time_s is None else lag.time_s


class _Walk:
    """Follows which relay opens first; keeps what each position asks for."""

    def __init__(self, case: Case, coils: dict[str, ReleasedCoil]) -> None:
        self.case, self.coils = case, coils
        self._asked: dict[Position, frozenset[str]] = {}

    def lag(self, start: Position, branch: str, above: frozenset[str]) -> RelayLag | None:
        """Return how long `branch` stays on; None where it never goes off."""
        if branch not in self._asks(start):
            return NO_LAG
        held = sorted(start.energised_relays - above - {branch})
        each = [name for name in held if branch not in self._asks(_without(start, (name,)))]
        if each:
            ways = (self._through(start, name, above | {branch}) for name in each)
            return min((way for way in ways if way), key=_time_s, default=None)
        # contacts side by side: it is off when the last of those that fall has opened
        falling = {n: lag for n in held if (lag := self._through(start, n, above | {branch}))}
        if branch in self._asks(_without(start, falling)):
            return None
        return max(falling.values(), key=_time_s)

    def _through(self, start: Position, name: str, above: frozenset[str]) -> RelayLag | None:
        before = self.lag(start, name, above)
        if before is None or name not in self.coils:
            return None
        time_s, is_stated, origin = _release(self.case, self.coils[name])
        total_s = None if time_s is None or before.time_s is None else before.time_s + time_s
        took = "not known" if time_s is None else f"up to {text(time_s, 's')}"
        unknown = before.unknown or (name if time_s is None else "")
        return RelayLag(
            (*before.relays, name), total_s, before.is_stated and is_stated,
            (*before.words, f"{name} opens first, after {took}: {origin}"), unknown,
        )  # fmt: skip

    def _asks(self, position: Position) -> frozenset[str]:
        if position not in self._asked:
            network = build_network(self.case.harness, self.case.library, position)
            self._asked[position] = asked_loads(network)
        return self._asked[position]


def _without(position: Position, names: Iterable[str]) -> Position:
    return replace(position, energised_relays=position.energised_relays - frozenset(names))


def _release(case: Case, coil: ReleasedCoil) -> tuple[float | None, bool, str]:
    """Return the longest that a relay takes, whether the file says so, and where it is from."""
    relay = case.harness.parts[coil.winding.owner]
    assert isinstance(relay, Relay)  # the caller keeps to coils of relays
    if relay.release_s is not None:
        return relay.release_s.upper, True, STATED
    usual_s = case.library.limit(f"{relay.kind}_release_most_s").value
    one = coil.lowest
    if coil.open_kind:
        return None, False, "write its release_time"
    found = slowest_releases(coil, one, by_key=False) or slowest_releases(coil, one)
    times = [each.time_s for each in found if each.time_s is not None]
    if one is None and not times:
        return usual_s, False, USUAL
    if len(times) < len(found) or not times:
        return None, False, "write its release_time"
    decay_s = max(times)
    return (decay_s, False, WORKED_OUT) if decay_s > usual_s else (usual_s, False, USUAL)
