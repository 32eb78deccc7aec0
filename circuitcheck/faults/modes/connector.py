"""Connectors: a cavity open or poor, two swapped, half-mated, two plugs interchanged."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from circuitcheck.faults.fault import (
    HALF_MATED,
    INTERCHANGED,
    SWAPPED,
    AddedOhm,
    EndMoved,
    Fault,
)
from circuitcheck.faults.modes.context import FaultContext, Words, poor_joint
from circuitcheck.model.connector import HALVES, Connector

MOST_SWAPS_OF_ALL = 5
"""Up to so many wired cavities every two may be swapped; beyond it only neighbours."""


def faults(part: Connector, context: FaultContext) -> Iterator[Fault]:
    """Yield the faults of one connector."""
    used = used_cavities(part, context)
    drop_v = context.limit("connection_drop_v")
    for cavity in used:
        words = Words(
            f"{part.name}, cavity {cavity}: a contact pushed back, bent or green",
            f"push home or replace the contacts of cavity {cavity}, clean the other half",
            f"with its load on, less than {drop_v:g} V from {part.name}.plug.{cavity} to "
            f"{part.name}.receptacle.{cavity}",
        )
        branch = f"{part.name}/{cavity}"
        yield from poor_joint(
            part.name, branch, words, what=f"cavity {cavity}", other=f"cavity {cavity}"
        )
    yield from _half_mated(part, used)
    yield from _swapped(part, used, context)


def used_cavities(part: Connector, context: FaultContext) -> tuple[int, ...]:
    """Return the cavities that hold a wire on either half."""
    return tuple(
        cavity
        for cavity in range(1, part.cavities + 1)
        if any(f"{part.name}.{half}.{cavity}" in context.landed for half in HALVES)
    )


def _half_mated(part: Connector, used: tuple[int, ...]) -> Iterator[Fault]:
    words = Words(
        f"{part.name}: the two halves",
        f"push {part.name} together until it locks; look for a bent contact or a missing seal",
        "the lock has clicked; the coils behind it click when they are worked",
    )
    sets = [("apart", used)]
    if len(used) > 2:
        middle = (len(used) + 1) // 2
        sets += [("tilted, first cavities open", used[:middle])]
        sets += [("tilted, last cavities open", used[-middle:])]
    for severity, cavities in sets:
        changes = [AddedOhm(f"{part.name}/{cavity}") for cavity in cavities]
        name = f"{part.name} half-mated, {severity}"
        yield words.fault(name, part.name, HALF_MATED, *changes, severity=severity)


def _swapped(part: Connector, used: tuple[int, ...], context: FaultContext) -> Iterator[Fault]:
    wired = [c for c in used if f"{part.name}.receptacle.{c}" in context.landed]
    is_few = len(wired) <= MOST_SWAPS_OF_ALL
    chosen = list(itertools.combinations(wired, 2) if is_few else itertools.pairwise(wired))
    for first, second in chosen:
        one, other = (f"{part.name}.receptacle.{cavity}" for cavity in (first, second))
        changes = (*context.moved(one, other), *context.moved(other, one))
        words = Words(
            f"{part.name}: look at both halves, the colours must agree cavity by cavity",
            f"put the wires of cavities {first} and {second} of one half of {part.name} where they "
            "belong",
            "each button works its own coil, and no other",
        )
        yield words.fault(
            f"{part.name} cavities {first} and {second} swapped", part.name, SWAPPED, *changes,
            other=f"cavities {first} and {second}",
        )  # fmt: skip


def interchanged(context: FaultContext) -> Iterator[Fault]:
    """Yield pairs of connectors of which each half fits the other's, in one zone."""
    for first, second in itertools.combinations(context.harness.of_kind(Connector), 2):
        if not _fit(first, second):
            continue
        changes: list[EndMoved] = []
        for cavity in sorted({*used_cavities(first, context), *used_cavities(second, context)}):
            one, other = (f"{p.name}.receptacle.{cavity}" for p in (first, second))
            changes += [*context.moved(one, other), *context.moved(other, one)]
        words = Words(
            f"{first.name} and {second.name}: the plug of the one sits in the other",
            f"put each plug in its own receptacle and mark {first.name} and {second.name}",
            "each button works its own coil, and no other",
        )
        name = f"{first.name} and {second.name} interchanged"
        yield words.fault(name, first.name, INTERCHANGED, *changes, other=second.name)


def _fit(first: Connector, second: Connector) -> bool:
    if first.contact is None or second.contact is None:
        return False
    alike = first.contact.name == second.contact.name and first.cavities == second.cavities
    return alike and first.zone == second.zone
