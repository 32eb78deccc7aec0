"""Terminals that share a stud, a battery post or a splice: how many, in which order.

Finds       more rings on a stud or battery post than may sit there; a bigger ring above a smaller
            one; more wires in one splice than a crimp grips
Source      abyc-e-11: at most four conductors on one terminal stud, the one with the largest
            current nearest its base; the biggest conductor stands for it. That a splice takes at
            most five wires is common practice, no source.
Formula     rings <= min(rings the part takes, 4); wires in a splice <= 5
Worst case  wires as listed: the first that the file names on a stud sits nearest the frame
Not covered washers, nuts and their torque; two rings turned against each other; wire ends twisted
            under one screw
Result      per stud and battery post with rings one on their number, and of two rings or more one
            on their order; one per splice
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, PASS, Finding, Term, Working, judged
from circuitcheck.circuit.topology import wires_at
from circuitcheck.model.battery import Battery
from circuitcheck.model.ground import GroundStud
from circuitcheck.model.splice import Splice
from circuitcheck.model.wire import Wire

NAME = "terminal stack"
WHY = "A tall stack works loose: the lowest ring then lives on the pressure of the topmost."
ORDER_WHY = "The biggest ring belongs nearest the frame: it carries most and needs the most metal."
SPLICE_WHY = "A crimp with many wires in it grips some of them badly; use two splices or a bar."
NUMBER, ORDER, SPLICE = "rings", "order of the rings", "wires in the splice"
SOURCES = ("abyc-e-11", "common-practice")


def judge(case: Case) -> list[Finding]:
    """Return the findings on every stud, battery post and splice that wires land on."""
    findings: list[Finding] = []
    landed = wires_at(case.harness)
    for part in case.harness.parts.values():
        if not isinstance(part, GroundStud | Battery | Splice):
            continue
        for terminal in part.terminals:
            place = f"{part.name}.{terminal}" if terminal else part.name
            wires = [case.harness.wires[name] for name in landed.get(place, ())]
            if wires and isinstance(part, Splice):
                most = case.library.limit("splice_wires")
                words = "all in one crimp"
                findings.append(
                    _count(place, wires, SPLICE, most.value, SPLICE_WHY, words, most.source)
                )
            elif wires and not isinstance(part, Splice):
                findings += _stack(case, part, place, wires)
    return findings


def _stack(
    case: Case, part: GroundStud | Battery, place: str, wires: Sequence[Wire]
) -> Iterator[Finding]:
    most = case.library.limit("stud_rings")
    own = part.rings_allowed if isinstance(part, GroundStud) else int(most.value)
    words = f"{part.name} takes {own}, one stud at most {most.value:g}"
    yield _count(place, wires, NUMBER, float(min(own, most.value)), WHY, words, most.source)
    if len(wires) > 1 and isinstance(part, GroundStud):
        areas = [wire.conductor.area_mm2 for wire in wires]
        in_order = all(first >= second for first, second in pairwise(areas))
        shown = ", ".join(f"{wire.name} {wire.gauge}" for wire in wires)
        right = sorted(wires, key=lambda wire: -wire.conductor.area_mm2)
        better = f" From the frame outward: {', '.join(wire.name for wire in right)}."
        yield Finding(
            check=NAME,
            subject=place,
            result=PASS if in_order else FAIL,
            quantity=ORDER,
            reason=ORDER_WHY if in_order else f"{ORDER_WHY}{better}",
            conditions=(f"from the frame outward, as listed: {shown}",),
            sources=("abyc-e-11",),
        )


def _count(
    place: str,
    wires: Sequence[Wire],
    quantity: str,
    limit: float,
    why: str,
    words: str,
    key: str,
) -> Finding:
    count, names = float(len(wires)), ", ".join(wire.name for wire in wires)
    return Finding(
        check=NAME,
        subject=place,
        result=judged(count, limit),
        quantity=quantity,
        reason=why,
        value=count,
        limit=limit,
        unit="wires",
        conditions=(names, words),
        sources=(key,),
        working=Working(
            "n", (Term("n", count, "wires", names),), Term("n", count, "wires", quantity)
        ),
    )


CHECK = Check(
    name=NAME,
    judges="rings on each stud and battery post and their order; wires in each splice",
    why=WHY,
    does_not_cover="washers, nuts and torque; rings that turn against each other",
    sources=SOURCES,
    judge=judge,
)
