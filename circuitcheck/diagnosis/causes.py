"""Causes with their priors: nothing wrong, each single fault, pairs of faults.

    P(single) ~ weight of the part's kind and failure mode / faults that share cause and part
    P(pair) = P(first) P(second) / P(sound)

The weights are rows of library/fault_priors.csv; a file of rows of one's own changes them.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import cast

import numpy as np

from circuitcheck.diagnosis.information import FloatArray
from circuitcheck.diagnosis.loads import coils_of
from circuitcheck.errors import LibraryError
from circuitcheck.faults.fault import AddedOhm, Fault
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import GIVEN, Library
from circuitcheck.model.library_diagnosis_rows import ANY_PART, FaultPriorRow
from circuitcheck.record import record

SOUND = "nothing wrong that the file could show"
SOUND_SHARE = 0.01
"""How often a complaint has no fault of the circuit behind it: common practice, no source."""
NONE_SHARE = 0.01
"""How often the fault is none that is listed: common practice, no source."""


@record
class Cause:
    """What may be wrong: no fault, one, or two at once.

    `label` is the name without severities: causes of one label are one thing to a person.
    """

    faults: tuple[Fault, ...]

    @property
    def name(self) -> str:
        """Name in plain words, severity and all."""
        return " and ".join(fault.name for fault in self.faults) or SOUND

    @property
    def label(self) -> str:
        """Name without the severity."""
        return " and ".join(fault.cause for fault in self.faults) or SOUND

    @property
    def repair(self) -> str:
        """What puts it right, and where; empty where nothing is wrong."""
        return "; ".join(f"{fault.place}: {fault.repair}" for fault in self.faults)

    @property
    def places(self) -> frozenset[str]:
        """Where the repair is."""
        return frozenset(fault.place or fault.subject for fault in self.faults)


VALVE_STUCK = "valve does not move"
"""Failure mode of what lies behind a coil: no fault of the circuit, and no reading on it tells."""


def valve_faults(harness: Harness) -> tuple[Fault, ...]:
    """Return for each coil the valve or latch behind it that does not follow the click."""
    return tuple(
        Fault(
            f"valve of {coil.name} stuck, or no pressure",
            coil.name,
            VALVE_STUCK,
            place=f"behind coil {coil.name}: {coil.moves.valve or 'the valve'}, not its wiring",
            repair="look at the valve and its hydraulics; pressure released, load lowered",
            proof=f"{coil.name} clicks and the valve moves",
        )
        for coil in coils_of(harness)
    )


def prior_row(fault: Fault, harness: Harness, library: Library) -> FaultPriorRow:
    """Return the row that weighs a fault: of its kind of part, else of any part.

    Raises LibraryError where there is neither.
    """
    part = harness.parts.get(fault.subject)
    kind = "wire" if part is None else part.kind
    for name in (f"{kind}: {fault.mode}", f"{ANY_PART}: {fault.mode}"):
        row = library.fault_priors.get(name)
        if row is not None:
            return row
    raise LibraryError(
        f'library/fault_priors.csv has no row "{kind}: {fault.mode}", nor one of any part'
    )


def own_prior_rows(
    causes: Sequence[Cause], harness: Harness, library: Library
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the user's own rows of how likely faults are: those that weigh causes, and the rest.

    The rest are of parts that the harness has not, or of ways in which they cannot fail.
    """
    own = {name for name, row in library.fault_priors.items() if row.how == GIVEN}
    single = [cause.faults[0] for cause in causes if len(cause.faults) == 1]
    used = {prior_row(fault, harness, library).name for fault in single} if own else set()
    return tuple(sorted(own & used)), tuple(sorted(own - used))


def single_causes(
    faults: Sequence[Fault], harness: Harness, library: Library
) -> tuple[tuple[Cause, ...], FloatArray]:
    """Return `nothing wrong` and each single fault, and their priors, which sum to 1 - NONE_SHARE.

    A part's weight for a mode is shared by its faults of that mode: severities, other wires.
    Raises LibraryError where no fault has a weight above zero.
    """
    alike = Counter((fault.subject, fault.mode) for fault in faults)
    weights = np.array(
        [
            prior_row(fault, harness, library).weight / alike[fault.subject, fault.mode]
            for fault in faults
        ]
    )
    if not weights.sum() > 0.0:
        raise LibraryError("library/fault_priors.csv gives no fault of this circuit a weight")
    causes = (Cause(()), *(Cause((fault,)) for fault in faults))
    faulty = (1.0 - NONE_SHARE - SOUND_SHARE) * weights / weights.sum()
    return causes, np.concatenate([[SOUND_SHARE], faulty])


def pair_causes(
    causes: Sequence[Cause], prior: FloatArray, pairs: Iterable[tuple[int, int]]
) -> tuple[tuple[Cause, ...], FloatArray]:
    """Return two faults at once for pairs of indices of single causes, and their priors.

    Pairs of one part's own severities, or that change the same thing, are left out.
    """
    made: list[Cause] = []
    shares: list[float] = []
    for first, second in pairs:
        one, two = causes[first], causes[second]
        if _go_together(one, two):
            made.append(Cause((*one.faults, *two.faults)))
            shares.append(PAIR_SHARE * 2.0 * float(prior[first] * prior[second]))
    return tuple(made), np.array(shares)


def spread_severity(fault: Fault, share: FloatArray) -> Fault:
    """Return a fault whose added resistance lies, draw by draw, between its step and the next.

    ohm = step STEP ** share: so that the steps of a list stand for all resistances between them.
    """
    if not fault.severity:
        return fault
    changes = tuple(
        replace(change, ohm=_for_each_draw(change.ohm, share))
        if isinstance(change, AddedOhm) and math.isfinite(change.ohm)
        else change
        for change in fault.changes
    )
    return replace(fault, changes=changes)


def _for_each_draw(ohm: float, share: FloatArray) -> float:
    """A resistance for each draw; conductances of branches have the shape of the draws anyway."""
    return cast(float, ohm * SEVERITY_STEP**share)


SEVERITY_STEP = 10.0**0.5
"""From one severity of a poor joint to the next: two to the decade."""
PAIR_SHARE = 1.0
"""A second fault beside a first is as likely as by itself: a new circuit is built with all of its
mistakes at once. Common practice, no source."""


def _go_together(one: Cause, two: Cause) -> bool:
    if not one.faults or not two.faults or one.label == two.label:
        return False
    first, second = one.faults[0], two.faults[0]
    return (first.subject, first.mode) != (second.subject, second.mode)


def labels_of(
    causes: Sequence[Cause],
) -> tuple[tuple[str, ...], np.ndarray[tuple[int], np.dtype[np.intp]]]:
    """Return the labels of causes in order of appearance, and the label number of each cause."""
    numbers: dict[str, int] = {}
    of = np.array(
        [numbers.setdefault(cause.label, len(numbers)) for cause in causes], dtype=np.intp
    )
    return tuple(numbers), of
