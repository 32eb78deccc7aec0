"""The points of a reading: which there are in a harness, and which an instrument can go on."""

from __future__ import annotations

from circuitcheck.model.connector import Connector
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.harness import Harness
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.instrument import OHMMETER, InstrumentRow
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.reading import Measurement
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.read.forms.printable import printable, shown
from circuitcheck.read.reading import Place

OHMMETER_CAUTION = "No ohmmeter on a live circuit: it reads wrong and may be destroyed."
Said = tuple[str, str]
"""What is wrong, and what would be right."""

COILS = (SolenoidCoil, PullHoldCoil, Relay)
INDICATORS = (IndicatorLamp, LedIndicator)


def terminals(harness: Harness) -> tuple[str, ...]:
    """Return every point that a probe can be put on, as `PART.terminal`, in file order."""
    return tuple(
        f"{name}.{terminal}" if terminal else name
        for name, part in harness.parts.items()
        for terminal in part.terminals
    )


def subjects(instrument: InstrumentRow, harness: Harness) -> tuple[str, ...]:
    """Return the parts and wires that an instrument without two probes can be used at."""
    parts = harness.parts.items()
    if instrument.at == "coil":
        return tuple(name for name, part in parts if isinstance(part, COILS))
    if instrument.at == "indicator":
        return tuple(name for name, part in parts if isinstance(part, INDICATORS))
    if instrument.at == "fuse":
        return tuple(
            name
            for name, part in parts
            if isinstance(part, Fuse)
            or (isinstance(part, SupplyTap) and part.upstream.fuse is not None)
        )
    fuses = tuple(name for name, part in parts if isinstance(part, (Fuse, SupplyTap)))
    landed = {str(end) for wire in harness.wires.values() for end in (wire.start, wire.end)}
    joints = tuple(
        f"{name}.{terminal}"
        for name, part in parts
        if isinstance(part, Connector)
        for terminal in part.terminals
        if f"{name}.{terminal}" in landed
    )
    if instrument.at == "joint":
        others = tuple(name for name, part in parts if len(part.terminals) <= 1)
        return (*harness.wires, *joints, *fuses, *others)
    return (*harness.wires, *fuses, *(n for n, p in parts if isinstance(p, COILS)))


def misplaced(key: str, instrument: InstrumentRow) -> Said:
    """Return what to say of a point that goes not, or is not given, with an instrument."""
    if instrument.at == "two points":
        right = f"Give plus and minus: the two points that {instrument.name} was put on."
    else:
        right = f"Give at: the {instrument.at} that it was taken at."
    return f"{key} does not go with {instrument.name}", right


def point_problem(
    point: str, instrument: InstrumentRow, harness: Harness, place: Place
) -> Said | None:
    """Return what is wrong with a point of a reading, None where nothing is."""
    two = instrument.at == "two points"
    allowed = terminals(harness) if two else subjects(instrument, harness)
    if point in allowed:
        return None
    wrong = f"no {'point' if two else instrument.at} {shown(point)}"
    part = harness.parts.get(point)
    if two and part is not None:
        named = ", ".join(f'"{point}.{terminal}"' for terminal in part.terminals[:12])
        return f"{point} has more than one terminal", f"Give one of: {named}."
    if not two and (point in harness.parts or point in harness.wires):
        wrong = f"{instrument.name} is taken at a {instrument.at}, not at {point}"
    named = ", ".join(printable(name) for name in allowed[:12])
    more = " ..." if len(allowed) > 12 else ""
    return wrong, place.hint(point, allowed) or f"There are: {named or 'none'}{more}."


def unplug_problem(name: object, harness: Harness) -> Said | None:
    """Return what is wrong with something said to be unplugged."""
    if isinstance(name, str) and name in harness.parts:
        return None
    known = ", ".join(name for name, p in harness.parts.items() if isinstance(p, Connector))
    return f"no part {shown(name)} to unplug", f"Name connectors or parts: {known or 'none'} ..."


def live_ohmmeter(
    measurement: Measurement, instrument: InstrumentRow, harness: Harness
) -> Said | None:
    """Return the refusal of an ohmmeter on a circuit that was live, None where it was not.

    Dead is: key off and engine off, and for a tap that is live without the key its fuse or the
    battery taken off.
    """
    if instrument.kind != OHMMETER:
        return None
    at = measurement.situation
    if at.unplugged & {harness.battery.name}:
        return None
    if not at.position.startswith("key off") or at.engine != "off":
        state = at.position if at.engine == "off" else f"engine {at.engine}"
        return f"an ohmmeter with {state}", f"{OHMMETER_CAUTION} Key off first."
    for tap in harness.of_kind(SupplyTap):
        if tap.upstream.key != "on" and tap.name not in at.unplugged:
            return (
                f"an ohmmeter while {tap.name} may be live with the key off",
                f"{OHMMETER_CAUTION} Pull the machine's fuse and say so: "
                f'unplugged = ["{tap.name}"].',
            )
    return None
