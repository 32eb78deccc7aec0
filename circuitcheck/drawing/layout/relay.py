"""A relay or contactor: coil and contacts in one outline, linked by a dashed line.

The contact lies in the path of the load, from one side of the outline to the other. Both ends of
the coil come in from the left, over or under the contact; the coil lies upright between them, so
that the link leads from its side to the blade without crossing a conductor.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from circuitcheck.drawing.geometry import (
    THIN_MM,
    Box,
    Figure,
    Lettering,
    Point,
    Stroke,
    box_around,
)
from circuitcheck.drawing.layout.block import Block, lead
from circuitcheck.drawing.layout.graph import Node
from circuitcheck.drawing.layout.heading import NAME_LETTERS, signed, title_of
from circuitcheck.drawing.layout.loads import part_of
from circuitcheck.drawing.layout.suppression import branch_beside, suppression_parts
from circuitcheck.drawing.strokes import Symbol, mirrored, turned
from circuitcheck.drawing.symbols import feeding, switching
from circuitcheck.drawing.text_size import shortened, text_width_mm
from circuitcheck.model.relay import Relay

_TEXT_ABOVE_MM = 4.6
_COIL_HALF_MM = 4.0
_COIL_RISE_MM = 2.5
_CONTACT_MM = 5.0
_BODY_DROP_MM = 6.5
"""From the row of a coil grounded through its body to the middle of the coil."""


class RelayBlock(Block):
    """One relay; its slots are those of its contacts and of its coil, in either order."""

    margins = (0.8, 1.4)

    def shape(self) -> None:
        """Set the columns inside: terminal names, suppression, coil, contact, names."""
        self.relay = part_of(self.nodes[0], Relay)
        unknown = self.notes.is_unknown(self.relay.name, "type", "resistance")
        ohms = "?" if unknown else f"{self.relay.resistance_20c_ohm.nominal:.3g}"
        self.title += f" · {ohms} Ω"
        self.coils = [node for node in self.nodes if node.kind == "relay coil"]
        self.contacts = [node for node in self.nodes if node.kind != "relay coil"]
        first = self.coils[0].left.name if self.coils[0].left else ""
        self.branch = suppression_parts(self.relay.suppression, first)
        names = max(text_width_mm(self._said(node, "left")) for node in self.nodes) + 2.5
        self.branch_x = names + 2.0
        self.coil_x = names + (8.5 if self.branch else _COIL_HALF_MM + 1.0)
        self.contact_x = self.coil_x + _COIL_HALF_MM + 3.0
        after = max(text_width_mm(self._said(node, "right")) for node in self.nodes) + 2.0
        wide = self.contact_x + _CONTACT_MM + after
        if self.relay.body_frame:
            wide = max(wide, self.coil_x + text_width_mm(self._frame_name()) / 2.0 + 1.0)
        self.left, self.right = -wide / 2.0, wide / 2.0

    def room(self, node: Node) -> tuple[float, float]:
        """Both ends of the coil keep room for it between them."""
        if node not in self.coils:
            return _TEXT_ABOVE_MM, 1.2
        if len(self.coils) == 1:
            return _TEXT_ABOVE_MM, 2.0 * _BODY_DROP_MM + 10.4
        between = 7.2 if len(self.branch) > 1 else 6.2
        return (_TEXT_ABOVE_MM, between) if node is self.coils[0] else (between, 1.2)

    def figures(self) -> list[Figure]:
        """Return coil and contact, the link with the contact."""
        coil, middle = self._coil()
        if not self.contacts:
            return [coil.moved(self.left, 0.0)]
        contact, blade = self._contact()
        link = ((self.coil_x + _COIL_HALF_MM, middle), (self.contact_x, middle), blade)
        linked = (*contact.strokes, Stroke(link, THIN_MM, dashed=True))
        return [
            coil.moved(self.left, 0.0),
            replace(contact, strokes=linked).moved(self.left, 0.0),
        ]

    def _said(self, node: Node, side: str) -> str:
        terminal = node.left if side == "left" else node.right
        if terminal is None:
            return ""
        return signed(terminal.name, self.relay.plus if node.kind == "relay coil" else None)

    def _frame_name(self) -> str:
        return shortened(self.relay.body_frame or "", NAME_LETTERS)

    def _names(self, nodes: Sequence[Node]) -> list[Lettering]:
        """Terminal numbers over the conductors, just inside the outline; x from its left side."""
        row_of, wide = self.row_of(), self.right - self.left
        return [
            Lettering(x, row_of[node.number] - 1.0, self._said(node, side), anchor)
            for node in nodes
            for side, x, anchor in (("left", 1.0, "start"), ("right", wide - 1.0, "end"))
            if self._said(node, side)
        ]

    def _coil(self) -> tuple[Figure, float]:
        """Return the coil with suppression and conductors, and the height of its middle."""
        row_of, x = self.row_of(), self.coil_x
        rows = [row_of[node.number] for node in self.coils]
        symbol = turned(switching.coil())
        grounded = len(rows) == 1
        middle = rows[0] + _BODY_DROP_MM if grounded else sum(rows) / 2.0
        bottom = middle + _BODY_DROP_MM if grounded else rows[1]
        strokes = lead(0.0, (0.0, rows[0]), (x, rows[0]), (x, middle - _COIL_RISE_MM))
        strokes += symbol.moved(x, middle)
        strokes += lead(0.0, (x, middle + _COIL_RISE_MM), (x, bottom))
        letterings = self._names(self.coils)
        from_x = x if grounded else 0.0
        if not grounded or self.branch:
            strokes += lead(0.0, (x, bottom), (self.branch_x if grounded else from_x, bottom))
        drawn, texts = branch_beside(self.branch, self.branch_x, rows[0], bottom)
        body = Box(x - _COIL_HALF_MM, rows[0], x + _COIL_HALF_MM, bottom)
        if self.branch:
            body = box_around([body, Box(self.branch_x - 2.2, rows[0], self.branch_x, bottom)])
        if grounded:
            frame = feeding.frame()
            strokes += frame.moved(x, bottom)
            body = box_around([body, frame.body.moved(x, bottom)])
            foot = bottom + frame.body.bottom + 3.6
            letterings.append(Lettering(x, foot, self._frame_name(), "middle"))
        # The conductors at the edge of the box are the coil's own: it stands clear between them.
        body = Box(body.left, body.top + 0.3, body.right, body.bottom - (0.0 if grounded else 0.3))
        figure = Figure(
            self.owner, body, (*strokes, *drawn), (*letterings, *texts), title_of(self.coils[0])
        )
        return figure, middle

    def _contact(self) -> tuple[Figure, Point]:
        """Return the contact with its conductors, and where the link takes hold of the blade."""
        row_of, x = self.row_of(), self.contact_x
        ways = [(node, row_of[node.number]) for node in self.contacts]
        symbol, row, hold = self._contact_symbol([at for _, at in ways])
        strokes = list(symbol.moved(x, row))
        wide = self.right - self.left
        for node, at in ways:
            if node.left is not None:
                strokes += lead(0.0, (0.0, at), (x - _CONTACT_MM, at))
            if node.right is not None:
                strokes += lead(0.0, (x + _CONTACT_MM, at), (wide, at))
        title = title_of(self.contacts[0])
        body = symbol.body.moved(x, row)
        names = self._names(self.contacts)
        return Figure(self.owner, body, tuple(strokes), tuple(names), title), (x, row + hold)

    def _contact_symbol(self, rows: Sequence[float]) -> tuple[Symbol, float, float]:
        """Return the symbol, the row of its blade's hinge, and how far over that the blade is."""
        values = self.notes.values
        moved = values is not None and self.relay.name in values.energised_relays
        if len(rows) == 1:
            closed = self.relay.contacts == "break"
            if moved and not closed:
                return switching.closed_contact(), rows[0], switching.BLADE_Y_MM
            symbol = switching.break_contact() if closed and not moved else switching.make_contact()
            return symbol, rows[0], -1.3 if closed and not moved else switching.BLADE_Y_MM
        at = {_terminal(node): (row, node) for row, node in zip(rows, self.contacts, strict=True)}
        (common, node), rest, make = at["30"], at["87a"][0], at["87"][0]
        if moved:
            # Drawn as it stands: the blade lies on the contact that makes.
            rest, make = make, rest
        symbol = switching.changeover_contact(rest - common, make - common)
        on_right = node.right is not None
        hold = math.copysign(0.91, rest - common)
        return (mirrored(symbol) if on_right else symbol), common, hold


def _terminal(node: Node) -> str:
    terminal = node.left or node.right
    return terminal.name if terminal else ""
