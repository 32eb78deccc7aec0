"""Pull windings that stay on as long as their feed: how long a person may leave them on.

A reading with such a winding on is taken within the time that it stands: no soaked reading, and no
meter where that time is shorter than a person needs to read one.
"""

from __future__ import annotations

from collections.abc import Iterable

from circuitcheck.circuit.asked_for import asked_loads
from circuitcheck.circuit.netlist import Network
from circuitcheck.model.harness import Harness
from circuitcheck.model.pull_hold_coil import PullHoldCoil

READ_IN_S = 1.0
"""What a meter with its probes on needs to settle and be read; common practice, no source."""
MINUTES_S = 600.0
"""A winding that stands this long may be on for readings as they come; common practice."""


def stays_on_too_long(coil: PullHoldCoil) -> bool:
    """Return whether nothing is known to take the pull winding off, and it may not stay on.

    True too where it is not known how long it stands.
    """
    return not coil.cuts_out and _is_brief(coil)


def burns_fed_directly(coil: PullHoldCoil) -> bool:
    """Return whether the pull winding may not stay on, fed past whatever outside takes it off."""
    return coil.cut_out != "internal switch" and _is_brief(coil)


def _is_brief(coil: PullHoldCoil) -> bool:
    return coil.longest_pull_s is None or coil.longest_pull_s < MINUTES_S


def pulled_coils(harness: Harness, network: Network) -> tuple[PullHoldCoil, ...]:
    """Return the coils whose pull winding a position feeds for longer than it may stay on."""
    coils = [coil for coil in harness.of_kind(PullHoldCoil) if stays_on_too_long(coil)]
    asked = asked_loads(network) if coils else frozenset()
    return tuple(coil for coil in coils if f"{coil.name}/pull" in asked)


def shortest_pull_s(coils: Iterable[PullHoldCoil]) -> float | None:
    """Return how long all of some coils may be on at a time; None where none says. [s]"""
    return min((c.longest_pull_s for c in coils if c.longest_pull_s is not None), default=None)


def is_too_brief_to_read(coils: Iterable[PullHoldCoil]) -> bool:
    """Return whether one of some coils has to be off again before a meter can be read."""
    shortest = shortest_pull_s(coils)
    return shortest is not None and shortest < READ_IN_S
