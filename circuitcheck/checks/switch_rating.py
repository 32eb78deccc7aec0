"""Current through each switch contact, against a rating that counts for a coil on this supply.

Finds       a contact that must break more inductive direct current than it is rated for
Formula     I_max <= I_rated: the highest rating given for DC inductive load at the system's
            voltage (12 V or 24 V) or more
Source      common practice: a rating counts only for the voltage, current kind and load it is given
            for. relay-data-sheet: the inductive rating of one relay is 0.4 of its resistive one;
            shown, never used to pass. A current above a resistive rating, or above an inductive one
            for less voltage, fails all the same, since the rating asked for cannot be higher.
Worst case  highest supply, coils cold and at their lowest resistance, contacts new, all buttons
            that can be worked together
Not covered contact life in operations; make current of lamps and capacitors; the key switch (see
            tap)
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, Finding, judged
from circuitcheck.checks.stand_ins import assumed
from circuitcheck.checks.worst_current import WorstCurrent, worst_current
from circuitcheck.model.switch import SwitchHandle, SwitchRating
from circuitcheck.solve.solution import COLD_START
from circuitcheck.units import text

NAME = "switch rating"
WHY = "A contact that breaks more than its rating arcs, wears out early or welds and stays on."
ASK = "ask for the DC inductive rating at the system's voltage"
INDUCTIVE, RESISTIVE = "DC inductive", "DC resistive"
SOURCES = ("common-practice", "relay-data-sheet")


def judge(case: Case) -> list[Finding]:
    """Return one finding per switch contact, in the position with the most current."""
    names: dict[str, SwitchHandle] = {}
    for solved in case.solution.live(COLD_START):
        for branch in solved.network.branches:
            handle = case.harness.parts.get(branch.owner)
            if branch.role == "switch contact" and isinstance(handle, SwitchHandle):
                names[branch.name] = handle
    return [_finding(case, handle, name) for name, handle in names.items()]


def _finding(case: Case, handle: SwitchHandle, name: str) -> Finding:
    most = worst_current(case, name)
    assert most is not None  # a live position closes it
    value = most.current_a
    rating = counting_rating(handle.ratings, case.harness.system_v)
    limit = _never_above(handle.ratings, case.harness.system_v)
    result, reason = NOT_JUDGED, _why_not(case, handle)
    if rating is not None:
        limit = rating.current_a
        result, reason = judged(value, limit), WHY
    elif limit is not None and value > limit:
        result, reason = FAIL, f"More than a rating that is higher than the one needed. {WHY}"
    return Finding(
        check=NAME,
        subject=handle.name,
        result=result,
        quantity=f"current of contact {name}",
        reason=reason,
        position=most.position,
        coil_state=most.coil_state,
        value=value,
        limit=limit if result != NOT_JUDGED else None,
        unit="A",
        conditions=(
            *most.conditions,
            *_behind(case, most),
            *assumed(case, handle.name, "interlock", "interlock.kind", "rating"),
        ),
        sources=SOURCES,
        gap=most.gap_a,
        working=most.working(),
    )


def counting_rating(ratings: tuple[SwitchRating, ...], system_v: float) -> SwitchRating | None:
    """Return the highest DC inductive rating for this system's voltage or more; None without."""
    counting = [r for r in ratings if r.load == INDUCTIVE and r.voltage_v >= system_v]
    return max(counting, key=lambda r: r.current_a, default=None)


def _never_above(ratings: tuple[SwitchRating, ...], system_v: float) -> float | None:
    """Return what the rating asked for cannot exceed, by the ratings that are given."""
    above = [
        r.current_a
        for r in ratings
        if r.load == INDUCTIVE or (r.load == RESISTIVE and r.voltage_v <= system_v)
    ]
    return min(above, default=None)


def _why_not(case: Case, handle: SwitchHandle) -> str:
    system = text(case.harness.system_v, "V")
    if not handle.ratings:
        return f"{handle.name} has no rating: {ASK}"
    given = ", ".join(
        f"{text(r.current_a, 'A')} {r.load} at {text(r.voltage_v, 'V')}" for r in handle.ratings
    )
    share = case.library.limit("switch_inductive_share").value
    note = ""
    if any(r.load == RESISTIVE and r.voltage_v >= case.harness.system_v for r in handle.ratings):
        note = f" (for one relay the inductive rating is {share:.0%} of the resistive one)"
    if any(r.load == "AC" for r in handle.ratings):
        note += " (an arc of alternating current goes out by itself, one of direct current not)"
    return f"only {given} is given, no DC inductive rating for {system} or more{note}: {ASK}"


def _behind(case: Case, most: WorstCurrent) -> tuple[str, ...]:
    """Return the coils on and how they are suppressed; a bare coil is the hardest to break."""
    coils = {coil.name: coil for coil in case.harness.coils}
    words = [f"{name} ({coils[name].suppression.kind})" for name in most.solved.energised()]
    return (f"coils on, with their suppression: {', '.join(words)}",) if words else ()


CHECK = Check(
    name=NAME,
    judges="highest current of each switch contact, against its DC inductive rating",
    why=WHY,
    does_not_cover="number of operations; the key switch's own contact",
    sources=SOURCES,
    judge=judge,
)
