"""What is said with every verdict, what stops one, and what this version leaves out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from circuitcheck.checks.check import Check
from circuitcheck.checks.finding import FAIL, Finding
from circuitcheck.checks.movement import movement_hazard
from circuitcheck.checks.movement.movers import movers
from circuitcheck.model.harness import Harness
from circuitcheck.model.solenoid_coil import STOP_HAZARDS
from circuitcheck.model.supply_tap import SupplyTap

CAUTIONS = (
    "A calculation is no test: measure on the machine before you rely on the circuit.",
    "Not for proportional or PWM-driven coils, nor for taps that an electronic module or an "
    "electronic fuse feeds.",
    "Never tap a seat-switch, brake, engine-stop or airbag circuit.",
    "A coil whose movement can hurt (steering, brakes, lifting people, driven shafts) needs a "
    "functional-safety assessment (ISO 25119, ISO 13849).",
    "Before any test on the machine: implement lowered and blocked, pressure released, nobody in "
    "the path. Key on with the engine off first.",
    "Feed a part directly only through a fused lead of 5 A or less.",
    "No ohmmeter on a live circuit.",
)

NOT_CHECKED = (
    "radio interference; ringing when a contact opens",
    "loose contacts, water and chafed wires, but for a coil that one of them works unasked "
    "(`circuitcheck fault-effects` goes through them one by one)",
    "a fuse over its life: ageing by heat and vibration",
    "time: how fast a plunger really moves, pulled in or let go",
    "movement: whether the valve and its hydraulics do what is wanted",
    "proportional and PWM-driven coils, module-driven and electronically fused taps",
    "the machine's own loom beyond what the file says of the tap",
    "welding on the machine",
)
"""What no check of this version looks at, whatever the file holds."""

HAZARD_UNKNOWN = "unknown"


def stops(harness: Harness) -> tuple[Finding, ...]:
    """Return a failure for each coil whose movement stops the work; empty where none does.

    Nothing else is judged then: a verdict on wires would read as leave to build.
    """
    return tuple(
        Finding(
            check=movement_hazard.NAME,
            subject=coil.name,
            result=FAIL,
            quantity=f"works {WORKS[hazard]}: {movement_hazard.STOP}",
            reason=movement_hazard.WHY,
            fix="have the function assessed before anything is built; nothing else is judged here",
            sources=movement_hazard.SOURCES,
        )
        for coil in movers(harness)
        if (hazard := coil.moves.stops_on) is not None
    )


WORKS = {
    "steering": "the steering",
    "brakes": "the brakes",
    "lifting people": "a lift for people",
    "driven shaft": "a driven shaft",
}


def cautions(harness: Harness) -> tuple[str, ...]:
    """Return the cautions for a harness: its own first, then those that always hold."""
    return (*_own(harness), *CAUTIONS)


def _own(harness: Harness) -> Iterator[str]:
    for tap in harness.of_kind(SupplyTap):
        if tap.also_feeds is None:
            yield (
                f"The file does not say what else {tap.name} feeds: make sure that it is no "
                "seat-switch, brake, engine-stop or airbag circuit."
            )
    for coil in movers(harness):
        if coil.moves.hazard == HAZARD_UNKNOWN:
            yield f"How the movement of {coil.name} can hurt is not known: find out before a test."
        elif coil.moves.hazard not in ("none", *STOP_HAZARDS):
            what = coil.moves.movement or coil.moves.valve
            yield f"{coil.name} {what}; hazard: {coil.moves.hazard}.".replace("  ", " ")


def not_checked(checks: Iterable[Check]) -> tuple[str, ...]:
    """Return what is left out: each check's own limits, then what no check looks at."""
    limits = (f"{check.name}: {check.does_not_cover}" for check in checks if check.does_not_cover)
    return (*limits, *NOT_CHECKED)
