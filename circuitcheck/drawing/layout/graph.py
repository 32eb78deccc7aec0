"""Drawn things and the lines between them, each line running from left to right.

Battery and supply taps stand at the left, loads at the right.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from circuitcheck.model.ground import FrameBond
from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.switch import SwitchContact
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.wire import Wire
from circuitcheck.record import record


@dataclass(eq=False)
class Node:
    """One drawn thing on one conductor row: a part, one contact, cavity or coil of it, or a joint.

    `kind` is the part's kind, or says which piece of a part it is (`battery plus`, `contact`,
    `cavity`, `relay coil`, ...), or `joint`. `left` and `right` are the terminals at its two
    sides. Nodes of one `family` belong to one outline when they stand in one column; those that
    have a `bundle` too always do, and nodes of one bundle stand beside each other.

    A load stands at the far right (`at_load`) with its terminal `far` at its right side, from
    which a line turns back to its node of kind `load return` (`back`), or with its body on the
    frame named `body`. `return_wire` is the wire at the far terminal. A `reference` is the letter
    at which a line goes on elsewhere, `goes_on` where that is.

    In a section of a diagram `cut_from` is the node of the whole, which is drawn alike.
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
    at_load: bool = False
    far: Terminal | None = None
    back: Node | None = None
    body: str = ""
    return_wire: Wire | None = None
    reference: str = ""
    goes_on: str = ""
    cut_from: Node | None = None
    before: list[Edge] = field(default_factory=list)
    after: list[Edge] = field(default_factory=list)

    @property
    def family(self) -> str:
        """Name shared by the nodes of one handle, connector or relay; empty for all others."""
        if self.part and (self.bundle or self.kind in ("contact", "cavity")):
            return self.part.name
        return ""


@dataclass(eq=False)
class Edge:
    """A line from the right side of `start` to the left side of `end`.

    It is a wire, or a bond between frames, or (neither) a plain line of the drawing; `metal` is
    True where it stands for the frame itself. A wire is `forward` where it starts at `start`.
    """

    number: int
    start: Node
    end: Node
    wire: Wire | None = None
    bond: FrameBond | None = None
    metal: bool = False
    forward: bool = True


@record
class Diagram:
    """All nodes and edges of one harness, in a fixed order."""

    harness: Harness
    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...]
