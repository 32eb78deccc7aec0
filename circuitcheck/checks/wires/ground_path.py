"""Ground path: each coil's way back over the machine's metal, and what it loses there.

Finds       a ground that loses too much between its stud and the battery's negative post; a coil
            with no way back; a bond that nobody has measured
Formula     V = sum of I R from the stud, or the frame a wire lands on, to battery minus; solved
            as one quantity
Source      voltage-drop-training: ground 0.1 V
Worst case  highest supply, coils at their lowest resistance, bonds and studs aged, all that can be
            on together
Not covered ground current of other consumers of the machine, which shares bolts and straps; the
            wire from coil to stud (see voltage drop)
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.coils.energised_winding import (
    EnergisedWinding,
    Way,
    energised_windings,
    state_words,
    way,
)
from circuitcheck.checks.finding import (
    FAIL,
    NOT_JUDGED,
    PASS,
    Finding,
    Term,
    judged,
    worst_with,
)
from circuitcheck.checks.workings.current_working import lost_working
from circuitcheck.circuit.topology import coil_sides, read_topology
from circuitcheck.model.assumption import Assumption
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.solve.solution import COIL_STATES

NAME = "ground path"
WHY = "A poor ground steals voltage from every coil on it and can feed one coil through another."
STRAP = "A hinge, a bearing or a painted bolt is no ground: bridge it with a strap."
METER = "measure the voltage from there to the battery's negative post with the coil on"
WAY_BACK = "way back to battery minus"
WAY_FOUND = "Every part of it is named in the file."


def judge(case: Case) -> list[Finding]:
    """Return one finding per ground in its worst position, and one per coil on its way back."""
    grounds: dict[str, list[tuple[Finding, EnergisedWinding]]] = {}
    backs: dict[str, EnergisedWinding] = {}
    for state in COIL_STATES:
        for at in energised_windings(case, state):
            backs.setdefault(at.owner, at)
            for ground in _first_ground(case, at):
                grounds.setdefault(ground, []).append((_ground(case, at, ground), at))
    worst_of = [_worked(case, *worst_with(pairs)) for pairs in grounds.values()]
    return [*_ways_back(case, backs), *worst_of]


def _first_ground(case: Case, at: EnergisedWinding) -> Iterator[str]:
    """Yield the stud or frame at which the coil's return enters the metal, if it does."""
    names = at.solved.network.node_names
    for branch in at.way_back:
        for node in (names[branch.start], names[branch.end]):
            if isinstance(case.harness.parts.get(node), (GroundStud, Frame)):
                yield node
                return


def _ground(case: Case, at: EnergisedWinding, ground: str) -> Finding:
    limit, minus = case.library.limit("ground_drop_v"), f"{case.harness.battery.name}.-"
    branches = way(at.solved.network, ground, minus)
    drop = at.solved.between_v(ground, minus)
    result, reason = judged(drop.largest(), limit.value), WHY
    gaps = [item for item in _assumed(case, branches) if item.stated_unknown]
    if gaps:  # neither passed nor failed on a stand-in
        result = NOT_JUDGED
        reason = f"bond of {', '.join(gap.subject for gap in gaps)} not known: {METER}"
    if any(isinstance(case.harness.parts.get(b.owner), Frame) for b in branches):
        reason = f"{reason}. {STRAP}" if result == NOT_JUDGED else f"{reason} {STRAP}"
    return Finding(
        check=NAME,
        subject=ground,
        result=result,
        quantity="voltage drop from this ground to battery minus",
        reason=reason,
        position=at.solved.position.name,
        coil_state=at.solved.coil_state,
        value=drop.largest(),
        limit=limit.value,
        unit="V",
        conditions=(
            *at.solved.between_conditions(ground, minus, "upper"),
            state_words(case, at),
            *(f"{i.subject} {i.key} taken as {i.assumed}" for i in _assumed(case, branches)),
        ),
        sources=(limit.source,),
        gap=drop.gap,
    )


def _assumed(case: Case, branches: Way) -> list[Assumption]:
    """Return what was assumed of the studs and frames on a way."""
    owners = {branch.owner for branch in branches}
    metal = {n for n in owners if isinstance(case.harness.parts.get(n), (GroundStud, Frame))}
    return [item for item in case.harness.assumptions if item.subject in metal]


def _worked(case: Case, finding: Finding, at: EnergisedWinding) -> Finding:
    """Add how the drop is worked out, in the one position that counts."""
    solved = at.solved
    ends = (finding.subject, f"{case.harness.battery.name}.-")
    names = [branch.name for branch in way(solved.network, *ends)]
    drop = solved.between_v(*ends)
    side = "upper" if abs(drop.upper) >= abs(drop.lower) else "lower"
    result = Term("V_g", finding.value or 0.0, "V", f"voltage from {ends[0]} to {ends[1]}")
    return replace(finding, working=lost_working(solved, ends, side, names, result))


def _ways_back(case: Case, backs: dict[str, EnergisedWinding]) -> Iterator[Finding]:
    for name, sides in coil_sides(case.harness, read_topology(case.harness)).items():
        found = any(side in ("return", "both") for side in sides)
        steps = [branch.name for branch in backs[name].way_back] if name in backs else []
        yield Finding(
            check=NAME,
            subject=name,
            result=PASS if found else FAIL,
            quantity=WAY_BACK,
            reason="Every part of it is named."
            if found
            else "no wire or bond leads back: it stays dead",
            conditions=(f"by {', '.join(steps)}",) if steps else (),
            sources=("common-practice",),
        )


CHECK = Check(
    name=NAME,
    judges="voltage lost between each ground and battery minus, and a way back for each coil",
    why=WHY,
    does_not_cover="ground current of the machine's other consumers",
    sources=("voltage-drop-training",),
    judge=judge,
)
