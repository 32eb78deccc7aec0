"""Battery: too low."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.faults.fault import LOW, Fault, SupplyAt
from circuitcheck.faults.modes.context import FaultContext, Words
from circuitcheck.model.battery import Battery

LOW_V_OF_12 = (11.0, 10.0, 9.0)


def faults(part: Battery, context: FaultContext) -> Iterator[Fault]:
    """Yield a supply below what the file promises."""
    for volts in LOW_V_OF_12:
        at_posts = volts * context.harness.system_v / 12.0
        severity = f"{at_posts:g} V"
        words = Words(
            f"{part.name}, or what charges it",
            f"charge and test {part.name}; look at belt, alternator and posts",
            f"the volts that the file gives at the posts of {part.name}, loads on",
        )
        name = f"{part.name} low, {severity}"
        yield words.fault(name, part.name, LOW, SupplyAt(at_posts), severity=severity)
