"""The order of all terminals, outward from the battery: which end of a wire comes first.

With every contact closed and every wire taken for one ohm, voltage falls from battery plus to
the loads and on to battery minus. The nearer a terminal is to its post by that voltage, the
earlier it comes; so a wire runs as the current in it does, and a part that lies across a contact
stands between the two sides of it. Where no current flows the search outward decides.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping, Sequence
from heapq import heapify, heappop, heappush
from itertools import combinations

from circuitcheck.drawing.layout.links import IN_SERIES, LOADS, PASSES, Inner, inner_paths
from circuitcheck.model.battery import Battery
from circuitcheck.model.harness import Harness
from circuitcheck.model.terminal import Terminal

_OHM = {PASSES: 1.0, IN_SERIES: 30.0, LOADS: 1000.0}
_ALIKE = 1e-9
"""Two shares of the battery's voltage closer than this count as one."""


class TerminalOrder:
    """Terminals in the order in which they are drawn.

    `place` counts them; `on_return` tells which post a terminal belongs to, True for minus.
    """

    def __init__(self, harness: Harness):
        self._next: dict[Terminal, list[Terminal]] = {}
        self.wired = {t for wire in harness.wires.values() for t in (wire.start, wire.end)}
        wires = [Inner(wire.start, wire.end) for wire in harness.wires.values()]
        paths = [path for part in harness.parts.values() for path in inner_paths(part)]
        for path in (*wires, *(path for path in paths if path.how == PASSES)):
            self._join(path.first, path.second)
        self.met: dict[Terminal, int] = {}
        self.on_return: dict[Terminal, bool] = {}
        posts = {
            Terminal(battery.name, sign): sign == "-"
            for battery in harness.of_kind(Battery)
            for sign in ("+", "-")
        }
        self._search(list(posts.items()))
        across = [path for path in paths if path.how != PASSES]
        volts = _volts([*wires, *paths], posts, self._sides(across))
        self._pass_loads(across, volts)
        for terminal in list(self._next):
            self._search([(terminal, False)])
        steps = _steps(self.met, volts, self.on_return)
        ordered = sorted(self.met, key=lambda t: (steps[t], self.met[t]))
        self.place = {terminal: place for place, terminal in enumerate(ordered)}

    def _join(self, first: Terminal, second: Terminal) -> None:
        self._next.setdefault(first, []).append(second)
        self._next.setdefault(second, []).append(first)

    def _search(self, roots: Sequence[tuple[Terminal, bool]]) -> None:
        queue = deque(root for root in roots if root[0] not in self.met)
        while queue:
            terminal, on_return = queue.popleft()
            if terminal in self.met:
                continue
            self.met[terminal] = len(self.met)
            self.on_return[terminal] = on_return
            queue.extend((near, on_return) for near in self._next.get(terminal, ()))

    def _sides(self, across: Sequence[Inner]) -> dict[Inner, bool]:
        """Tell of each resistor, diode and load whether it lies between feed and return."""
        return {
            path: self.on_return.get(path.first) is not self.on_return.get(path.second)
            and path.first in self.on_return
            and path.second in self.on_return
            for path in across
        }

    def _pass_loads(self, across: Sequence[Inner], volts: Mapping[Terminal, float]) -> None:
        """Reach what lies only behind resistors, diodes and loads."""
        found = True
        while found:
            found = False
            for path in across:
                for near, far in ((path.first, path.second), (path.second, path.first)):
                    if near in self.met and far not in self.met:
                        self._search([(far, volts.get(far, 1.0) < 0.5 - _ALIKE)])
                        found = True


def _volts(
    paths: Sequence[Inner], posts: Mapping[Terminal, bool], across: Mapping[Inner, bool]
) -> dict[Terminal, float]:
    """Return the share of the battery's voltage at each terminal that has a path to a post.

    A resistor or diode from feed to return counts as a load. Terminals are taken out one by one,
    those with the fewest neighbours first, each replaced by conductances between its neighbours
    (star-mesh transformation): G_ij = G_i G_j / sum(G). Their voltages follow in reverse.
    """
    siemens: dict[Terminal, dict[Terminal, float]] = {}
    for path in paths:
        ohm = _OHM[LOADS if across.get(path) else path.how]
        _add(siemens, path.first, path.second, 1.0 / ohm)
    reached = _reached(siemens, posts)
    waiting = [(len(siemens[t]), at, t) for at, t in enumerate(reached)]
    heapify(waiting)
    stars: list[tuple[Terminal, dict[Terminal, float]]] = []
    while waiting:
        count, at, terminal = heappop(waiting)
        if count != len(siemens[terminal]):
            heappush(waiting, (len(siemens[terminal]), at, terminal))
            continue
        star = siemens.pop(terminal)
        stars.append((terminal, star))
        for near in star:
            del siemens[near][terminal]
        whole = sum(star.values())
        for (one, g_one), (other, g_other) in combinations(star.items(), 2):
            _add(siemens, one, other, g_one * g_other / whole)
    volts = {post: 0.0 if is_minus else 1.0 for post, is_minus in posts.items()}
    for terminal, star in reversed(stars):
        volts[terminal] = sum(g * volts[near] for near, g in star.items()) / sum(star.values())
    return volts


def _add(
    siemens: dict[Terminal, dict[Terminal, float]], one: Terminal, other: Terminal, more: float
) -> None:
    if one != other:
        for here, there in ((one, other), (other, one)):
            near = siemens.setdefault(here, {})
            near[there] = near.get(there, 0.0) + more


def _reached(
    siemens: Mapping[Terminal, Mapping[Terminal, float]], posts: Mapping[Terminal, bool]
) -> list[Terminal]:
    """Return the terminals with a path to a post, without the posts."""
    reached: dict[Terminal, None] = {}
    ahead = list(posts)
    while ahead:
        for near in siemens.get(ahead.pop(), ()):
            if near not in posts and near not in reached:
                reached[near] = None
                ahead.append(near)
    return list(reached)


def _steps(
    terminals: Mapping[Terminal, int],
    volts: Mapping[Terminal, float],
    on_return: Mapping[Terminal, bool],
) -> dict[Terminal, int]:
    """Number the distances from the post, alike ones alike; those without a voltage come last."""
    away = {
        t: (volts[t] if on_return[t] else 1.0 - volts[t]) if t in volts else 2.0 for t in terminals
    }
    steps: dict[Terminal, int] = {}
    step, last = 0, None
    for terminal in sorted(terminals, key=lambda t: away[t]):
        if last is not None and away[terminal] - last > _ALIKE:
            step += 1
        last = away[terminal]
        steps[terminal] = step
    return steps
