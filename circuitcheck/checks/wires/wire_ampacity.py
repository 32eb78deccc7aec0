"""Wire ampacity.

Finds       a wire that its own largest current heats beyond its insulation
Source      33-cfr-183-425 (table 5, engine space), faa-ac-43-13-1b (24 to 20 AWG), iso-10133
            (sizes in mm2), abyc-e-11 (bundles)
Formula     I <= I_table * f_air * f_bundle; T = T_air + (T_table - 30) (I / (I_table f_bundle))^2
Worst case  the position and coil state with the largest current; hottest zone on the wire's way
Not covered current in a short (see dead short cleared); the machine's wire (see tap capacity); heat
            from a hot part the wire touches
Result      one finding per wire
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, Finding, judged
from circuitcheck.checks.wires.wire_limit import wire_limit
from circuitcheck.checks.worst_current import worst_current
from circuitcheck.errors import LibraryError

NAME = "wire ampacity"
WHY = "A wire that carries more than its ampacity cooks its insulation."
QUANTITY = "largest steady current of the wire"
SOURCES = ("33-cfr-183-425", "abyc-e-11")


def judge(case: Case) -> list[Finding]:
    """Return one finding per wire."""
    return [_finding(case, wire) for wire in case.harness.wires]


def _finding(case: Case, wire: str) -> Finding:
    worst = worst_current(case, wire)
    if worst is None:
        return _not_judged(wire, "no switch position makes the circuit live")
    try:
        limit = wire_limit(case, wire)
    except LibraryError as error:
        return _not_judged(wire, str(error))
    result = judged(worst.current_a, limit.ampacity_a)
    if result == FAIL and limit.wire.guesses:
        return _not_judged(wire, f"would fail as assumed: {'; '.join(limit.wire.guesses)}")
    return Finding(
        check=NAME,
        subject=wire,
        result=result,
        quantity=QUANTITY,
        reason=WHY,
        position=worst.position,
        coil_state=worst.coil_state,
        value=worst.current_a,
        limit=limit.ampacity_a,
        unit="A",
        conditions=(
            *worst.conditions,
            *limit.conditions(),
            f"conductor at up to {worst.temperature_c:.0f} degC, "
            f"{limit.wire.insulation.name} stands {limit.wire.insulation.temperature_c:g} degC",
        ),
        sources=limit.sources,
        gap=worst.gap_a,
        working=worst.working(limit.working()),
    )


def _not_judged(wire: str, reason: str) -> Finding:
    return Finding(NAME, wire, NOT_JUDGED, QUANTITY, reason, sources=SOURCES)


CHECK = Check(
    name=NAME,
    judges="largest current of each wire, against its ampacity in its air and bundle",
    why=WHY,
    does_not_cover="heat from a hot part that the wire touches",
    sources=SOURCES,
    judge=judge,
)
