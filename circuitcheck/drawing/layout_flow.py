"""The order of all terminals, outward from the battery: which end of a wire comes first."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator

from circuitcheck.model.battery import Battery
from circuitcheck.model.connector import Connector
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.switch import SwitchHandle
from circuitcheck.model.terminal import Terminal


def _inner_pairs(part: Part) -> Iterator[tuple[Terminal, Terminal]]:
    """Pairs of terminals that a part joins inside, coils left out."""
    if isinstance(part, Fuse):
        yield Terminal(part.name, "line"), Terminal(part.name, "load")
    elif isinstance(part, SwitchHandle):
        for contact in part.contacts:
            first, second = contact.terminals
            yield Terminal(part.name, first), Terminal(part.name, second)
    elif isinstance(part, Connector):
        for n in range(1, part.cavities + 1):
            yield Terminal(part.name, f"plug.{n}"), Terminal(part.name, f"receptacle.{n}")
    elif isinstance(part, SupplyTap):
        yield part.upstream.source, Terminal(part.name)
    elif isinstance(part, GroundStud):
        yield Terminal(part.frame), Terminal(part.name)
    elif isinstance(part, Frame):
        for bond in part.bonds:
            yield Terminal(part.name), Terminal(bond.to)


class TerminalOrder:
    """Terminals in the order in which a search from the battery posts meets them.

    `place` counts them; `on_return` tells which post the search came from, True for minus.
    """

    def __init__(self, harness: Harness):
        self._next: dict[Terminal, list[Terminal]] = {}
        for wire in harness.wires.values():
            self._join(wire.start, wire.end)
        coils: list[tuple[Terminal, Terminal]] = []
        for part in harness.parts.values():
            for first, second in _inner_pairs(part):
                self._join(first, second)
            if isinstance(part, SolenoidCoil):
                coils.append((Terminal(part.name, "1"), Terminal(part.name, "2")))
        self.place: dict[Terminal, int] = {}
        self.on_return: dict[Terminal, bool] = {}
        for battery in harness.of_kind(Battery):
            self._search(
                [(Terminal(battery.name, "+"), False), (Terminal(battery.name, "-"), True)]
            )
        self._pass_coils(coils)
        for terminal in list(self._next):
            self._search([(terminal, False)])

    def _join(self, first: Terminal, second: Terminal) -> None:
        self._next.setdefault(first, []).append(second)
        self._next.setdefault(second, []).append(first)

    def _search(self, roots: list[tuple[Terminal, bool]]) -> None:
        queue = deque(root for root in roots if root[0] not in self.place)
        while queue:
            terminal, on_return = queue.popleft()
            if terminal in self.place:
                continue
            self.place[terminal] = len(self.place)
            self.on_return[terminal] = on_return
            queue.extend((near, on_return) for near in self._next.get(terminal, ()))

    def _pass_coils(self, coils: list[tuple[Terminal, Terminal]]) -> None:
        """Reach what lies behind a coil only when nothing else leads there (coils in series)."""
        found = True
        while found:
            found = False
            for pair in coils:
                for near, far in (pair, pair[::-1]):
                    if near in self.place and far not in self.place:
                        self._search([(far, self.on_return[near])])
                        found = True
