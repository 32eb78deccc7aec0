"""Windings without a suppressor of their own: whether that of a neighbour takes their current.

Shared ground of the check on suppression, which hands these findings on; it judges nothing by
itself.
"""

from __future__ import annotations

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import NOT_JUDGED, PASS, Finding
from circuitcheck.checks.release.released_coil import ReleasedCoil
from circuitcheck.checks.release.suppressed import suppressed_pull_windings
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.units import text

PULL = "suppressor fitted, pull winding"
ASK_TIMER = (
    "the timer breaks up to {} of the pull winding, and nothing in the file sits across that for "
    "sure: read in the timer's data sheet whether its output is clamped, else put a diode from its "
    "output to the coil's common"
)
ASK_PULL = (
    "up to {} run in the pull winding, and no suppressor is joined to it in every release: look "
    "what sits between pull and common"
)
THROUGH = "None of its own: its current goes on through the suppressor of {}, joined to it."
ALONE = "Without that neighbour, or with its wire off, nothing takes the coil's energy."
UNKNOWN = (
    "none of its own, and what sits across {}, joined to it, is not known: ask the seller, or read "
    "its data sheet"
)
TAKEN = "The pull winding's energy goes into the suppressor across the coil."
SOURCES = ("common-practice",)


def through_a_neighbour(coil: ReleasedCoil) -> tuple[str, str, str] | None:
    """Return result, reason and caution for a coil without a suppressor of its own.

    None where some release leaves it alone, so that nothing takes its current.
    """
    beside = suppressing(coil)
    if beside:
        return PASS, THROUGH.format(", ".join(beside)), ALONE
    unknown = {one.winding.branch for a in coil.releases for one in a.ways if one.open_kind}
    if unknown and all(any(_may(one) for one in action.ways) for action in coil.releases):
        return NOT_JUDGED, UNKNOWN.format(", ".join(sorted(unknown))), ""
    return None


def _may(one: ReleasedCoil) -> bool:
    return bool(one.suppressed.every) or one.open_kind


def suppressing(coil: ReleasedCoil) -> tuple[str, ...]:
    """Return the neighbours whose suppressors take the current of a coil, in every release.

    Empty where some release leaves it alone.
    """
    found: dict[str, None] = {}
    for action in coil.releases:
        names = [one.winding.branch for one in action.ways if one.suppressed.every]
        if not names:
            return ()
        found.update(dict.fromkeys(names))
    return tuple(found)


def pull_findings(check: str, case: Case, coils: tuple[ReleasedCoil, ...]) -> list[Finding]:
    """Return one finding per pull winding that lies on a terminal of its own."""
    pulls = {
        one.winding.branch: (one, coil)
        for coil in coils for action in coil.releases for one in action.into
        if one.winding.owner == coil.winding.owner
    }  # fmt: skip
    findings = []
    for across in suppressed_pull_windings(case):
        part = across.part
        if not isinstance(part, PullHoldCoil) or part.pull_terminal != "pull":
            continue
        pull, coil = pulls.get(across.branch, (None, None))
        is_taken = coil is not None and _always(coil, across.branch)
        timed = part.cut_out == "outside timer"
        # a diode at the coil lies across what the timer breaks only if nothing else joins it there
        hold = {name for one in coils if one.winding.owner == part.name
                for name, _ in one.suppressed.beside}  # fmt: skip
        own = any(name not in hold for name, _ in across.beside)
        is_fitted = own or (is_taken and not timed)
        amps = "its whole current" if pull is None else text(pull.winding.slowest.current_a, "A")
        ask = (ASK_TIMER if timed else ASK_PULL).format(amps)
        findings.append(
            Finding(
                check, part.name, PASS if is_fitted else NOT_JUDGED, PULL,
                TAKEN if is_fitted else ask, sources=SOURCES,
            )
        )  # fmt: skip
    return findings


def _always(coil: ReleasedCoil, pull: str) -> bool:
    """Return whether a suppressed hold winding is joined to its pull winding in every release."""
    return bool(coil.suppressors) and all(
        any(one.winding.branch == pull for one in action.into) for action in coil.releases
    )
