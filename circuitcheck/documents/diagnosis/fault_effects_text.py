"""Single-fault effects for a screen or a phone: what moves unasked first, what nobody sees last."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.documents.diagnosis.fault_effects_words import (
    LOCAL,
    NOT_SEEN,
    detection,
    end_effect,
)
from circuitcheck.documents.plain_text import Page
from circuitcheck.documents.quantity_text import METRIC
from circuitcheck.faults.effect_survey import (
    CHATTERS,
    DEAD,
    FUSE_OPENS,
    HOT,
    INDICATOR_WRONG,
    KEY_OFF_WORKS,
    LETS_GO,
    UNASKED,
    WEAK,
    WRONG_COIL,
)
from circuitcheck.faults.effects import NOTHING, CauseEffect, CauseEffects, hazard_of
from circuitcheck.model.harness import Harness
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.solenoid_coil import SolenoidCoil

HEADINGS = {
    UNASKED: "WORKS UNASKED",
    WRONG_COIL: "THE WRONG COIL WORKS",
    KEY_OFF_WORKS: "WORKS WITHOUT THE KEY ON",
    LETS_GO: "LETS GO, WHICH CAN HURT",
    FUSE_OPENS: "A FUSE OPENS",
    HOT: "SOMETHING RUNS HOT",
    CHATTERS: "A RELAY CHATTERS",
    DEAD: "A COIL IS DEAD",
    WEAK: "A COIL IS WEAK",
    INDICATOR_WRONG: "AN INDICATOR SHOWS WRONG",
    NOTHING: "NOTHING SEEN",
}
MOVING = (UNASKED, WRONG_COIL, KEY_OFF_WORKS, LETS_GO)
CAUTION = (
    "Before you look for one of these: implement lowered and blocked, pressure released, nobody in "
    "the path."
)
NOMINAL = (
    "One fault at a time, nominal values, engine off; coils as warm as usual and, where that makes "
    "a difference, heat-soaked. On the lowest supply: check."
)
HEAT = (
    "Hot: a winding above its class on the highest supply, in the hottest air, after the longest "
    "press; or a joint of 1 W and more. How warm a joint gets hangs on what it sits in."
)
UNPROTECTED = (
    "Nothing seen is not harmless: a fuse that is too large, or a suppressor that is lost, shows "
    "only when something else goes wrong."
)


def fault_effects_text(
    harness: Harness,
    found: Sequence[CauseEffects],
    *,
    width: int = 80,
    colour: bool = False,
    system: str = METRIC,
    part: str = "",
) -> str:
    """Return the effects, worst first; of one part or wire, each fault with repair and proof."""
    page = Page(width, colour, system)
    page.say(f"Single faults: {harness.circuit}")
    hidden = sum(one.is_hidden for one in found)
    moving = sum(one.worst in MOVING for one in found)
    of_part = f" of {part}" if part else ""
    page.say(f"{len(found)} faults{of_part}; moving something unasked: {moving}; seen in no "
             f"switch position: {hidden}.")  # fmt: skip
    page.say(NOMINAL)
    if part:
        if any(e.kind == HOT for one in found for e in one.effects):
            page.say(HEAT)
        _details(page, found)
        return page.text()
    if moving:
        page.say(CAUTION, colour="yellow")
    for kind, heading in HEADINGS.items():
        some = [one for one in found if one.worst == kind]
        if some:
            page.gap()
            page.say(f"{heading}: {len(some)}")
            if kind == HOT:
                page.say(HEAT, first="  ")
            _section(page, harness, kind, some)
    page.gap()
    page.say("More on one part or wire, with repair and proof: --part NAME.")
    return page.text()


def _section(page: Page, harness: Harness, kind: str, some: Sequence[CauseEffects]) -> None:
    if kind in MOVING:
        _moving(page, harness, kind, some)
        return
    if kind == NOTHING:
        page.say(", ".join(one.cause for one in some), first="  ")
        page.say(UNPROTECTED, first="  ")
        return
    alike: dict[str, list[str]] = {}
    for one in some:
        shown = [e for e in one.effects if e.kind != INDICATOR_WRONG or e.kind == kind]
        words = "; ".join(end_effect(e, system=page.system) for e in shown)
        words = words.replace(f"{one.fault.subject} runs hot", "it runs hot")
        alike.setdefault(words, []).append(one.cause)
    for words, causes in alike.items():
        page.say(f"{words}:", first="  ")
        page.say(", ".join(causes), first="    ")


def _moving(page: Page, harness: Harness, kind: str, some: Sequence[CauseEffects]) -> None:
    coils = dict.fromkeys(e.subject for one in some for e in one.effects if e.kind == kind)
    for coil in coils:
        page.say(f"{coil}: {_movement(harness, coil, kind)}", first="  ", rest="    ")
        when: dict[str, list[str]] = {}
        for one in some:
            for effect in one.effects:
                if effect.kind == kind and effect.subject == coil:
                    when.setdefault(_when(effect), []).append(one.cause)
        for words, causes in when.items():
            page.say(f"{words}: {', '.join(causes)}", first="    ", rest="      ")


def _movement(harness: Harness, coil: str, kind: str) -> str:
    part = harness.parts[coil]
    if not isinstance(part, SolenoidCoil | PullHoldCoil):
        return ""
    words = part.moves.movement or part.moves.valve
    when = " when it lets go" if kind == LETS_GO else ""
    return f"{words}; hazard{when}: {hazard_of(harness, coil, kind)}"


def _when(effect: CauseEffect) -> str:
    """Return the first position; the other ones mostly hold the same buttons and more."""
    return effect.positions[0]


def _details(page: Page, found: Sequence[CauseEffects]) -> None:
    for one in found:
        page.gap()
        page.say(one.cause)
        if one.severities:
            page.say(", ".join(one.severities), first="  looked at      ", rest="    ")
        _line(page, "failure mode", one.fault.mode)
        _line(page, "local effect", LOCAL[one.fault.mode])
        ends = [end_effect(e, system=page.system) for e in one.effects]
        _line(page, "end effect", "; ".join(ends) or NOT_SEEN)
        _line(page, "detection", detection(one))
        _line(page, "where", one.fault.place)
        _line(page, "repair", one.fault.repair)
        _line(page, "proof", one.fault.proof)
        if one.worst in MOVING:
            page.say(CAUTION, first="  ", colour="yellow")


def _line(page: Page, heading: str, words: str) -> None:
    page.say(words, first=f"  {heading:<13}", rest="    ")
