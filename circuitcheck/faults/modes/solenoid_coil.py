"""Solenoid coils: winding open, turns shorted, plunger stuck, wires or plugs on the wrong coil."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from circuitcheck.faults.fault import (
    INTERCHANGED,
    OPEN,
    SEIZED,
    SHORTED_TURNS,
    SWAPPED,
    AddedOhm,
    CoilSeized,
    Fault,
    OhmTimes,
)
from circuitcheck.faults.modes.context import FaultContext, Words, suppressor_faults
from circuitcheck.model.solenoid_coil import SolenoidCoil

MANY_COILS = 12
TURNS_LEFT = (0.7, 0.4, 0.15)
"""Share of the turns that still work where some are shorted."""


def faults(part: SolenoidCoil, context: FaultContext) -> Iterator[Fault]:
    """Yield the faults of one coil and its suppressor."""
    band, name = part.resistance_20c_ohm, part.name
    reads = f"{name} unplugged and cold reads {band.lower:.3g} to {band.upper:.3g} ohm"
    words = winding_words(name, reads)
    yield words.fault(f"{name} winding open", name, OPEN, AddedOhm(name), other="winding")
    yield from shorted_turns(name, name, words)
    yield seized(name)
    if all(f"{name}.{end}" in context.landed for end in ("1", "2")):
        yield _wires_swapped(name, context)
    yield from suppressor_faults(name, part.suppression, ("1", "2"))


def winding_words(name: str, reads: str, part: str = "coil") -> Words:
    """Return the words of a winding's faults."""
    return Words(f"the winding of {name}", f"replace {part} {name}", f"{reads}; it clicks")


def shorted_turns(name: str, branch: str, words: Words, what: str = "") -> Iterator[Fault]:
    """Yield a winding of which some turns are shorted: less resistance, less force."""
    called = f"{name} {what}" if what else name
    for share in TURNS_LEFT:
        severity = f"{share:.0%} of the turns left"
        yield words.fault(
            f"{called} turns shorted, {severity}", name, SHORTED_TURNS, OhmTimes(branch, share),
            other=what, severity=severity,
        )  # fmt: skip


def seized(name: str) -> Fault:
    """Return a coil whose plunger does not move."""
    words = Words(
        f"the plunger or the valve behind {name}",
        f"take {name} off, free or replace plunger and valve; pressure released, load lowered",
        f"{name} clicks, and a steel blade at its end is pulled",
    )
    return words.fault(f"{name} seized", name, SEIZED, CoilSeized(name))


def _wires_swapped(name: str, context: FaultContext) -> Fault:
    one, other = f"{name}.1", f"{name}.2"
    words = Words(
        f"the wires on {name}",
        f"put the wires on {name} the right way round",
        f"with {name} on, {one} is positive against {other} where the file says so",
    )
    changes = (*context.moved(one, other), *context.moved(other, one))
    return words.fault(f"{name} wires swapped", name, SWAPPED, *changes, other="1 and 2")


def interchanged(context: FaultContext) -> Iterator[Fault]:
    """Yield pairs of coils of one voltage in one zone with each other's plugs on.

    Of more than MANY_COILS only those that follow each other in the file.
    """
    coils = context.harness.coils
    is_few = len(coils) <= MANY_COILS
    for first, second in itertools.combinations(coils, 2) if is_few else itertools.pairwise(coils):
        if not _alike(first, second):
            continue
        changes = []
        for end in first.terminals:
            one, other = f"{first.name}.{end}", f"{second.name}.{end}"
            changes += [*context.moved(one, other), *context.moved(other, one)]
        words = Words(
            f"the plugs on {first.name} and {second.name}",
            f"put each plug on its own coil and mark {first.name} and {second.name}",
            "each button works its own coil, and no other",
        )
        name = f"plugs of {first.name} and {second.name} interchanged"
        yield words.fault(name, first.name, INTERCHANGED, *changes, other=second.name)


def _alike(first: SolenoidCoil, second: SolenoidCoil) -> bool:
    return (
        first.zone == second.zone
        and first.rated_v == second.rated_v
        and first.terminals == second.terminals
    )
