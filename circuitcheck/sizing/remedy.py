"""What trying changes has shown for one failing finding."""

from __future__ import annotations

from typing import TYPE_CHECKING

from circuitcheck.checks.finding import Finding
from circuitcheck.record import record

if TYPE_CHECKING:
    from circuitcheck.sizing.change import Change

Key = tuple[str, str, str]


@record
class Remedy:
    """The change found, or what was tried in vain.

    `change` lets the finding pass and `after` is the finding then; both are None where no change
    tried does. `tried` names the kinds of change that were tried; `complete` is False where the
    trials of the report ran out before all kinds were. `is_at_fault` says that other findings
    fail by this one alone; `follows` names, for such another, what it follows from.
    """

    change: Change | None
    after: Finding | None
    tried: tuple[str, ...]
    complete: bool = True
    is_at_fault: bool = False
    follows: tuple[Key, ...] = ()


def key_of(finding: Finding) -> Key:
    """Return what a finding is about, whatever position is its worst."""
    return finding.check, finding.subject, finding.quantity
