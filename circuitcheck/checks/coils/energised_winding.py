"""A winding in a position that asks for it: which end is fed, and the way there and back.

Solenoid coils, relay coils, pull and hold windings. Shared ground of the checks that judge
windings; it judges nothing itself.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Term, Working
from circuitcheck.checks.workings.current_working import lost_working
from circuitcheck.circuit.netlist import LOADS, WINDINGS, Branch, CurveBranch, Network
from circuitcheck.record import record
from circuitcheck.solve.position_solution import LEAST_COIL_A
from circuitcheck.solve.solution import HEAT_SOAKED, Range
from circuitcheck.solve.worst_case import PositionSolution

SIDES = {"lower": "lowest", "upper": "highest"}
Way = tuple[Branch | CurveBranch, ...]
"""Branches, and diodes in their forward direction, in the order in which they are passed."""


@record(kw_only=True)
class EnergisedWinding:
    """One winding, by the name of its branch, in one switch position and coil state.

    `owner` is its part. `source` are plus and minus of what feeds it: the battery posts, or the
    output of the converter that `behind` names. `fed` is its terminal toward plus, `returned`
    the other; `across_v` runs from the one to the other. `way_there` and `way_back` are what is
    passed between it and the source.
    """

    branch: str
    owner: str
    solved: PositionSolution
    fed: str
    returned: str
    across_v: Range
    way_there: Way
    way_back: Way
    source: tuple[str, str]
    behind: str | None = None

    @property
    def way(self) -> Way:
        """All of the loop but the winding."""
        return self.way_there + self.way_back

    def at_lowest(self, case: Case) -> tuple[str, ...]:
        """Return in words what makes the lowest voltage at the winding."""
        words = self.solved.between_conditions(self.fed, self.returned, "lower")
        return (*words, state_words(case, self))

    def at_highest(self, case: Case) -> tuple[str, ...]:
        """Return in words what makes the highest voltage at the winding."""
        words = self.solved.between_conditions(self.fed, self.returned, "upper")
        return (*words, state_words(case, self))


def across_working(at: EnergisedWinding, side: str, symbol: str) -> Working:
    """Return how the `lower` or `upper` end of the voltage at the winding is worked out."""
    value = at.across_v.lower if side == "lower" else at.across_v.upper
    result = Term(symbol, value, "V", f"{SIDES[side]} voltage at coil {at.branch}")
    return lost_working(at.solved, (at.fed, at.returned), side, (at.branch,), result)


def windings_on(
    case: Case, solved: PositionSolution, roles: tuple[str, ...] = WINDINGS
) -> Iterator[EnergisedWinding]:
    """Yield the windings of these roles that a position asks for and that carry current."""
    if not solved.network.live:
        return
    network, asked = solved.network, solved.asked_for
    for branch in network.branches:
        if branch.role not in roles or branch.name not in asked:
            continue
        if not abs(solved.current_a(branch.name).nominal) > LEAST_COIL_A:
            continue
        across = solved.across_v(branch.name)
        ends = [network.node_names[branch.start], network.node_names[branch.end]]
        if across.nominal < 0.0:
            across, ends = across.negated(), ends[::-1]
        behind, source = source_of(case, network, ends[0])
        yield EnergisedWinding(
            branch=branch.name,
            owner=branch.owner,
            solved=solved,
            fed=ends[0],
            returned=ends[1],
            across_v=across,
            way_there=way(network, source[0], ends[0]),
            way_back=way(network, ends[1], source[1]),
            source=source,
            behind=behind,
        )


def energised_windings(
    case: Case, coil_state: str, roles: tuple[str, ...] = WINDINGS
) -> Iterator[EnergisedWinding]:
    """Yield every winding in every live position that asks for it, in the order of positions."""
    for solved in case.solution.live(coil_state):
        yield from windings_on(case, solved, roles)


def source_of(case: Case, network: Network, fed: str) -> tuple[str | None, tuple[str, str]]:
    """Return the converter that a terminal hangs on, None for the battery, and its two poles."""
    posts = (f"{case.harness.battery.name}.+", f"{case.harness.battery.name}.-")
    names = network.node_names
    poles = {c.name: (names[c.output], names[c.minus]) for c in network.converters}
    if fed == posts[0] or way(network, posts[0], fed):
        return None, posts
    for name, pair in poles.items():
        if fed == pair[0] or way(network, pair[0], fed):
            return name, pair
    return None, posts


def state_words(case: Case, at: EnergisedWinding) -> str:
    """Return the winding's state, e.g. `coil VL heat-soaked: on 22 % of the time`."""
    if at.solved.coil_state == HEAT_SOAKED:
        return f"coil {at.branch} heat-soaked: {case.solution.heat[at.branch].basis}"
    return f"coil {at.branch} at its cold start"


def way(network: Network, start: str, end: str) -> Way:
    """Return a shortest way between two terminals, not through any load.

    Empty where there is none.
    """
    first, last = network.node_of.get(start), network.node_of.get(end)
    if first is None or last is None:
        return ()
    onward = network.onward
    ways: dict[int, Way] = {first: ()}
    waiting = deque([first])
    while waiting:
        here = waiting.popleft()
        if here == last:
            return ways[here]
        for step, there in onward.get(here, ()):
            if there not in ways:
                ways[there] = (*ways[here], step)
                waiting.append(there)
    return ()


def joined_nodes(network: Network, start: int) -> set[int]:
    """Return the nodes that are joined to a node without passing a load or an open contact."""
    found, waiting = {start}, [start]
    beside: dict[int, list[int]] = {}
    for branch in network.branches:
        if branch.role not in LOADS:
            beside.setdefault(branch.start, []).append(branch.end)
            beside.setdefault(branch.end, []).append(branch.start)
    while waiting:
        for there in beside.get(waiting.pop(), ()):
            if there not in found:
                found.add(there)
                waiting.append(there)
    return found
