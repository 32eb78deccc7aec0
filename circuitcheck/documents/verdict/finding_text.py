"""A finding in words: its value against its limit, and where it holds."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.checks.finding import Finding
from circuitcheck.documents.quantity_text import METRIC, in_system, margin_text, pair_text

MOST_CLAUSES = 8
"""Conditions or reasons shown of one finding unless everything is asked for; first ones first."""


def against(finding: Finding, system: str = METRIC) -> str:
    """Return value and limit in one line; the reason where there are no numbers."""
    if finding.value is None or finding.limit is None:
        return in_system(finding.reason, system)
    value, limit = pair_text(finding.value, finding.limit, finding.unit, system=system)
    return f"{value}, {bound(finding)} {limit}{left(finding)}"


def bound(finding: Finding) -> str:
    """Return the sense of a limit in words."""
    return "at most" if finding.at_most else "at least"


def left(finding: Finding) -> str:
    """Return the margin in brackets; nothing without one."""
    if finding.margin is None:
        return ""
    return f" ({margin_text(finding.margin, at_most=finding.at_most)})"


def where(finding: Finding) -> str:
    """Return switch position and coil state."""
    return ", ".join(part for part in (finding.position, finding.coil_state) if part)


def in_one_line(finding: Finding, system: str = METRIC) -> str:
    """Return check, part and margin, such as `coil pull-in: YG (1.26 % short)`."""
    said = (
        left(finding) if finding.margin is not None else f" ({in_system(finding.quantity, system)})"
    )
    return f"{finding.check}: {finding.subject or 'the circuit'}{said}"


def clauses(given: Sequence[str], every: bool) -> str:
    """Return clauses behind one another; of a long list the first, unless all are asked for."""
    rest = len(given) - MOST_CLAUSES
    if every or rest < 2:
        return "; ".join(given)
    return f"{'; '.join(given[:MOST_CLAUSES])}; and {rest} more (--wide)"
