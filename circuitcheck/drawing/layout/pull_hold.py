"""A pull and hold coil: two windings on one plunger, and what cuts the pull winding out.

The dashed line between the windings is the plunger they share. A cut-out switch inside is a
contact in the pull winding's path that the plunger opens.
"""

from __future__ import annotations

from circuitcheck.drawing.geometry import THIN_MM, Box, Figure, Lettering, Stroke
from circuitcheck.drawing.layout.block import Block, lead
from circuitcheck.drawing.layout.graph import Node
from circuitcheck.drawing.layout.heading import (
    ABOVE_MM,
    LINE_STEP_MM,
    heading,
    heading_above,
    heading_width,
    name_of,
    return_sleeve,
    title_of,
)
from circuitcheck.drawing.layout.loads import (
    BRANCH_DROP_MM,
    movement_lines,
    part_of,
    stacked,
)
from circuitcheck.drawing.layout.page import Outline
from circuitcheck.drawing.layout.rows import CLEARANCE_MM
from circuitcheck.drawing.layout.suppression import branch_below, suppression_parts
from circuitcheck.drawing.strokes import mirrored
from circuitcheck.drawing.symbols import switching
from circuitcheck.drawing.symbols.feeding import joint
from circuitcheck.drawing.text_size import text_width_mm
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.units import text

_COIL_RISE_MM = 4.0
_APART_MM = 13.75
"""Between the rows of both windings where the pull winding has no terminal of its own."""
_HALF_MM = 9.5
_SWITCH_MM = 12.0
_TEXT_MM = 46.0
_RESISTANCES = ("type", "pull_resistance", "hold_resistance")
_CUT_OUT = {
    "internal switch": "cut-out inside",
    "outside timer": "pull: timer outside",
    "none": "no cut-out",
    "unknown": "cut-out: unknown",
}


class PullHoldBlock(Block):
    """Both windings over one another; no outline, the dashed link holds them together.

    `side` is 1 where the windings start at the left and `common` is at the right, else -1.
    """

    def shape(self) -> None:
        """Leave room for a cut-out switch inside, and for the terminals' names."""
        self.coil = part_of(self.nodes[0], PullHoldCoil)
        self.inside = self.coil.cut_out == "internal switch"
        hold = next(node for node in self.nodes if node.kind == "hold winding")
        self.side = -1 if hold.left is not None and hold.left.name == "common" else 1
        self.branch = suppression_parts(
            self.coil.suppression, "hold" if self.side == 1 else "common"
        )
        starts = max(text_width_mm(self._said(name)) for name in ("pull", "hold"))
        self.start = _HALF_MM + (_SWITCH_MM if self.inside else 0.0) + starts + 2.0
        self.end = _HALF_MM + text_width_mm(self._said("common")) + 2.0
        self.left, self.right = (
            (-self.start, self.end) if self.side == 1 else (-self.end, self.start)
        )

    def room(self, node: Node) -> tuple[float, float]:
        """Coils on their rows, the suppression below the hold winding."""
        rise, between = _COIL_RISE_MM + 0.6, (_APART_MM - CLEARANCE_MM) / 2.0
        if node.kind == "pull winding":
            return rise, between
        below = BRANCH_DROP_MM + 2.6 if self.branch else rise
        return (rise + _APART_MM if self.inside else between), below

    @property
    def pads(self) -> tuple[float, float]:
        """Name, resistances, cut-out and movement stand above the first row."""
        lines = len(self._lines()) * LINE_STEP_MM
        return lines + heading_above(self.owner, self.notes) + ABOVE_MM, 0.6

    @property
    def reach(self) -> tuple[float, float]:
        """Return the room left and right, return sleeves included."""
        self.figures()
        half = heading_width(self.owner, name_of(self.nodes[0]), self.notes) / 2.0
        half = max([half, *(text_width_mm(said) / 2.0 for said in self._lines())])
        return max(-self.left, half), max(self.sleeves_to, half)

    def outline(self) -> Outline | None:
        """None: no outline is drawn."""
        return None

    def figures(self) -> list[Figure]:
        """Return the whole coil as one figure."""
        row_of = {slot.node.kind: slot.row for slot in self.slots if slot.node}
        hold = row_of["hold winding"]
        pull = row_of.get("pull winding", hold - _APART_MM)
        strokes = self._windings(pull, hold)
        drawn, texts = branch_below(self.branch, -_HALF_MM, _HALF_MM, BRANCH_DROP_MM)
        strokes += [stroke.moved(0.0, hold) for stroke in drawn]
        lines, top = stacked(self._lines(), pull - _COIL_RISE_MM - ABOVE_MM - 0.4)
        signs, names = heading(self.owner, name_of(self.nodes[0]), 0.0, top, self.notes)
        bottom = hold + (BRANCH_DROP_MM + 2.2 if self.branch else _COIL_RISE_MM)
        wide = _HALF_MM + (_SWITCH_MM if self.inside else 0.0)
        ends = sorted((-self.side * wide, self.side * _HALF_MM))
        body = Box(ends[0], pull - _COIL_RISE_MM, ends[1], bottom)
        letterings = [*self._names(pull, hold), *lines, *names]
        letterings += [said.moved(0.0, hold) for said in texts]
        title = title_of(self.nodes[-1])
        figure = Figure(self.owner, body, (*strokes, *signs), tuple(letterings), title)
        self.sleeves_to = self.right
        for slot in self.slots:
            if slot.node is not None:
                figure, reach = return_sleeve(figure, slot.node, self.notes, self.right, slot.row)
                self.sleeves_to = max(self.sleeves_to, reach)
        return [figure]

    def _windings(self, pull: float, hold: float) -> list[Stroke]:
        """Both windings, joined at their common end, with the plunger that they share."""
        side, start, end = self.side, -self.side * self.start, self.side * self.end
        coil, common = switching.coil(), self.side * _HALF_MM
        near, far = -side * coil.right, side * coil.right
        strokes = [*coil.moved(0.0, pull), *coil.moved(0.0, hold)]
        strokes += lead(0.0, (start, hold), (near, hold))
        strokes += lead(0.0, (far, hold), (end, hold))
        strokes += lead(0.0, (far, pull), (common, pull), (common, hold))
        strokes += joint().moved(common, hold)
        plunger = ((0.0, pull + _COIL_RISE_MM), (0.0, hold - _COIL_RISE_MM))
        strokes.append(Stroke(plunger, THIN_MM, dashed=True))
        if not self.inside:
            return strokes + lead(0.0, (start, pull), (near, pull))
        branch = -side * (_HALF_MM + _SWITCH_MM)
        middle = -side * (_HALF_MM + _SWITCH_MM / 2.0)
        contact = switching.break_contact()
        strokes += (contact if side == 1 else mirrored(contact)).moved(middle, pull)
        strokes += lead(0.0, (branch, hold), (branch, pull), (middle - side * contact.right, pull))
        strokes += lead(0.0, (middle + side * contact.right, pull), (near, pull))
        strokes += joint().moved(branch, hold)
        half_way = (pull + hold) / 2.0
        link = ((0.0, half_way), (middle, half_way), (middle, pull - 1.3))
        return [*strokes, Stroke(link, THIN_MM, dashed=True)]

    def _names(self, pull: float, hold: float) -> list[Lettering]:
        """Terminal names over their conductors."""
        texts = []
        start, end = (self.left, self.right) if self.side == 1 else (self.right, self.left)
        places = [("hold", start, hold), ("common", end, hold)]
        if not self.inside:
            places.append(("pull", start, pull))
        for name, x, row in places:
            inward = 0.8 if x < 0.0 else -0.8
            anchor = "start" if x < 0.0 else "end"
            texts.append(Lettering(x + inward, row - 1.0, self._said(name), anchor))
        return texts

    def _said(self, terminal: str) -> str:
        plus = self.coil.plus
        if plus is None:
            return terminal
        return terminal + ("+" if (terminal == "common") == (plus == "common") else "−")

    def _lines(self) -> list[str]:
        pull, hold = (
            text(band.nominal, "ohm", signs=True)
            for band in (self.coil.pull_20c_ohm, self.coil.hold_20c_ohm)
        )
        ohms = f"pull {pull} · hold {hold}"
        if self.notes.is_unknown(self.owner, *_RESISTANCES):
            ohms = "resistances: unknown"
        return [ohms, _CUT_OUT[self.coil.cut_out], *movement_lines(self.coil.moves, _TEXT_MM)]
