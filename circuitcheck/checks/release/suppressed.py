"""Every winding with what suppresses it: inside its part, or wired across it.

A diode or resistor that is a part of its own counts for the coil whose two terminals it is wired
to, by wires, splices and connectors alone. Shared ground of the checks; it judges nothing itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from circuitcheck.checks.check import Case
from circuitcheck.checks.coils.energised_winding import EnergisedWinding
from circuitcheck.circuit.topology import Topology, reach, read_topology
from circuitcheck.model.connector import Connector
from circuitcheck.model.diode import Diode
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.resistor import Resistor
from circuitcheck.model.solenoid_coil import SolenoidCoil, Suppression
from circuitcheck.model.splice import Splice
from circuitcheck.record import record

Suppressible = SolenoidCoil | PullHoldCoil | Relay


@record
class SuppressedWinding:
    """One winding between two terminals, the usual positive one first, with what is across it.

    `branch` is its name in the circuit. `suppression` is what the part itself has; `beside` are
    the diodes and resistors wired across it, by name, as suppressors of its terminals. `plus` is
    the terminal that is marked positive.
    """

    branch: str
    part: Suppressible
    terminals: tuple[str, str]
    suppression: Suppression
    plus: str | None
    beside: tuple[tuple[str, Suppression], ...]

    @property
    def every(self) -> tuple[tuple[str, Suppression], ...]:
        """Its own suppressor, named by an empty text, then those wired across it."""
        own = () if self.suppression.kind in ("none", "unknown") else (("", self.suppression),)
        return (*own, *self.beside)

    @property
    def words(self) -> str:
        """What takes its energy."""
        if self.suppression.kind in ("none", "unknown") and self.beside:
            return ", ".join(f"{one.kind} {name}" for name, one in self.beside)
        return self.suppression.kind


def suppressed_windings(case: Case) -> Iterator[SuppressedWinding]:
    """Yield solenoid coils, relay coils and hold windings, in file order."""
    loose = _loose(case)
    for part in case.harness.parts.values():
        if isinstance(part, SolenoidCoil):
            pair, branch, plus = ("1", "2"), part.name, part.plus
        elif isinstance(part, Relay):
            pair, branch, plus = part.coil_terminals, part.name, part.plus
        elif isinstance(part, PullHoldCoil):
            pair, branch = ("hold", "common"), f"{part.name}/hold"
            plus = part.plus if part.plus in (None, "common") else "hold"
        else:
            continue
        ends = (f"{part.name}.{pair[0]}", f"{part.name}.{pair[1]}")
        beside = tuple(_across(loose, ends, pair))
        yield SuppressedWinding(branch, part, pair, part.suppression, plus, beside)


def suppressed_pull_windings(case: Case) -> Iterator[SuppressedWinding]:
    """Yield pull windings, in file order: what their part has sits across the hold winding."""
    parts = case.harness.of_kind(PullHoldCoil)
    loose = _loose(case) if parts else ()
    for part in parts:
        pair = (part.pull_terminal, "common")
        ends = (f"{part.name}.{pair[0]}", f"{part.name}.common")
        is_shared = part.pull_terminal == "hold"
        own = part.suppression if is_shared else Suppression("none")
        beside = tuple(_across(loose, ends, pair))
        yield SuppressedWinding(f"{part.name}/pull", part, pair, own, None, beside)


def suppression_words(case: Case, loads: Iterable[str]) -> list[str]:
    """Return the windings among some loads with what suppresses them, `VL (diode)`."""
    wanted = set(loads)
    return [f"{w.branch} ({w.words})" for w in suppressed_windings(case) if w.branch in wanted]


Loose = tuple[tuple[Diode | Resistor, tuple[frozenset[str], frozenset[str]]], ...]
"""Diodes and resistors, each with what wires alone join its two terminals to."""


def _loose(case: Case) -> Loose:
    plain = (Connector, Splice)
    links = [
        link
        for link in read_topology(case.harness).links
        if link.owner in case.harness.wires or isinstance(case.harness.parts[link.owner], plain)
    ]
    parts: tuple[Diode | Resistor, ...] = (
        *case.harness.of_kind(Diode),
        *case.harness.of_kind(Resistor),
    )
    return tuple(
        (part, (reach(links, f"{part.name}.{first}"), reach(links, f"{part.name}.{last}")))
        for part in parts
        for first, last in (part.terminals,)
    )


def _across(
    loose: Loose, ends: tuple[str, str], pair: tuple[str, str]
) -> Iterator[tuple[str, Suppression]]:
    """Yield the loose parts across a winding, as suppressors of its terminals."""
    for part, (one, two) in loose:
        if ends[0] in one and ends[1] in two:
            far = pair[1]
        elif ends[1] in one and ends[0] in two:
            far = pair[0]
        else:
            continue
        if isinstance(part, Diode):
            # Its second terminal is the cathode.
            found = Suppression("diode", far, None, part.reverse_v, part.current_a)
        else:
            found = Suppression(
                "resistor", resistance_ohm=part.resistance_ohm, power_w=part.power_w
            )
        yield part.name, found


def positive_ends(
    topology: Topology, winding: SuppressedWinding, positions: Sequence[EnergisedWinding]
) -> list[tuple[str | None, str]]:
    """Return the terminal that is positive, None where not certain, and in which position.

    By the wiring in every position, else in each position that asks for the winding.
    """
    sides = [topology.side_of(f"{winding.part.name}.{end}") for end in winding.terminals]
    if sorted(sides) == ["feed", "return"]:
        return [(winding.terminals[sides.index("feed")], "every position")]
    return [
        (at.fed.rpartition(".")[2] if at.across_v.lower > 0.0 else None, at.solved.position.name)
        for at in positions
    ] or [(None, "")]
