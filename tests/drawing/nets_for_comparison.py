"""The same nets for both: what the wiring diagram joins, as boxes with ports and edges between.

Boxes are what stands together in the diagram: the supply, a connector, a handle, a relay, any other
symbol, a joint. They are as large as drawn, their ports where they are drawn. An edge is a wire,
a bond between frames or a stud's place on its frame; edges of one terminal share a port.
"""

from __future__ import annotations

from typing import Any

from circuitcheck.drawing.layout.diagram import placed
from circuitcheck.drawing.layout.drafting import diagram_of
from circuitcheck.drawing.layout.lanes import Slot
from circuitcheck.drawing.layout.layout import lanes_in_order
from circuitcheck.drawing.marks import Notes
from circuitcheck.model.harness import Harness


def graph_of(harness: Harness) -> dict[str, Any]:
    """Return the nets of the wiring diagram as a graph to be laid out anew."""
    notes = Notes()
    lanes = lanes_in_order(diagram_of(harness), notes)
    _, _, places = placed(lanes, notes, 1)
    slots = [slot for layer in lanes.layers for slot in layer if slot.node is not None]
    slot_of = {slot.node.number: slot.number for slot in slots}
    load_of = {back.number: load.number for load, back in lanes.turns}
    groups: dict[str, list[Slot]] = {}
    for slot in slots:
        if slot.number not in load_of:
            groups.setdefault("supply" if slot.layer == 0 else slot.group, []).append(slot)
    children = [_box(name, members, places.ports) for name, members in groups.items()]
    edges = []
    for edge in {hop.edge.number: hop.edge for gap in lanes.hops for hop in gap}.values():
        end = slot_of[edge.end.number]
        into = f"{load_of[end]} right" if end in load_of else f"{end} left"
        start = f"{slot_of[edge.start.number]} right"
        edges.append({"id": f"e{edge.number}", "sources": [start], "targets": [into]})
    return {"id": "root", "children": children, "edges": edges}


def _box(name: str, slots: list[Slot], ports: dict[int, tuple[float, float]]) -> dict[str, Any]:
    at = {slot.number: ports.get(slot.number, (0.0, 0.0)) for slot in slots}
    left = min(x for x, _ in at.values())
    right = max(x for _, x in at.values())
    top = min(slot.row - slot.above for slot in slots)
    bottom = max(slot.row + slot.below for slot in slots)
    wide = max(right - left, 0.5)
    made = []
    for slot in slots:
        y = slot.row - top
        made.append({"id": f"{slot.number} left", "x": 0.0, "y": y, "side": "WEST"})
        made.append({"id": f"{slot.number} right", "x": wide, "y": y, "side": "EAST"})
    return {"id": name, "width": wide, "height": bottom - top, "ports": made}
