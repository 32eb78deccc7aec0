"""Which way round the suppressors of each coil sit, as far as the file tells.

Shared ground of the command that compares suppressors; it judges nothing (see suppression).
"""

from __future__ import annotations

from circuitcheck.checks.check import Case
from circuitcheck.checks.coils.energised_winding import EnergisedWinding, windings_on
from circuitcheck.checks.release.suppressed import positive_ends, suppressed_windings
from circuitcheck.circuit.topology import read_topology
from circuitcheck.record import record
from circuitcheck.solve.solution import COLD_START
from circuitcheck.transient.switching_off.suppressor import PAIR

WITH_WAY = ("diode", PAIR)
NOT_KNOWN = "way round"


@record
class WayRound:
    """How the suppressors of one coil sit: `wrong` names one and where its ring belongs.

    `not_known` is not empty where the file or the wiring does not tell.
    """

    wrong: str = ""
    not_known: str = ""


def ways_round(case: Case) -> dict[str, WayRound]:
    """Return for each winding, by its branch, which way round its suppressors sit."""
    topology = read_topology(case.harness)
    on: dict[str, list[EnergisedWinding]] = {}
    for solved in case.solution.live(COLD_START):
        for at in windings_on(case, solved):
            on.setdefault(at.branch, []).append(at)
    found = {}
    for winding in suppressed_windings(case):
        way = WayRound()
        ends = {end for end, _ in positive_ends(topology, winding, on.get(winding.branch, []))}
        for name, one in winding.every:
            if one.kind not in WITH_WAY:
                continue
            wanted = one.cathode if one.cathode in winding.terminals else winding.plus
            wrong = sorted(end for end in ends if end is not None and wanted not in (None, end))
            if wrong:
                what = f"{one.kind} {name}".strip()
                way = WayRound(f"{what} round, its ring (cathode) to terminal {wrong[0]}")
                break
            if wanted is None or None in ends:
                way = WayRound(not_known=NOT_KNOWN)
        found[winding.branch] = way
    return found
