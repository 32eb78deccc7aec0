"""Ratings of what suppresses each winding: inside its part, or wired across it.

Finds       a diode that a load dump breaks down or the coil's current burns; a TVS that conducts on
            the supply
Formula     diode      reverse: max(V_supply, V_load dump) <= V_R;  forward: I_s <= I_F
            I_s with the currents of other windings that go the same way (see shared_suppressor)
            TVS        V_supply <= V_standoff
Source      iso-16750-2 (load dump, with clamp unless the file says none), tvs-types (stand-off)
Worst case  highest supply; the cold coil. A sum by the key is told beside a pass: it comes once.
Not covered how diodes beside each other share; power and pulse energy (see suppressor in repeated
            use); peaks (see switch-off peak); a TVS in a load dump (see load dump)
Result      one finding per rating; a relay's own suppressor only where the file rates it
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.coils.energised_winding import EnergisedWinding, windings_on
from circuitcheck.checks.finding import NOT_JUDGED, PASS, Finding, Term, Working, judged, worst
from circuitcheck.checks.release.released_coil import ReleasedCoil, released_coils
from circuitcheck.checks.release.shared_suppressor import SharedCurrent, shared_current
from circuitcheck.checks.release.suppressed import suppressed_windings
from circuitcheck.checks.release.suppressor_working import reverse_working
from circuitcheck.checks.workings.current_working import highest_current_working
from circuitcheck.formulas.suppression import diode_reverse_voltage_v
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import Suppression
from circuitcheck.solve.solution import COLD_START
from circuitcheck.transient.supply_events import load_dump
from circuitcheck.transient.switching_off.suppressor import fitted
from circuitcheck.units import text

NAME = "suppression rating"
WHY = "A suppressor that fails goes unnoticed: shorted it blows the fuse, open it protects nothing."
ASK = "is not given: read it in the data sheet of the coil or of its suppressor"
DIODES = ("diode", "diode + Zener")
TVS = "bidirectional TVS"


def judge(case: Case) -> list[Finding]:
    """Return the findings on each rating of each suppressor, in the winding's worst position."""
    every = {winding.branch: winding for winding in suppressed_windings(case)}
    coils = {coil.winding.branch: coil for coil in released_coils(case)}
    found: dict[tuple[str, str], list[Finding]] = {}
    for solved in case.solution.live(COLD_START):
        for at in windings_on(case, solved):
            winding = every.get(at.branch)
            for name, one in winding.every if winding else ():
                of = f" {name}" if name else ""
                coil = coils.get(at.branch)
                if coil is not None and coil.winding.position.position != solved.position:
                    coil = None
                for finding in _findings(case, at, one, of, coil):
                    is_own = not name and isinstance(case.harness.parts[at.owner], Relay)
                    if not (is_own and finding.limit is None):
                        found.setdefault((at.owner, finding.quantity), []).append(finding)
    return [worst(sorted(findings, key=_most_first)) for findings in found.values()]


def _most_first(finding: Finding) -> float:
    """Sort key: without a rating no position is worse by margin, so the largest value leads."""
    return -(finding.value or 0.0)


def _findings(
    case: Case, at: EnergisedWinding, one: Suppression, of: str, coil: ReleasedCoil | None
) -> Iterator[Finding]:
    if one.kind in DIODES:
        yield _reverse(case, at, one, of)
        yield _forward(case, at, one, of, coil)
    elif one.kind == "resistor" and one.resistance_ohm is None:
        what = f"resistance of the suppressor{of}"
        yield _finding(at, what, None, None, "ohm", (), ("worked-out",))
    elif one.kind == TVS:
        volts = at.solved.supply_v.upper
        supply = Term("V_s", volts, "V", "supply at the battery posts, the highest")
        working = Working("V_s", (supply,), Term("V_t", volts, "V", "voltage across it"))
        limit, what = one.standoff_v, "supply at the TVS, against its stand-off voltage"
        yield _finding(at, what, volts, limit, "V", (), ("tvs-types",), working)


def _reverse(case: Case, at: EnergisedWinding, one: Suppression, of: str) -> Finding:
    dump = load_dump(
        case.library, case.harness.system_v, clamped=case.harness.conditions.load_dump_clamped
    )
    highest_v = at.solved.supply_v.upper
    reverse_v = diode_reverse_voltage_v(highest_v, dump.supply_v)
    return _finding(
        at, f"reverse voltage of the diode{of}", reverse_v, one.reverse_v, "V",
        (f"{dump.name}, {text(dump.supply_v, 'V')}",), (dump.source,),
        reverse_working(highest_v, dump.supply_v),
    )  # fmt: skip


def _forward(
    case: Case, at: EnergisedWinding, one: Suppression, of: str, coil: ReleasedCoil | None
) -> Finding:
    own_a = at.solved.current_a(at.branch).largest()
    amps, working = own_a, highest_current_working(at.solved, at.branch)
    words, by_key = "the coil's whole current passes over", ""
    if coil is not None and (law := fitted(one, case.library, of.strip())) is not None:
        shared = shared_current(coil, law, by_key=False)
        if shared.others:
            amps, words = shared.current_a, shared.words
            working = shared.working(coil.winding.slowest.current_a, "I_s")
        by_key = _by_key(shared_current(coil, law, by_key=True), one.forward_a)
    found = _finding(
        at, f"current of the diode{of} at switch-off", amps, one.forward_a, "A",
        (*at.solved.conditions(at.branch, "upper"), words), ("worked-out",), working,
    )  # fmt: skip
    return replace(found, caution=by_key if found.result == PASS else "")


def _by_key(shared: SharedCurrent, forward_a: float | None) -> str:
    if forward_a is None or shared.current_a <= forward_a:
        return ""
    return f"Turned off by the key it carries {text(shared.current_a, 'A')} once, {shared.words}."


def _finding(
    at: EnergisedWinding,
    quantity: str,
    value: float | None,
    limit: float | None,
    unit: str,
    words: tuple[str, ...],
    sources: tuple[str, ...],
    working: Working | None = None,
) -> Finding:
    result = NOT_JUDGED if value is None or limit is None else judged(value, limit)
    reason = f"the rating for {quantity} {ASK}" if result == NOT_JUDGED else WHY
    return Finding(
        NAME, at.owner, result, quantity, reason, at.solved.position.name, at.solved.coil_state,
        value, limit, unit, conditions=words or ("highest supply",), sources=sources,
        working=working,
    )  # fmt: skip


CHECK = Check(
    name=NAME,
    judges="reverse voltage, current and stand-off of each suppressor",
    why=WHY,
    does_not_cover="power, pulses and peaks: checks of their own",
    sources=("iso-16750-2", "tvs-types"),
    judge=judge,
)
