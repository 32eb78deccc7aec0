"""The windings of a harness: solenoid coils, relay coils, both windings of pull and hold coils."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.model.harness import Harness
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

RELAY_TIME_CONSTANT_S = Band(60.0, 180.0, 600.0)
"""Winding and bobbin of a plug-in relay, minutes in all data sheets recalled: from memory. The
shortest counts: it swings most within a cycle."""


@record
class Winding:
    """One winding by the name of its branch, with the figures that heat it.

    `beside` names the branch of another winding on the same body. `carries_on` is False for a
    pull winding that is cut out, which is never on for long. `may_be_held` is True for a relay: a
    position that energises it without a press may last, whatever the use of the valves is.
    """

    branch: str
    owner: str
    zone: str
    resistance_20c_ohm: Band
    thermal_resistance_k_per_w: Band | None
    thermal_time_constant_s: Band | None
    temperature_limit_c: float | None
    beside: str | None = None
    carries_on: bool = True
    may_be_held: bool = False


def windings(harness: Harness) -> tuple[Winding, ...]:
    """Return every winding in the order of the parts, the hold winding before its pull winding."""
    return tuple(_windings(harness))


def _windings(harness: Harness) -> Iterator[Winding]:
    for part in harness.parts.values():
        if isinstance(part, SolenoidCoil):
            yield Winding(
                part.name,
                part.name,
                part.zone,
                part.resistance_20c_ohm,
                part.thermal_resistance_k_per_w,
                part.thermal_time_constant_s,
                part.temperature_limit_c,
            )
        elif isinstance(part, Relay):
            yield Winding(
                part.name,
                part.name,
                part.zone,
                part.resistance_20c_ohm,
                part.thermal_resistance_k_per_w,
                RELAY_TIME_CONSTANT_S,
                part.temperature_limit_c,
                may_be_held=True,
            )
        elif isinstance(part, PullHoldCoil):
            hold, pull = f"{part.name}/hold", f"{part.name}/pull"
            for name, ohm in ((hold, part.hold_20c_ohm), (pull, part.pull_20c_ohm)):
                yield Winding(
                    name,
                    part.name,
                    part.zone,
                    ohm,
                    part.thermal_resistance_k_per_w,
                    part.thermal_time_constant_s,
                    part.temperature_limit_c,
                    pull if name == hold else hold,
                    name == hold or not part.cuts_out,
                )
