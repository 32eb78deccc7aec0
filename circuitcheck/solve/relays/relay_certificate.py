"""Whether every machine within its tolerances settles its relays alike.

    V(T) = V(T0) (234.5 + T) / (234.5 + T0)

What works a relay is current, so its voltages go with its winding's resistance: a hot coil needs
more. A relay is certain to operate, or to stay, where the least voltage of its coil is at least its
pull-in voltage with the winding as hot as it gets; certain to rest where the greatest voltage
is at most its drop-out voltage with the winding as cold as it gets. Everything between is
undetermined. Each step of the settling is looked at, in both coil states.
Source: copper's temperature law, IEC 60228; that operate and release voltage follow it is common
practice of relay data sheets.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from circuitcheck.circuit.positions import Position
from circuitcheck.formulas.wire_resistance import COPPER_ZERO_C
from circuitcheck.model.harness import Harness
from circuitcheck.model.relay import Relay
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.relays.relay_states import RelayStates
from circuitcheck.solve.solution import Range

LEAST_COIL_V = 1e-6
"""A coil with less than a microvolt rests, whatever is known of it."""


@record
class CoilLook:
    """One relay's coil in one position and coil state: voltage, and temperature of its winding."""

    across_v: Range
    temperature_c: Band


@record
class UndeterminedRelay:
    """A relay of which the state in a position hangs on values within their tolerances.

    `across_v` is what its coil sees while the contacts stand as in the step named by
    `energised_then`; it operates at `operate_v` or above, has released at `release_v` or below
    (None where not known). `taken_energised` is what the solution goes by.
    """

    relay: str
    position: str
    coil_state: str
    across_v: Range
    operate_v: float | None
    release_v: float | None
    energised_then: frozenset[str]
    taken_energised: bool
    reason: str


Look = Callable[[Position, str, str], CoilLook]
"""What a relay's coil sees in a position with its relays as they stand, in a coil state."""


def undetermined_relays(
    harness: Harness, states: RelayStates, coil_states: Sequence[str], look: Look
) -> Iterator[UndeterminedRelay]:
    """Yield every relay whose state is not certain, at the first step that leaves it open."""
    relays = {relay.name: relay for relay in harness.of_kind(Relay)}
    for position in states.positions:
        for name, relay in relays.items():
            if name in states.unsettled.get(position.name, ()):
                yield _restless(position, relay, coil_states[0], look)
                continue
            found = _first_open_step(position, relay, states, coil_states, look)
            if found is not None:
                yield found


def at_temperature_v(volts: float, stated_c: float, temperature_c: float) -> float:
    """Return an operate or release voltage for another winding temperature [V]."""
    return volts * (COPPER_ZERO_C + temperature_c) / (COPPER_ZERO_C + stated_c)


def _first_open_step(
    position: Position,
    relay: Relay,
    states: RelayStates,
    coil_states: Sequence[str],
    look: Look,
) -> UndeterminedRelay | None:
    steps = states.steps.get(position.name, (position,))
    for number, step in enumerate(steps):
        after = steps[min(number + 1, len(steps) - 1)]
        will_operate = relay.name in after.energised_relays
        for coil_state in coil_states:
            seen = look(step, coil_state, relay.name)
            operate_v, release_v = limits_v(relay, seen.temperature_c)
            is_certain = (
                operate_v is not None and seen.across_v.smallest() >= operate_v
                if will_operate
                else seen.across_v.largest() <= max(release_v or 0.0, LEAST_COIL_V)
            )
            if not is_certain:
                return UndeterminedRelay(
                    relay.name,
                    position.name,
                    coil_state,
                    seen.across_v,
                    operate_v,
                    release_v,
                    step.energised_relays,
                    relay.name in position.energised_relays,
                    _reason(seen.across_v, operate_v, release_v, will_operate),
                )
    return None


def limits_v(relay: Relay, temperature_c: Band) -> tuple[float | None, float | None]:
    """Return operate voltage with the winding at its hottest, release voltage at its coldest."""
    operate, release = relay.pull_in_v, relay.drop_out_v
    hot, cold = temperature_c.upper, temperature_c.lower
    return (
        None if operate is None else at_temperature_v(operate, relay.coil_at_c, hot),
        None if release is None else at_temperature_v(release, relay.coil_at_c, cold),
    )


def _reason(
    across_v: Range, operate_v: float | None, release_v: float | None, will_operate: bool
) -> str:
    between = f"{across_v.smallest():.3g} V to {across_v.largest():.3g} V on its coil"
    if will_operate and operate_v is None:
        return f"{between}; its pull-in voltage is not known"
    if will_operate:
        return f"{between}; it needs {operate_v:.3g} V with its winding hot"
    if release_v is None:
        return f"{between}; its drop-out voltage is not known"
    return f"{between}; it is sure to rest only up to {release_v:.3g} V with its winding cold"


def _restless(position: Position, relay: Relay, coil_state: str, look: Look) -> UndeterminedRelay:
    seen = look(position, coil_state, relay.name)
    return UndeterminedRelay(
        relay.name,
        position.name,
        coil_state,
        seen.across_v,
        *limits_v(relay, seen.temperature_c),
        position.energised_relays,
        relay.name in position.energised_relays,
        "it never comes to rest: its own contacts take away and give back its supply",
    )
