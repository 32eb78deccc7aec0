"""What a switch position asks for: loads on a metallic path from battery plus and back to minus.

A load is asked for when closed contacts, wires and diodes in their forward direction lead from
battery plus to one of its ends and from its other end back to battery minus, with no other load
on the way. Whatever else carries current does so by a path that nobody asked for.
"""

from __future__ import annotations

from collections.abc import Iterable

from circuitcheck.circuit.netlist import LOADS, Network

NOT_ASKED_FOR = ("present load",)
"""Loads of the machine, not of the add-on."""


def asked_loads(network: Network, *, shorted: int | None = None) -> frozenset[str]:
    """Return the names of the branches and curves that the position asks for.

    With `shorted` that node is joined to battery minus.

    Coils, windings, relay coils, resistors and suppressors that are loads, lamps and LEDs. A diode
    or LED is asked for only in its forward direction. Empty where the network is not live.
    """
    if not network.live:
        return frozenset()
    fed = fed_nodes(network)
    back = [(end, start) for start, end in _arcs(network)]
    if shorted is not None:
        back.append((network.reference, shorted))
    returned = _reach(back, network.reference, stop=network.source)
    either_way = [
        (branch.name, branch.start, branch.end)
        for branch in network.branches
        if branch.role in LOADS and branch.role not in NOT_ASKED_FOR
    ]
    either_way += [(c.name, c.start, c.end) for c in network.curves if c.role == "lamp"]
    one_way = [(c.name, c.start, c.end) for c in network.curves if c.role == "LED"]
    one_way += [(name, end, start) for name, start, end in either_way]
    return frozenset(
        name
        for name, start, end in (*either_way, *one_way)
        if start in fed and end in returned and start != end
    )


def fed_nodes(network: Network) -> frozenset[int]:
    """Return the nodes that battery plus leads to without passing a load."""
    if not network.live:
        return frozenset()
    return frozenset(_reach(_arcs(network), network.source, stop=network.reference))


def _arcs(network: Network) -> Iterable[tuple[int, int]]:
    """Yield from-to pairs that current may take without passing a load."""
    for branch in network.branches:
        if branch.role not in LOADS:
            yield branch.start, branch.end
            yield branch.end, branch.start
    for curve in network.curves:
        if curve.role == "diode":
            yield curve.start, curve.end
    for converter in network.converters:
        yield converter.source, converter.output


def _reach(arcs: Iterable[tuple[int, int]], start: int, *, stop: int) -> set[int]:
    """Return the nodes that `start` leads to, not looking past `stop`."""
    onward: dict[int, list[int]] = {}
    for here, there in arcs:
        onward.setdefault(here, []).append(there)
    found, waiting = {start}, [start]
    while waiting:
        here = waiting.pop()
        if here == stop:
            continue
        for there in onward.get(here, ()):
            if there not in found:
                found.add(there)
                waiting.append(there)
    return found
