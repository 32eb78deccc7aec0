"""Wires in connector cavities: does the conductor fit the contact's crimp.

Finds       a wire too thin to be held or too thick to be crimped; two wires in one crimp that are
            together too thick
Formula     A_min <= sum of the areas of the wires in one cavity <= A_max
Source      contact-figures: the wire range of each contact family. A range is printed for nominal
            areas, so the nominal area counts. A double crimp counts the sum (common practice).
Worst case  none: an area is not a matter of conditions
Not covered outer diameter against the seal; terminals of fuses, switches, studs and coils, whose
            range the file does not say; workmanship
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import (
    FAIL,
    NOT_JUDGED,
    PASS,
    Finding,
    Term,
    Working,
)
from circuitcheck.circuit.topology import wires_at
from circuitcheck.model.connector import Connector
from circuitcheck.model.library import ContactRow
from circuitcheck.model.wire import Wire
from circuitcheck.units import text

NAME = "wire fit"
WHY = "A crimp on the wrong size lets go or heats, often months later."
ASK = (
    "the contact family is not known: measure the blade's or pin's width and read the wire range "
    "of that contact"
)


def judge(case: Case) -> list[Finding]:
    """Return one finding per cavity in which a wire lands."""
    landed, findings = wires_at(case.harness), []
    for part in case.harness.of_kind(Connector):
        for terminal in part.terminals:
            names = landed.get(f"{part.name}.{terminal}", [])
            if names:
                wires = [case.harness.wires[name] for name in names]
                findings.append(_finding(part, f"{part.name}.{terminal}", wires))
    return findings


def _finding(part: Connector, cavity: str, wires: list[Wire]) -> Finding:
    row = part.contact
    total = sum(wire.conductor.area_mm2 for wire in wires)
    quantity = f"area of wire {' + '.join(wire.name for wire in wires)} in {cavity}"
    if row is None or row.area_min_mm2 is None or row.area_max_mm2 is None:
        return Finding(
            check=NAME,
            subject=part.name,
            result=NOT_JUDGED,
            quantity=quantity,
            reason=ASK,
            value=total,
            unit="mm2",
            sources=("contact-figures",),
        )
    is_thin = total < row.area_min_mm2
    limit = row.area_min_mm2 if is_thin else row.area_max_mm2
    return Finding(
        check=NAME,
        subject=part.name,
        result=FAIL if is_thin or total > row.area_max_mm2 else PASS,
        quantity=quantity,
        reason=WHY,
        value=total,
        limit=limit,
        unit="mm2",
        at_most=not is_thin,
        conditions=_conditions(row, wires),
        sources=(row.source, *dict.fromkeys(wire.conductor.source for wire in wires)),
        working=Working(
            " + ".join(f"A_{number}" for number in range(1, len(wires) + 1)),
            tuple(
                Term(f"A_{number}", wire.conductor.area_mm2, "mm2", f"{wire.name}, {wire.gauge}")
                for number, wire in enumerate(wires, start=1)
            ),
            Term("A", total, "mm2", "copper in the crimp"),
        ),
    )


def _conditions(row: ContactRow, wires: list[Wire]) -> tuple[str, ...]:
    lower, upper = text(row.area_min_mm2 or 0.0, "mm2"), text(row.area_max_mm2 or 0.0, "mm2")
    words = [f"contact {row.name} takes {lower} to {upper}"]
    if len(wires) > 1:
        words.append("double crimp: the areas add up")
    return tuple(words)


CHECK = Check(
    name=NAME,
    judges="area of the wires in each cavity, against the range of the contact",
    why=WHY,
    does_not_cover="insulation diameter against the seal; terminals other than connector contacts",
    sources=("contact-figures",),
    judge=judge,
)
