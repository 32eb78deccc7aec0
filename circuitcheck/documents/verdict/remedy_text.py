"""What trying changes has shown, as the `fix` of a finding."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from circuitcheck.checks.finding import FAIL, Finding
from circuitcheck.documents.quantity_text import quantity_text
from circuitcheck.sizing.remedy import Key, Remedy, key_of


def with_fixes(findings: Sequence[Finding], remedies: Mapping[Key, Remedy]) -> tuple[Finding, ...]:
    """Return the findings, each failure with the change that was found for it."""
    return tuple(
        replace(f, fix=_fix(f, remedies[key_of(f)]))
        if f.result == FAIL and key_of(f) in remedies
        else f
        for f in findings
    )


def _fix(finding: Finding, remedy: Remedy) -> str:
    after = remedy.after
    if after is not None and (after.quantity, after.unit) != (finding.quantity, finding.unit):
        # What is judged by another quantity after the change has no figure to set beside this.
        remedy = replace(remedy, after=None)
    text = remedy_text(remedy)
    if remedy.change is None and finding.fix:
        return f"{finding.fix}; {text}"
    return text


def remedy_text(remedy: Remedy) -> str:
    """Return the change and what it makes of the finding's value, or what was tried in vain."""
    if remedy.change is not None:
        after = remedy.after
        if after is None or after.value is None:
            return remedy.change.words
        value = quantity_text(after.value, after.unit)
        return f"{remedy.change.words}: then {value}"
    tried = ", ".join(remedy.tried)
    if not remedy.complete:
        return (
            f"not all changes could be tried in one run (tried: {tried or 'none'}); change what "
            "stands above, then check again"
        )
    return f"no single change tried helps: {tried}"
