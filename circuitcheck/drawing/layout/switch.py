"""A switch handle: its contacts under one another, buttons, links and bars within one outline."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from circuitcheck.drawing.geometry import (
    CONDUCTOR_MM,
    THIN_MM,
    Figure,
    Lettering,
    Stroke,
    box_around,
)
from circuitcheck.drawing.layout.block import Block
from circuitcheck.drawing.layout.graph import Node
from circuitcheck.drawing.layout.heading import title_of
from circuitcheck.drawing.marks import Notes
from circuitcheck.drawing.strokes import Symbol
from circuitcheck.drawing.symbols import switching
from circuitcheck.drawing.symbols.feeding import joint
from circuitcheck.drawing.text_size import shortened, text_width_mm, wrapped
from circuitcheck.model.switch import SwitchHandle

BAR_MM = 2.5
_CONTACT_MM = 5.0
_LETTERS = 12
_NOTE_MM = 24.0
_LINK_Y_MM = -6.2
_INTERLOCK_X_MM = -_CONTACT_MM - 2.0


class HandleBlock(Block):
    """The contacts of one handle that stand in one column.

    `left_bars` and `right_bars` give the place of the bar of each terminal with several contacts.
    """

    margins = (1.4, 1.6)

    def shape(self) -> None:
        """Work out the widths that all contacts share."""
        nodes = self.nodes
        interlock = 4.0 if _interlocked(nodes) else 0.0
        shared = [_shared(_side(nodes, at)) for at in ("left", "right")]
        names = [
            max((text_width_mm(_terminal_text(n)) for n in _side(nodes, at)), default=0.0)
            for at in ("left", "right")
        ]
        left_start = -_CONTACT_MM - interlock
        self.left_bars = {n: left_start - BAR_MM * (k + 1) + 0.5 for k, n in enumerate(shared[0])}
        buttons = max((text_width_mm(_button_text(node)) for node in nodes), default=0.0)
        right_start = max(_CONTACT_MM, 3.0 + buttons) if shared[1] else _CONTACT_MM
        self.right_bars = {n: right_start + BAR_MM * (k + 1) - 0.5 for k, n in enumerate(shared[1])}
        self.left = min([left_start, *self.left_bars.values()]) - names[0] - 2.5
        right = max([right_start, *self.right_bars.values()]) + names[1] + 2.5
        self.right = max(right, 3.0 + buttons + 1.5)

    def room(self, node: Node) -> tuple[float, float]:
        """A contact with its operator above it, or only the lettering of a further contact."""
        return (10.2 if _first_of_button(node, self.nodes) is node else 4.6), 1.2

    def below_outline(self) -> list[str]:
        """Return the lines that name buttons held apart electrically, if any."""
        part = self.nodes[0].part
        if not isinstance(part, SwitchHandle):
            return []
        held = [", ".join(i.between) for i in part.interlocks if i.kind == "electrical"]
        note = shortened("electrical interlock: " + "; ".join(held), 60)
        return wrapped(note, max(_NOTE_MM, self.right - self.left)) if held else []

    def figures(self) -> list[Figure]:
        """Return one figure per contact, from top to bottom; bars and interlock with the first."""
        nodes, row_of = self.nodes, self.row_of()
        figures = []
        for node in nodes:
            figure = _contact(node, nodes, row_of, self.notes).moved(0.0, row_of[node.number])
            figures.append(self._with_leads(figure, node, row_of[node.number]))
        extra = [*self._bars(row_of), *_interlocks(nodes, row_of)]
        figures[0] = replace(figures[0], strokes=(*figures[0].strokes, *extra))
        return figures

    def _with_leads(self, figure: Figure, node: Node, row: float) -> Figure:
        """Conductors from the contact to bar or outline, with terminal names inside the outline."""
        strokes, letterings = list(figure.strokes), list(figure.letterings)
        for side, edge, bars, contact_x, inward, anchor in (
            ("left", self.left, self.left_bars, -_CONTACT_MM, 1.0, "start"),
            ("right", self.right, self.right_bars, _CONTACT_MM, -1.0, "end"),
        ):
            terminal = node.left if side == "left" else node.right
            if terminal is None:
                continue
            carries = _carrier(self.nodes, side, terminal.name) is node
            outer = edge if carries else bars[terminal.name]
            strokes.append(Stroke(((outer, row), (contact_x, row)), CONDUCTOR_MM))
            if carries:
                name = _terminal_text(terminal.name)
                letterings.append(Lettering(edge + inward, row - 1.3, name, anchor))
        return replace(figure, strokes=tuple(strokes), letterings=tuple(letterings))

    def _bars(self, row_of: Mapping[int, float]) -> list[Stroke]:
        strokes: list[Stroke] = []
        for side, bars in (("left", self.left_bars), ("right", self.right_bars)):
            for name, x in bars.items():
                rows = []
                for node in self.nodes:
                    terminal = node.left if side == "left" else node.right
                    if terminal is not None and terminal.name == name:
                        rows.append(row_of[node.number])
                strokes.append(Stroke(((x, min(rows)), (x, max(rows))), CONDUCTOR_MM))
                carried = row_of[_carrier(self.nodes, side, name).number]
                dots = [row for row in rows if row == carried or min(rows) < row < max(rows)]
                strokes += [stroke for row in dots for stroke in joint().moved(x, row)]
        return strokes


def _side(nodes: Sequence[Node], at: str) -> list[str]:
    terminals = [node.left if at == "left" else node.right for node in nodes]
    return [terminal.name for terminal in terminals if terminal is not None]


def _shared(names: Sequence[str]) -> list[str]:
    return [name for name in dict.fromkeys(names) if names.count(name) > 1]


def _terminal_text(name: str) -> str:
    return shortened(name, _LETTERS)


def _button_text(node: Node) -> str:
    """Name of the button; a plain switch's only button bears the switch's own name."""
    if node.contact is None or (node.part and node.contact.button == node.part.name):
        return ""
    return shortened(node.contact.button, _LETTERS)


def _first_of_button(node: Node, nodes: Sequence[Node]) -> Node:
    button = node.contact.button if node.contact else ""
    return next((n for n in nodes if n.contact and n.contact.button == button), node)


def _symbol(node: Node, notes: Notes) -> Symbol:
    """The contact at rest, or as it stands where the drawing shows a switch position."""
    closed = node.contact is not None and node.contact.normally_closed
    button = node.contact.button if node.contact else ""
    if notes.values is not None and node.part and notes.values.has_moved(node.part.name, button):
        return switching.make_contact() if closed else switching.closed_contact()
    if closed and node.part is not None and node.part.kind == "isolator":
        return switching.isolator_contact()
    return switching.break_contact() if closed else switching.make_contact()


def _contact(
    node: Node, nodes: Sequence[Node], row_of: Mapping[int, float], notes: Notes
) -> Figure:
    contact = node.contact
    if contact is None or node.part is None:
        raise ValueError(f"node {node.number} is no contact")
    symbol = _symbol(node, notes)
    strokes = list(symbol.strokes)
    letterings: list[Lettering] = []
    at = nodes.index(node)
    body = symbol.body
    if _first_of_button(node, nodes) is node:
        if node.part.kind == "isolator":
            operator = switching.turning_operator()
        else:
            operator = switching.push_button(stays=contact.action == "maintained")
        strokes += operator.strokes
        body = box_around([body, operator.body])
        letterings.append(Lettering(3.0, switching.OPERATOR_TOP_MM + 2.6, _button_text(node)))
    else:
        rise = row_of[nodes[at - 1].number] - row_of[node.number]
        link = ((0.0, switching.BLADE_Y_MM), (0.0, rise + switching.BLADE_Y_MM))
        strokes.append(Stroke(link, THIN_MM, dashed=True))
    return Figure(node.part.name, body, tuple(strokes), tuple(letterings), title_of(node))


def _carrier(nodes: Sequence[Node], side: str, name: str) -> Node:
    """Return the contact on whose row the wire to a shared terminal arrives."""
    sharing = [n for n in nodes if (t := n.left if side == "left" else n.right) and t.name == name]
    wired = [n for n in sharing if (n.before if side == "left" else n.after)]
    return (wired or sharing)[0]


def _interlocked(nodes: Sequence[Node]) -> list[list[Node]]:
    """Groups of operators held apart by a mechanical interlock."""
    part = nodes[0].part
    if not isinstance(part, SwitchHandle):
        return []
    groups = []
    for interlock in part.interlocks:
        if interlock.kind == "mechanical":
            firsts = [
                n
                for n in nodes
                if n.contact
                and n.contact.button in interlock.between
                and _first_of_button(n, nodes) is n
            ]
            if len(firsts) > 1:
                groups.append(firsts)
    return groups


def _interlocks(nodes: Sequence[Node], row_of: Mapping[int, float]) -> list[Stroke]:
    strokes: list[Stroke] = []
    for group in _interlocked(nodes):
        rows = [row_of[node.number] + _LINK_Y_MM for node in group]
        x = _INTERLOCK_X_MM
        strokes += [Stroke(((0.0, row), (x, row)), THIN_MM, dashed=True) for row in rows]
        strokes.append(Stroke(((x, min(rows)), (x, max(rows))), THIN_MM, dashed=True))
        middle = (sorted(rows)[0] + sorted(rows)[1]) / 2.0
        strokes += switching.mechanical_interlock().moved(x, middle)
    return strokes
