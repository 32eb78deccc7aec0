"""Rows of fault priors and of efforts from their cells."""

from __future__ import annotations

from circuitcheck.model.library_diagnosis_rows import EffortRow, FaultPriorRow
from circuitcheck.read.library.library_cells import Cells


def fault_prior(c: Cells) -> FaultPriorRow:
    """Return how likely one failure mode of one kind of part is."""
    if ": " not in c.text("name"):
        c.disagree("name", "must be written `part kind: failure mode`")
    return FaultPriorRow(**c.provenance(), weight=c.not_negative("weight_ratio"))


def effort(c: Cells) -> EffortRow:
    """Return what one step of a reading takes."""
    return EffortRow(**c.provenance(), effort_s=c.not_negative("effort_s"))
