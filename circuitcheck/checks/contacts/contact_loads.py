"""What each contact of a switch or relay switches: the loads it leads to when it is closed.

A contact leads to a load where it lies on the way that the position asks for. Shared ground of the
checks on contacts; it judges nothing itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from circuitcheck.checks.check import Case
from circuitcheck.checks.coils.energised_winding import source_of, way
from circuitcheck.circuit.netlist import WINDINGS, Branch, CurveBranch
from circuitcheck.model.relay import Relay
from circuitcheck.model.switch import SwitchHandle, SwitchRating
from circuitcheck.record import record
from circuitcheck.solve.solution import COIL_STATES
from circuitcheck.solve.worst_case import PositionSolution

CONTACT_ROLES = ("switch contact", "relay contact")
CONVERTED_V = 12.0
"""What stands behind a converter of a 24 V machine, as ratings name it."""


@record
class Contact:
    """One contact, by the name of its branch, with its ratings and what it leads to.

    `uses` are the live positions in which it lies on the way to a load, each with the names of
    those loads. `system_v` is the voltage that it must break.
    """

    name: str
    part: SwitchHandle | Relay
    ratings: tuple[SwitchRating, ...]
    making_limit_a: float | None
    system_v: float
    uses: tuple[tuple[PositionSolution, frozenset[str]], ...]

    @property
    def least_current_a(self) -> float | None:
        """What it needs to stay clean, None where not known."""
        return self.part.least_current_a


@dataclass
class _Found:
    part: SwitchHandle | Relay
    behind_converter: bool = True
    uses: list[tuple[PositionSolution, set[str]]] = field(default_factory=list)


def contacts_in_use(case: Case) -> tuple[Contact, ...]:
    """Return every contact that some live position closes, in the order of positions."""
    found: dict[str, _Found] = {}
    for state in COIL_STATES:
        for solved in case.solution.live(state):
            closed = {b.name: b for b in solved.network.branches if b.role in CONTACT_ROLES}
            for name, branch in closed.items():
                part = case.harness.parts[branch.owner]
                if isinstance(part, SwitchHandle | Relay):
                    found.setdefault(name, _Found(part))
            for load, on_way, behind in _asked(case, solved):
                for name in on_way & set(closed):
                    one = found[name]
                    one.behind_converter &= behind
                    if not one.uses or one.uses[-1][0] is not solved:
                        one.uses.append((solved, set()))
                    one.uses[-1][1].add(load)
    return tuple(_contact(case, name, one) for name, one in found.items())


def _contact(case: Case, name: str, found: _Found) -> Contact:
    part, limit_a = found.part, None
    ratings = part.ratings
    if isinstance(part, Relay):
        side = next(s for s in part.contact_sides if name == f"{part.name}/{s.side}")
        ratings, limit_a = side.ratings, side.making_limit_a
    uses = tuple((solved, frozenset(loads)) for solved, loads in found.uses)
    behind = found.behind_converter and bool(uses)
    system_v = min(CONVERTED_V, case.harness.system_v) if behind else case.harness.system_v
    return Contact(name, part, ratings, limit_a, system_v, uses)


def _asked(case: Case, solved: PositionSolution) -> Iterator[tuple[str, frozenset[str], bool]]:
    """Yield every load that a position asks for, the names on its way, and if a converter feeds it.

    A converter's own input is a load of the position too.
    """
    network = solved.network
    names, asked = network.node_names, solved.asked_for
    loads: list[Branch | CurveBranch] = [
        branch for branch in network.branches if branch.role in (*WINDINGS, "resistor")
    ]
    loads += [curve for curve in network.curves if curve.role in ("lamp", "LED")]
    ends = [(load.name, names[load.start], names[load.end]) for load in loads if load.name in asked]
    ends += [(c.name, names[c.source], names[c.minus]) for c in network.converters]
    for name, start, end in ends:
        for first, last in ((start, end), (end, start)):
            behind, (plus, minus) = source_of(case, network, first)
            there, back = way(network, plus, first), way(network, last, minus)
            if (there or first == plus) and (back or last == minus):
                yield name, frozenset(step.name for step in (*there, *back)), behind is not None
                break


def load_kind(case: Case, contact: Contact) -> str:
    """Return the hardest kind of load that a contact ever breaks, as ratings name it."""
    kinds = {kind for solved, loads in contact.uses for kind in kinds_of(solved, loads)}
    for kind in ("DC inductive", "lamp"):
        if kind in kinds:
            return kind
    return "DC resistive"


def kinds_of(solved: PositionSolution, loads: frozenset[str]) -> frozenset[str]:
    """Return the kinds of some loads of a position, as ratings name them."""
    lamps = {curve.name for curve in solved.network.curves if curve.role == "lamp"}
    inductive = {branch.name for branch in solved.network.branches if branch.role in WINDINGS}
    return frozenset(
        "lamp" if load in lamps else "DC inductive" if load in inductive else "DC resistive"
        for load in loads
    )
