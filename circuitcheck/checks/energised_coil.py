"""A coil in a position that energises it: which end is fed, and the way there and back.

Shared ground of the checks that judge coils; it judges nothing itself.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass

from circuitcheck.checks.check import Case
from circuitcheck.checks.current_working import lost_working
from circuitcheck.checks.finding import Term, Working
from circuitcheck.circuit.netlist import Branch, Network
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.solve.solution import HEAT_SOAKED, Range
from circuitcheck.solve.worst_case import PositionSolution

KEY_CONTACT = "upstream.key_contact"
RESISTANCE_KEYS = {
    "wire": ("gauge", "length", "crimp_resistance"),
    "upstream wire": ("gauge", "length"),
    "key contact": ("key_contact",),
    "fuse": ("element_resistance", "clip_resistance"),
    "upstream fuse": ("fuse", "clip_resistance"),
    "contact": ("contact", "contact_resistance"),
    "switch contact": ("contact_resistance",),
    "bond": ("bond", "resistance"),
    "relay contact": ("make_resistance", "break_resistance"),
    "suppressor": ("suppression.resistance",),
    "line resistor": ("resistance",),
}
"""What the resistance of a branch hangs on in the harness file, by role."""
SIDES = {"lower": "lowest", "upper": "highest"}
NOT_ON_THE_WAY = ("coil", "suppressor", "present load")


@dataclass(frozen=True)
class EnergisedCoil:
    """One coil in one switch position and coil state.

    `fed` is its terminal toward battery plus, `returned` the other; `across_v` runs from the one
    to the other. `way_there` and `way_back` are the branches passed, in order.
    """

    coil: SolenoidCoil
    solved: PositionSolution
    fed: str
    returned: str
    across_v: Range
    way_there: tuple[Branch, ...]
    way_back: tuple[Branch, ...]

    @property
    def way(self) -> tuple[Branch, ...]:
        """All branches of the loop but the coil."""
        return self.way_there + self.way_back

    def at_lowest(self, case: Case) -> tuple[str, ...]:
        """Return in words what makes the lowest voltage at the coil."""
        words = self.solved.between_conditions(self.fed, self.returned, "lower")
        return (*words, state_words(case, self))

    def at_highest(self, case: Case) -> tuple[str, ...]:
        """Return in words what makes the highest voltage at the coil."""
        words = self.solved.between_conditions(self.fed, self.returned, "upper")
        return (*words, state_words(case, self))


def across_working(at: EnergisedCoil, side: str, symbol: str) -> Working:
    """Return how the `lower` or `upper` end of the voltage at the coil is worked out."""
    value = at.across_v.lower if side == "lower" else at.across_v.upper
    result = Term(symbol, value, "V", f"{SIDES[side]} voltage at coil {at.coil.name}")
    return lost_working(at.solved, (at.fed, at.returned), side, (at.coil.name,), result)


def energised_coils(case: Case, coil_state: str) -> tuple[EnergisedCoil, ...]:
    """Return every coil in every live position that energises it, in the order of positions."""
    return tuple(at for solved in case.solution.live(coil_state) for at in coils_on(case, solved))


def coils_on(case: Case, solved: PositionSolution) -> tuple[EnergisedCoil, ...]:
    """Return the coils that one position energises, in the order of the file."""
    found = []
    coils = {coil.name: coil for coil in case.harness.coils}
    plus, minus = f"{case.harness.battery.name}.+", f"{case.harness.battery.name}.-"
    for name in solved.energised():
        across, ends = solved.across_v(name), [f"{name}.1", f"{name}.2"]
        if across.nominal < 0.0:
            across, ends = across.negated(), ends[::-1]
        there = way(solved.network, plus, ends[0])
        back = way(solved.network, ends[1], minus)
        found.append(EnergisedCoil(coils[name], solved, ends[0], ends[1], across, there, back))
    return tuple(found)


def state_words(case: Case, at: EnergisedCoil) -> str:
    """Return the coil's state, e.g. `coil VL heat-soaked: on 22 % of the time`."""
    name = at.coil.name
    if at.solved.coil_state == HEAT_SOAKED:
        return f"coil {name} heat-soaked: {case.solution.heat[name].basis}"
    return f"coil {name} at its cold start"


def way(network: Network, start: str, end: str) -> tuple[Branch, ...]:
    """Return the branches of a shortest way between two terminals, not through any load.

    Empty where there is none.
    """
    first, last = network.node_of.get(start), network.node_of.get(end)
    if first is None or last is None:
        return ()
    neighbours: dict[int, list[tuple[Branch, int]]] = {}
    for branch in network.branches:
        if branch.role not in NOT_ON_THE_WAY:
            neighbours.setdefault(branch.start, []).append((branch, branch.end))
            neighbours.setdefault(branch.end, []).append((branch, branch.start))
    ways: dict[int, tuple[Branch, ...]] = {first: ()}
    waiting = deque([first])
    while waiting:
        here = waiting.popleft()
        if here == last:
            return ways[here]
        for branch, there in neighbours.get(here, ()):
            if there not in ways:
                ways[there] = (*ways[here], branch)
                waiting.append(there)
    return ()


def unknown_upstream(case: Case, branches: Iterable[Branch]) -> tuple[str, ...]:
    """Return what is not known of the taps on the way, so that the drop ahead of them may be more.

    Each entry ends with what would settle it.
    """
    gaps = []
    for name in dict.fromkeys(branch.owner for branch in branches):
        part = case.harness.parts.get(name)
        if not isinstance(part, SupplyTap):
            continue
        if part.upstream.conductor is None:
            gaps.append(
                f"the size of the machine's wire to tap {name} is not known: read its print or "
                f"measure the voltage from the battery post to {name} with the load on"
            )
        if part.upstream.present_load_a is None:
            gaps.append(
                f"the present load of tap {name} is not known: measure its current with all of "
                "its consumers on"
            )
    return tuple(gaps)


def stand_ins(case: Case, branches: Iterable[Branch]) -> tuple[str, ...]:
    """Return in words what stands in for values on the way: said unknown, or the key contact."""
    asked = {(branch.owner, key) for branch in branches for key in RESISTANCE_KEYS[branch.role]}
    return tuple(
        f"{item.subject} {item.key} taken as {item.assumed}"
        for item in case.harness.assumptions
        if (item.subject, item.key.rpartition(".")[2]) in asked
        and (item.stated_unknown or item.key == KEY_CONTACT)
    )


def assumed(case: Case, subject: str, *keys: str) -> tuple[str, ...]:
    """Return in words what was assumed of a part or wire under these keys; any, if none given."""
    return tuple(
        f"{item.subject} {item.key} not given, taken as {item.assumed}; settle it: {item.measure}"
        for item in case.harness.assumptions
        if item.subject == subject and (not keys or item.key in keys)
    )


def said_unknown(case: Case, subject: str, key: str) -> bool:
    """Return whether the file says `unknown` for a key, so that any value is a stand-in."""
    return any(
        item.stated_unknown and item.subject == subject and item.key == key
        for item in case.harness.assumptions
    )
