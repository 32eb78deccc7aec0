"""A switch handle: its contacts under one another, buttons, links and bars within one outline."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from circuitcheck.drawing import symbols
from circuitcheck.drawing.geometry import (
    CONDUCTOR_MM,
    THIN_MM,
    Box,
    Figure,
    Lettering,
    Stroke,
    box_around,
)
from circuitcheck.drawing.layout_graph import Node
from circuitcheck.drawing.layout_pieces import title_of
from circuitcheck.drawing.text_size import shortened, text_width_mm, wrapped
from circuitcheck.model.switch import SwitchHandle

BAR_MM = 2.5
_CONTACT_MM = 5.0
_LETTERS = 12
_NOTE_MM = 24.0
_LINK_Y_MM = -6.2


@dataclass(frozen=True)
class HandleShape:
    """Widths shared by all contacts of one handle in one column, about the contact's middle.

    `left_bars` and `right_bars` give the place of the bar of each terminal with several contacts.
    """

    left: float
    right: float
    left_bars: Mapping[str, float]
    right_bars: Mapping[str, float]
    interlock_x: float


def handle_shape(nodes: Sequence[Node]) -> HandleShape:
    """Return the widths for the contacts of one handle that stand in one column."""
    interlock = 4.0 if _interlocked(nodes) else 0.0
    shared = [_shared(_side(nodes, at)) for at in ("left", "right")]
    names = [
        max((text_width_mm(_terminal_text(n)) for n in _side(nodes, at)), default=0.0)
        for at in ("left", "right")
    ]
    left_start = -_CONTACT_MM - interlock
    left_bars = {name: left_start - BAR_MM * (k + 1) + 0.5 for k, name in enumerate(shared[0])}
    buttons = max(
        (text_width_mm(_button_text(node)) for node in nodes),
        default=0.0,
    )
    right_start = max(_CONTACT_MM, 3.0 + buttons) if shared[1] else _CONTACT_MM
    right_bars = {name: right_start + BAR_MM * (k + 1) - 0.5 for k, name in enumerate(shared[1])}
    left = min([left_start, *left_bars.values()]) - names[0] - 2.5
    right = max([right_start, *right_bars.values()]) + names[1] + 2.5
    return HandleShape(
        left, max(right, 3.0 + buttons + 1.5), left_bars, right_bars, -_CONTACT_MM - 2.0
    )


def contact_above_mm(node: Node, nodes: Sequence[Node]) -> float:
    """Return the room above a contact: its operator, or only the lettering of a further contact."""
    return 10.2 if _first_of_button(node, nodes) is node else 4.6


CONTACT_BELOW_MM = 1.2


def handle_figures(
    nodes: Sequence[Node], rows: Sequence[float], x: float, shape: HandleShape
) -> list[Figure]:
    """Return one figure per contact, from top to bottom; bars and interlock with the first."""
    row_of = {node.number: row for node, row in zip(nodes, rows, strict=True)}
    figures = []
    for node in nodes:
        figures.append(_contact(node, nodes, row_of).moved(x, row_of[node.number]))
        figures[-1] = _with_leads(figures[-1], node, nodes, x, row_of[node.number], shape)
    extra = [*_bars(nodes, row_of, shape), *_interlocks(nodes, row_of, shape)]
    first = figures[0]
    strokes = (*first.strokes, *(stroke.moved(x, 0.0) for stroke in extra))
    figures[0] = Figure(first.owner, first.body, strokes, first.letterings, first.title)
    return figures


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


def electrical_note(nodes: Sequence[Node], shape: HandleShape) -> list[str]:
    """Return the lines below the outline that name buttons held apart electrically, if any."""
    part = nodes[0].part
    if not isinstance(part, SwitchHandle):
        return []
    held = [", ".join(i.between) for i in part.interlocks if i.kind == "electrical"]
    note = shortened("electrical interlock: " + "; ".join(held), 60)
    return wrapped(note, max(_NOTE_MM, shape.right - shape.left)) if held else []


def _first_of_button(node: Node, nodes: Sequence[Node]) -> Node:
    button = node.contact.button if node.contact else ""
    return next((n for n in nodes if n.contact and n.contact.button == button), node)


def _contact(node: Node, nodes: Sequence[Node], row_of: Mapping[int, float]) -> Figure:
    contact = node.contact
    if contact is None or node.part is None:
        raise ValueError(f"node {node.number} is no contact")
    symbol = symbols.break_contact() if contact.normally_closed else symbols.make_contact()
    strokes = list(symbol.strokes)
    letterings: list[Lettering] = []
    at = nodes.index(node)
    body = symbol.body
    if _first_of_button(node, nodes) is node:
        button = symbols.push_button(stays=contact.action == "maintained")
        strokes += button.strokes
        body = box_around([body, button.body])
        letterings.append(Lettering(3.0, symbols.OPERATOR_TOP_MM + 2.6, _button_text(node)))
    else:
        rise = row_of[nodes[at - 1].number] - row_of[node.number]
        link = ((0.0, symbols.BLADE_Y_MM), (0.0, rise + symbols.BLADE_Y_MM))
        strokes.append(Stroke(link, THIN_MM, dashed=True))
    return Figure(node.part.name, body, tuple(strokes), tuple(letterings), title_of(node))


def _with_leads(
    figure: Figure,
    node: Node,
    nodes: Sequence[Node],
    x: float,
    row: float,
    shape: HandleShape,
) -> Figure:
    """Conductors from the contact to bar or outline, with terminal names inside the outline."""
    strokes, letterings = list(figure.strokes), list(figure.letterings)
    for side, edge, bars, contact_x, inward, anchor in (
        ("left", shape.left, shape.left_bars, -_CONTACT_MM, 1.0, "start"),
        ("right", shape.right, shape.right_bars, _CONTACT_MM, -1.0, "end"),
    ):
        terminal = node.left if side == "left" else node.right
        if terminal is None:
            continue
        carries = _carrier(nodes, side, terminal.name) is node
        outer = edge if carries else bars[terminal.name]
        strokes.append(Stroke(((x + outer, row), (x + contact_x, row)), CONDUCTOR_MM))
        if carries:
            name = _terminal_text(terminal.name)
            letterings.append(Lettering(x + edge + inward, row - 1.0, name, anchor))
    return Figure(figure.owner, figure.body, tuple(strokes), tuple(letterings), figure.title)


def _carrier(nodes: Sequence[Node], side: str, name: str) -> Node:
    """Return the contact on whose row the wire to a shared terminal arrives."""
    sharing = [n for n in nodes if (t := n.left if side == "left" else n.right) and t.name == name]
    wired = [n for n in sharing if (n.before if side == "left" else n.after)]
    return (wired or sharing)[0]


def _bars(nodes: Sequence[Node], row_of: Mapping[int, float], shape: HandleShape) -> list[Stroke]:
    strokes: list[Stroke] = []
    for side, bars in (("left", shape.left_bars), ("right", shape.right_bars)):
        for name, x in bars.items():
            rows = []
            for node in nodes:
                terminal = node.left if side == "left" else node.right
                if terminal is not None and terminal.name == name:
                    rows.append(row_of[node.number])
            strokes.append(Stroke(((x, min(rows)), (x, max(rows))), CONDUCTOR_MM))
            carried = row_of[_carrier(nodes, side, name).number]
            dots = [row for row in rows if row == carried or min(rows) < row < max(rows)]
            strokes += [dot.moved(x, row) for row in dots for dot in symbols.joint().strokes]
    return strokes


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


def _interlocks(
    nodes: Sequence[Node], row_of: Mapping[int, float], shape: HandleShape
) -> list[Stroke]:
    strokes: list[Stroke] = []
    for group in _interlocked(nodes):
        rows = [row_of[node.number] + _LINK_Y_MM for node in group]
        x = shape.interlock_x
        strokes += [Stroke(((0.0, row), (x, row)), THIN_MM, dashed=True) for row in rows]
        strokes.append(Stroke(((x, min(rows)), (x, max(rows))), THIN_MM, dashed=True))
        middle = (sorted(rows)[0] + sorted(rows)[1]) / 2.0
        strokes += [s.moved(x, middle) for s in symbols.mechanical_interlock().strokes]
    return strokes


def outline_box(rows: Sequence[float], x: float, shape: HandleShape) -> Box:
    """Return the outline of the handle around contacts at these rows."""
    return Box(x + shape.left, min(rows) - 11.6, x + shape.right, max(rows) + 2.8)
