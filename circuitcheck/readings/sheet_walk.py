"""The way a person walks a circuit: from the battery by tap, fuse and handle to a load and back."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence

from circuitcheck.circuit.asked_for import fed_nodes
from circuitcheck.circuit.netlist import LOADS, WINDINGS, Branch, CurveBranch, Network
from circuitcheck.model.connector import Connector
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.harness import Harness
from circuitcheck.model.splice import Splice
from circuitcheck.record import record

Load = Branch | CurveBranch
FED, RETURNED = "fed", "returned"
"""A terminal led to by battery plus, or by battery minus, without a load between."""


@record
class Way:
    """One load with the terminals on its way there and back, in the order of the current.

    `feed` runs from battery plus to the load's fed terminal, `back` from its other terminal to
    battery minus; `feed_names` and `back_names` are the branches between.
    """

    load: str
    owner: str
    role: str
    feed: tuple[str, ...]
    back: tuple[str, ...]
    feed_names: tuple[str, ...]
    back_names: tuple[str, ...]

    @property
    def fed(self) -> str:
        """Terminal by which the load is fed."""
        return self.feed[-1]

    @property
    def returned(self) -> str:
        """Terminal at its other end."""
        return self.back[0]


def loads_of(network: Network) -> Iterator[Load]:
    """Yield what the add-on feeds: windings, lamps and LEDs, in file order."""
    yield from (branch for branch in network.branches if branch.role in WINDINGS)
    yield from (curve for curve in network.curves if curve.role != "diode")


def ways(network: Network, names: Sequence[str]) -> tuple[Way, ...]:
    """Return the way of each load of these names, the shortest where there are several."""
    fed, found = fed_nodes(network), []
    for load in loads_of(network):
        if load.name not in names:
            continue
        ends = (load.start, load.end) if load.start in fed else (load.end, load.start)
        feed = _shortest(network, network.source, ends[0])
        back = _shortest(network, ends[1], network.reference)
        if feed is None or back is None:
            continue
        nodes = network.node_names
        found.append(
            Way(
                load.name,
                load.owner,
                load.role,
                tuple(nodes[n] for n in feed[0]),
                tuple(nodes[n] for n in back[0]),
                feed[1],
                back[1],
            )
        )
    return tuple(found)


def _shortest(network: Network, start: int, end: int) -> tuple[list[int], tuple[str, ...]] | None:
    """Return nodes and branch names of the way with the fewest steps that passes no load."""
    beside: dict[int, list[tuple[int, str]]] = {}
    for branch in network.branches:
        if branch.role not in LOADS:
            beside.setdefault(branch.start, []).append((branch.end, branch.name))
            beside.setdefault(branch.end, []).append((branch.start, branch.name))
    for curve in network.curves:
        if curve.role == "diode":
            beside.setdefault(curve.start, []).append((curve.end, curve.name))
    for converter in network.converters:
        beside.setdefault(converter.source, []).append((converter.output, converter.name))
    came: dict[int, tuple[int, str]] = {start: (start, "")}
    waiting = deque([start])
    # battery plus and minus are ends, not places to pass through
    barred = {network.source, network.reference} - {start, end}
    while waiting and end not in came:
        here = waiting.popleft()
        for there, name in beside.get(here, ()):
            if there not in came and there not in barred:
                came[there] = (here, name)
                waiting.append(there)
    if end not in came:
        return None
    nodes, names = [end], []
    while nodes[-1] != start:
        before, name = came[nodes[-1]]
        nodes.append(before)
        names.append(name)
    return nodes[::-1], tuple(names[::-1])


def is_point(harness: Harness, name: str) -> bool:
    """Return whether a node is a terminal that a probe can reach."""
    return "/" not in name


def stops_on(harness: Harness, terminals: Sequence[str]) -> tuple[str, ...]:
    """Return the terminals of a way at which a person stops.

    Not at inner points, nor a splice under its sleeve, nor the near half of a plug, nor the
    near side of a fuse: the next stop has them in its stretch. The first and last always count.
    """
    kept = []
    for n, name in enumerate(terminals):
        is_end = n in (0, len(terminals) - 1)
        if is_end or (is_point(harness, name) and not _passed_by(harness, terminals, n)):
            kept.append(name)
    return tuple(kept)


def _passed_by(harness: Harness, terminals: Sequence[str], n: int) -> bool:
    part_name = terminals[n].partition(".")[0]
    part = harness.parts.get(part_name)
    is_near = terminals[n + 1].partition(".")[0] == part_name
    return isinstance(part, Splice) or (isinstance(part, (Connector, Fuse)) and is_near)


def sides(network: Network) -> dict[str, str]:
    """Return which terminals lead to a post without a load between: FED or RETURNED."""
    fed = fed_nodes(network)
    returned = network.reached_from_reference()
    found = dict.fromkeys(returned, RETURNED)
    found.update((network.node_names[node], FED) for node in fed)
    return found


def newly_joined(before: Network, now: Network) -> frozenset[str]:
    """Return the terminals that have come to a post since: those whose voltage tells something."""
    first, second = sides(before), sides(now)
    return frozenset(name for name, side in second.items() if first.get(name) != side)
