"""The harness as a diagram: nodes for its parts, edges for its wires and the frames' metal.

Every wire runs from its earlier to its later end in the order of `layout/flow.py`, in feed and in
the return alike, so that no two run in a ring.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence

from circuitcheck.drawing.layout.flow import TerminalOrder
from circuitcheck.drawing.layout.graph import Diagram, Edge, Node
from circuitcheck.drawing.layout.links import bonded_to
from circuitcheck.drawing.layout.parts import place
from circuitcheck.model.ground import Frame, FrameBond, GroundStud
from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.wire import Wire


def diagram_of(harness: Harness) -> Diagram:
    """Return what is to be drawn of the harness; no positions yet.

    Raises TypeError for a part of an unknown record class, ValueError for a wire or bond to a
    terminal that nothing has: nothing is left out in silence.
    """
    return Drafting(harness).diagram()


class Drafting:
    """Collects nodes and edges; one use only."""

    def __init__(self, harness: Harness):
        self.harness = harness
        self.order = TerminalOrder(harness)
        self.nodes: list[Node] = []
        self.edges: list[Edge] = []
        self.starts: dict[Terminal, Node] = {}
        self.ends: dict[Terminal, Node] = {}

    def diagram(self) -> Diagram:
        """Return the whole."""
        for part in self.harness.parts.values():
            place(self, part)
        wires = [(*self.in_order(w.start, w.end), w) for w in self.harness.wires.values()]
        for start, end, wire in wires:
            self._joint_where_turned(start, end, f"wire {wire.name}")
        for start, end, wire in wires:
            edge = self._edge(self.starts[start], self.ends[end], wire=wire)
            edge.forward = start == wire.start
        for part in self.harness.parts.values():
            self._metal(part)
        for node in self.nodes:
            if node.back is not None and len(node.back.before) == 1:
                node.return_wire = node.back.before[0].wire
        return Diagram(self.harness, tuple(self.nodes), tuple(self.edges))

    def in_order(self, first: Terminal, second: Terminal) -> tuple[Terminal, Terminal]:
        """Return two terminals, the earlier one first."""
        return (first, second) if self._rank(first) <= self._rank(second) else (second, first)

    def on_return(self, terminal: Terminal) -> bool | None:
        """Return whether a terminal belongs to battery minus; None where nothing leads to it."""
        return self.order.on_return.get(terminal)

    def node(
        self,
        kind: str,
        part: Part | None,
        left: Terminal | None = None,
        right: Terminal | None = None,
    ) -> Node:
        """Add a node with these terminals at its sides."""
        node = Node(len(self.nodes), kind, part, left, right)
        at = left or right
        node.on_return = bool(at and self.on_return(at))
        self.nodes.append(node)
        if left is not None:
            self.ends.setdefault(left, node)
        if right is not None:
            self.starts.setdefault(right, node)
        return node

    def load(self, kind: str, part: Part, left: Terminal | None, far: Terminal) -> Node:
        """Add a load at the far right, and the node at which its return comes in."""
        node = self.node(kind, part, left)
        node.at_load, node.far = True, far
        if far in self.order.wired:
            node.back = self.node("load return", part, far)
            node.back.on_return = True
        return node

    def sides(self, part: Part, pairs: Sequence[tuple[str, str]]) -> dict[str, bool]:
        """Tell of each terminal that contacts join whether it stands at the left.

        Every contact then leads from the left to the right.
        """
        on_left: dict[str, bool] = {}
        names = dict.fromkeys(name for pair in pairs for name in pair)
        for name in sorted(names, key=lambda name: self._rank(Terminal(part.name, name))):
            _two_sides(name, pairs, on_left)
        return on_left

    def _rank(self, terminal: Terminal) -> int:
        return self.order.place.get(terminal, len(self.order.place))

    def _edge(self, start: Node, end: Node, wire: Wire | None = None) -> Edge:
        edge = Edge(len(self.edges), start, end, wire)
        self.edges.append(edge)
        start.after.append(edge)
        end.before.append(edge)
        return edge

    def _joint_where_turned(self, start: Terminal, end: Terminal, what: str) -> None:
        """A line that leaves by the left side, or arrives at the right, gets a joint beside it."""
        for terminal, own, other in (
            (start, self.starts, self.ends),
            (end, self.ends, self.starts),
        ):
            if terminal not in own and terminal not in other:
                raise ValueError(f"{what}: nothing is drawn for {terminal}")
            if terminal not in own:
                self._joint(terminal)

    def _joint(self, terminal: Terminal) -> None:
        node = self.ends.get(terminal) or self.starts[terminal]
        at_left = terminal in self.ends
        joint = self.node("joint", None)
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
                self._metal_edge(Terminal(part.name), bonded_to(bond), bond)

    def _metal_edge(self, first: Terminal, second: Terminal, bond: FrameBond | None = None) -> None:
        start, end = self.in_order(first, second)
        self._joint_where_turned(start, end, f"metal of {first}")
        edge = self._edge(self.starts[start], self.ends[end])
        edge.metal, edge.bond = True, bond


def _two_sides(name: str, pairs: Sequence[tuple[str, str]], on_left: dict[str, bool]) -> None:
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
