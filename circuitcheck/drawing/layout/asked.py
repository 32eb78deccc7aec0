"""What is to be drawn, whatever it is drawn on: the diagram, its signs and values, its title."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from circuitcheck.drawing.layout.drafting import diagram_of
from circuitcheck.drawing.layout.graph import Diagram
from circuitcheck.drawing.legend import Legend, legend_of, legend_of_position
from circuitcheck.drawing.marks import InUnits, Mark, Notes, NumberedMark, notes_on, numbered
from circuitcheck.drawing.position_values import PositionValues
from circuitcheck.drawing.title_block import TitleBlock, title_block_of
from circuitcheck.model.harness import Harness
from circuitcheck.record import record

CAUTION = (
    "Drawn from the file, switches at rest. It does not show that the circuit is safe. "
    "Disconnect the battery before work on any wire."
)
CAUTION_OF_VALUES = (
    "Calculated from the file, not measured. It does not show that the circuit is safe. "
    "Disconnect the battery before work on any wire."
)


@record
class Asked:
    """One drawing: the whole diagram, what is said of its parts, and its title block.

    `judged` tells whether anything was judged, so that no sign means no failure. Laying a diagram
    out leads rings around joints; `whole` stays as drafted, `drafted()` gives another to lay out.
    """

    harness: Harness
    whole: Diagram
    notes: Notes
    signs: Sequence[NumberedMark]
    block: TitleBlock
    judged: bool

    def drafted(self) -> Diagram:
        """Return the whole diagram once more."""
        return diagram_of(self.harness)

    def legend(self, shown: Diagram, before: Sequence[str] = ()) -> Legend:
        """Return the legend of a sheet that shows this part of the whole."""
        if self.notes.values is not None:
            return legend_of_position(self.notes.values, before)
        names = {node.part.name for node in shown.nodes if node.part is not None}
        names |= {edge.wire.name for edge in shown.edges if edge.wire is not None}
        signs = [sign for sign in self.signs if sign.subject in names]
        return legend_of(signs, judged=self.judged, before=before)


def asked_for(
    harness: Harness,
    marks: Iterable[Mark] | None = None,
    in_units: InUnits = str,
    values: PositionValues | None = None,
) -> Asked:
    """Return what is to be drawn of a harness; with `values`, in one switch position.

    `marks` are the failing items, None where nothing was judged. A sheet with values has no signs.
    """
    shown = () if values is not None else marks or ()
    signs = numbered(shown, [*harness.parts, *harness.wires])
    notes = replace(notes_on(harness, signs, in_units), values=values)
    drawing, caution = "Wiring diagram", CAUTION
    if values is not None:
        drawing, caution = f"Position: {values.name}", CAUTION_OF_VALUES
    block = title_block_of(harness, drawing, caution=caution)
    return Asked(harness, diagram_of(harness), notes, signs, block, judged=marks is not None)
