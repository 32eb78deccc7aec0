"""The harness as drawn things and the lines between them, each line running from left to right.

Battery and supply taps stand at the left, coils at the right. A search outward from both battery
posts puts all terminals in one order; every wire then runs from its earlier to its later end, in
the feed and in the return alike, so that no two can run in a ring.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field

from circuitcheck.drawing.layout_flow import TerminalOrder
from circuitcheck.model.battery import Battery
from circuitcheck.model.connector import Connector
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.ground import Frame, FrameBond, GroundStud
from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.splice import Splice
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.switch import SwitchContact, SwitchHandle
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.wire import Wire


@dataclass(eq=False)
class Node:
    """One drawn thing on one conductor row: a part, one contact or cavity of it, or a joint.

    `kind` is the part's kind, or `battery plus`, `battery minus`, `contact`, `cavity`, `coil
    return` or `joint`. `left` and `right` are the terminals at its two sides; nodes of one
    `family` belong to one outline when they stand in one column. `return_wire` is the wire at a
    coil's far terminal.
    """

    number: int
    kind: str
    part: Part | None
    left: Terminal | None = None
    right: Terminal | None = None
    contact: SwitchContact | None = None
    cavity: int = 0
    bundle: str = ""
    on_return: bool = False
    return_wire: Wire | None = None
    before: list[Edge] = field(default_factory=list)
    after: list[Edge] = field(default_factory=list)

    @property
    def family(self) -> str:
        """Name shared by the nodes of one handle or connector; empty for all others."""
        return self.part.name if self.part and self.kind in ("contact", "cavity") else ""


@dataclass(eq=False)
class Edge:
    """A line from the right side of `start` to the left side of `end`.

    It is a wire, or a bond between frames, or (neither) a plain line of the drawing; `metal` is
    True where it stands for the frame itself.
    """

    number: int
    start: Node
    end: Node
    wire: Wire | None = None
    bond: FrameBond | None = None
    metal: bool = False


@dataclass(frozen=True)
class Diagram:
    """All nodes and edges of one harness, in a fixed order."""

    harness: Harness
    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...]


def diagram_of(harness: Harness) -> Diagram:
    """Return what is to be drawn of the harness; no positions yet."""
    return _Drafting(harness).diagram()


class _Drafting:
    """Collects nodes and edges; one use only."""

    def __init__(self, harness: Harness):
        self.harness = harness
        self.order = TerminalOrder(harness)
        self.nodes: list[Node] = []
        self.edges: list[Edge] = []
        self.starts: dict[Terminal, Node] = {}
        self.ends: dict[Terminal, Node] = {}
        self.wired = {t for wire in harness.wires.values() for t in (wire.start, wire.end)}

    def diagram(self) -> Diagram:
        for part in self.harness.parts.values():
            self._place(part)
        wires = [(*self._in_order(w.start, w.end), w) for w in self.harness.wires.values()]
        for start, end, _ in wires:
            self._joint_where_turned(start, end)
        for start, end, wire in wires:
            if start in self.starts and end in self.ends:
                self._edge(self.starts[start], self.ends[end], wire=wire)
        for part in self.harness.parts.values():
            self._metal(part)
        self._return_wires()
        return Diagram(self.harness, tuple(self.nodes), tuple(self.edges))

    def _return_wires(self) -> None:
        coils = {n.part.name: n for n in self.nodes if n.part and n.kind == "solenoid coil"}
        for node in self.nodes:
            if node.kind == "coil return" and node.part and len(node.before) == 1:
                coils[node.part.name].return_wire = node.before[0].wire

    def _rank(self, terminal: Terminal) -> int:
        return self.order.place.get(terminal, len(self.order.place))

    def _in_order(self, first: Terminal, second: Terminal) -> tuple[Terminal, Terminal]:
        return (first, second) if self._rank(first) <= self._rank(second) else (second, first)

    def _node(
        self, kind: str, part: Part | None, left: Terminal | None, right: Terminal | None
    ) -> Node:
        node = Node(len(self.nodes), kind, part, left, right)
        at = left or right
        node.on_return = self.order.on_return.get(at, False) if at else False
        self.nodes.append(node)
        if left is not None:
            self.ends.setdefault(left, node)
        if right is not None:
            self.starts.setdefault(right, node)
        return node

    def _edge(self, start: Node, end: Node, wire: Wire | None = None) -> Edge:
        edge = Edge(len(self.edges), start, end, wire)
        self.edges.append(edge)
        start.after.append(edge)
        end.before.append(edge)
        return edge

    def _place(self, part: Part) -> None:
        name = part.name
        if isinstance(part, Battery):
            self._node("battery plus", part, None, Terminal(name, "+"))
            self._node("battery minus", part, None, Terminal(name, "-"))
        elif isinstance(part, SupplyTap):
            self._node(part.kind, part, None, Terminal(name))
        elif isinstance(part, (Splice, GroundStud, Frame)):
            self._node(part.kind, part, Terminal(name), Terminal(name))
        elif isinstance(part, Fuse):
            self._node(part.kind, part, *self._in_order(*_pair(part, "line", "load")))
        elif isinstance(part, Connector):
            self._place_cavities(part)
        elif isinstance(part, SwitchHandle):
            self._place_contacts(part)
        elif isinstance(part, SolenoidCoil):
            feed, back = self._in_order(*_pair(part, "1", "2"))
            if self.order.on_return.get(feed, False) and not self.order.on_return.get(back, True):
                feed, back = back, feed
            self._node(part.kind, part, feed, None)
            if back in self.wired:
                self._node("coil return", part, back, None).on_return = True

    def _place_cavities(self, part: Connector) -> None:
        for n in range(1, part.cavities + 1):
            plug, receptacle = _pair(part, f"plug.{n}", f"receptacle.{n}")
            if plug in self.wired or receptacle in self.wired:
                node = self._node("cavity", part, *self._in_order(plug, receptacle))
                node.cavity = n

    def _place_contacts(self, part: SwitchHandle) -> None:
        """One node per contact; terminals fall on two sides so that each contact joins both."""
        on_left: dict[str, bool] = {}
        pairs = [contact.terminals for contact in part.contacts]
        names = sorted(part.terminals, key=lambda name: self._rank(Terminal(part.name, name)))
        for name in names:
            _two_sides(name, pairs, on_left)
        for contact in part.contacts:
            first, second = contact.terminals
            if not on_left[first]:
                first, second = second, first
            node = self._node("contact", part, *_pair(part, first, second))
            node.contact = contact

    def _joint_where_turned(self, start: Terminal, end: Terminal) -> None:
        """A wire that leaves by the left side, or arrives at the right, gets a joint beside it."""
        if start not in self.starts and start in self.ends:
            self._joint(start)
        if end not in self.ends and end in self.starts:
            self._joint(end)

    def _joint(self, terminal: Terminal) -> None:
        node = self.ends.get(terminal) or self.starts[terminal]
        at_left = terminal in self.ends
        joint = self._node("joint", None, None, None)
        joint.left = joint.right = terminal
        joint.on_return = node.on_return
        self.starts[terminal] = self.ends[terminal] = joint
        if at_left:
            self._edge(joint, node)
        else:
            self._edge(node, joint)

    def _metal(self, part: Part) -> None:
        """Studs on their frame, and bonds from frame to frame."""
        if isinstance(part, GroundStud):
            self._metal_edge(Terminal(part.frame), Terminal(part.name))
        elif isinstance(part, Frame):
            for bond in part.bonds:
                self._metal_edge(Terminal(part.name), Terminal(bond.to), bond)

    def _metal_edge(self, first: Terminal, second: Terminal, bond: FrameBond | None = None) -> None:
        start, end = self._in_order(first, second)
        if start in self.starts and end in self.ends:
            edge = self._edge(self.starts[start], self.ends[end])
            edge.metal, edge.bond = True, bond


def _pair(part: Part, first: str, second: str) -> tuple[Terminal, Terminal]:
    return Terminal(part.name, first), Terminal(part.name, second)


def _two_sides(name: str, pairs: list[tuple[str, str]], on_left: dict[str, bool]) -> None:
    """Walk from one terminal over the contacts; every step changes the side."""
    if name in on_left:
        return
    on_left[name] = True
    queue = deque([name])
    while queue:
        at = queue.popleft()
        for first, second in pairs:
            other = second if first == at else first if second == at else None
            if other is not None and other not in on_left:
                on_left[other] = not on_left[at]
                queue.append(other)
