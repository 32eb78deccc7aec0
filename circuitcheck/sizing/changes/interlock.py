"""A mechanical interlock that keeps two buttons from being on together."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Finding
from circuitcheck.model.switch import Interlock, SwitchHandle
from circuitcheck.sizing.change import Change, Ladder, with_part

FEWEST = 2


def ladders(case: Case, finding: Finding) -> Iterator[Ladder]:
    """Yield, for a finding in a position with several buttons of one handle, their interlock."""
    positions = {solved.position.name: solved.position for solved in case.solution.positions}
    position = positions.get(finding.position)
    if position is None:
        return
    for handle in case.harness.of_kind(SwitchHandle):
        pressed = [b for b in handle.buttons if (handle.name, b) in position.pressed]
        pairs = list(itertools.combinations(pressed, FEWEST))
        groups = [*pairs, tuple(pressed)] if len(pressed) > FEWEST else pairs
        for buttons in groups:
            yield _ladder(case, handle, buttons)


def _ladder(case: Case, handle: SwitchHandle, buttons: tuple[str, ...]) -> Ladder:
    lock = Interlock("mechanical", buttons)
    named = " and ".join(buttons)
    words = f"{handle.name} with a mechanical interlock between {named}"
    other = replace(handle, interlocks=(*handle.interlocks, lock))
    return Ladder(words, (Change(words, with_part(case.harness, other)),))
