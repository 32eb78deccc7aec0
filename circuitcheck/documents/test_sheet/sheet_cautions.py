"""Cautions of a test sheet, said where each step is asked for."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.documents.pulled_coil_text import pulled_words
from circuitcheck.model.harness import Harness
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.readings import sheet_records as r
from circuitcheck.readings.sheet_records import SheetStep

FIRST = "Implement lowered and blocked, pressure released, nobody in the path."
OHMMETER = "No ohmmeter on a live circuit."
KEY_FIRST = "Key on with the engine off first."
OTHER_CLICK = "If another one clicks than the one named: key off, and find out why before going on."
DIRECT = "Feed a dead coil directly only through a fused lead of 5 A or less."
ENGINE = (
    "The valves have pressure now: implement still blocked, nobody in the path. Leads, sleeves and "
    "hair clear of belts and fan."
)
CRANK = "Out of gear, parking brake on, nobody in the path: the engine may start."
MOVES = (SolenoidCoil, PullHoldCoil)


def step_cautions(harness: Harness, step: SheetStep, is_first: bool) -> Iterator[str]:
    """Yield the cautions of one step; those of its whole stage with the first alone."""
    if step.stage == r.WIRED and is_first:
        yield OHMMETER
    if step.stage == r.KEY_OFF:
        yield FIRST
    if step.stage == r.KEY_ON:
        yield f"{FIRST} {KEY_FIRST}"
    if step.stage in (r.PRESSED, r.RUNNING):
        if is_first:
            yield from (OTHER_CLICK, DIRECT) if step.stage == r.PRESSED else (ENGINE,)
        yield from movement_words(harness, step.works)
    if step.stage == r.CRANKING:
        yield CRANK
    yield from pulled_cautions(harness, step.pulled)


def pulled_cautions(harness: Harness, coils: tuple[str, ...]) -> Iterator[str]:
    """Yield how long each pull winding that may not stay on may be on."""
    parts = (harness.parts[name] for name in coils)
    yield from (pulled_words(part) for part in parts if isinstance(part, PullHoldCoil))


def movement_words(harness: Harness, coils: tuple[str, ...]) -> Iterator[str]:
    """Yield what each coil moves and how that can hurt, where the file says it or does not know."""
    for name in coils:
        part = harness.parts[name]
        if not isinstance(part, MOVES):
            continue
        what = part.moves.movement or part.moves.valve
        if part.moves.hazard == "unknown":
            yield f"{name} {what}. How that can hurt is not known: find out first."
        elif part.moves.hazard != "none":
            yield f"{name} {what}; hazard: {part.moves.hazard}."
        if part.moves.loss not in ("none", "unknown"):
            yield f"When {name} lets go, also unasked: {part.moves.loss}."
