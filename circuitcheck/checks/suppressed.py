"""Every winding with what suppresses it: inside its part, or wired across it.

A diode or resistor that is a part of its own counts for the coil whose two terminals it is wired
to, by wires, splices and connectors alone. Shared ground of the checks; it judges nothing itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from circuitcheck.checks.check import Case
from circuitcheck.circuit.topology import Topology, reach, read_topology
from circuitcheck.model.connector import Connector
from circuitcheck.model.diode import Diode
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.resistor import Resistor
from circuitcheck.model.solenoid_coil import SolenoidCoil, Suppression
from circuitcheck.model.splice import Splice

Suppressible = SolenoidCoil | PullHoldCoil | Relay


@dataclass(frozen=True)
class SuppressedWinding:
    """One winding between two terminals, positive one as marked first, with what is across it.

    `branch` is its name in the circuit. `suppression` is what the part itself has; `beside` the
    names of diodes and resistors wired across it. `cathode` and `plus` of the part are terminals.
    """

    branch: str
    part: Suppressible
    terminals: tuple[str, str]
    suppression: Suppression
    plus: str | None
    beside: tuple[str, ...]

    @property
    def kind(self) -> str:
        """What takes its energy, in words: its own, else the part wired across it."""
        if self.suppression.kind in ("none", "unknown") and self.beside:
            return f"{', '.join(self.beside)} across it"
        return self.suppression.kind


def suppressed_windings(case: Case) -> Iterator[SuppressedWinding]:
    """Yield solenoid coils, hold windings and relay coils, in file order."""
    joined = _joined(case)
    for part in case.harness.parts.values():
        if isinstance(part, SolenoidCoil):
            pair, branch = ("1", "2"), part.name
        elif isinstance(part, Relay):
            pair, branch = part.coil_terminals, part.name
        elif isinstance(part, PullHoldCoil):
            pair, branch = ("hold", "common"), f"{part.name}/hold"
        else:
            continue
        beside = tuple(_across(case, joined, f"{part.name}.{pair[0]}", f"{part.name}.{pair[1]}"))
        yield SuppressedWinding(branch, part, pair, part.suppression, part.plus, beside)


def suppression_words(case: Case, loads: Iterable[str]) -> list[str]:
    """Return the windings among some loads with what suppresses them, `VL (diode)`."""
    wanted = set(loads)
    return [f"{w.branch} ({w.kind})" for w in suppressed_windings(case) if w.branch in wanted]


def positive_terminal(topology: Topology, winding: SuppressedWinding) -> str | None:
    """Return the terminal that the wiring makes positive, None where that is not certain."""
    sides = [topology.side_of(f"{winding.part.name}.{end}") for end in winding.terminals]
    return winding.terminals[sides.index("feed")] if sorted(sides) == ["feed", "return"] else None


def _joined(case: Case) -> dict[str, frozenset[str]]:
    """Return for each terminal of diodes and resistors what wires alone join it to."""
    plain = (Connector, Splice)
    links = [
        link
        for link in read_topology(case.harness).links
        if link.owner in case.harness.wires or isinstance(case.harness.parts[link.owner], plain)
    ]
    ends = [f"{part.name}.{end}" for part in _loose(case) for end in part.terminals]
    return {end: reach(links, end) for end in ends}


def _loose(case: Case) -> tuple[Diode | Resistor, ...]:
    return (*case.harness.of_kind(Diode), *case.harness.of_kind(Resistor))


def _across(case: Case, joined: dict[str, frozenset[str]], first: str, last: str) -> Iterator[str]:
    for part in _loose(case):
        one, two = (joined[f"{part.name}.{end}"] for end in part.terminals)
        if (first in one and last in two) or (first in two and last in one):
            yield part.name
