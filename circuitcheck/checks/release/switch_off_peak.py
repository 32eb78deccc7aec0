"""Peak at switch-off, across the coil and across the contact that opens.

Finds       a resistor, Zener pair or TVS that lets too much voltage stand across the coil, the
            opening contact, or an LED beside the coil
Formula     V_coil = E + r I_0 <= what electronics are tested with; I_0 with the currents of other
                     windings that go through the same suppressor (see shared_suppressor)
            V_contact = V_supply + V_coil <= what no gap in air breaks down at
            V_LED = V_coil <= its reverse voltage
Source      iso-7637-2 (negative pulse 1, level IV), paschen-law (no gap breaks down below 327 V),
            suppression-measured (peak of I R: 680 ohm beside 120 ohm, 65 V), tvs-types (clamping)
Worst case  cold coil of least resistance at the highest supply; suppressor at its upper end. A
            straight line through breakdown and clamping voltage lies above the device beyond it.
Not covered the bare peak of a coil without suppressor: it hangs on the arc and cannot be worked
            out from L and R (see suppression); a bare diode, whose 1 V harms nothing; ringing
Result      two findings per coil that more than a bare diode suppresses, one per LED beside it
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.coils.energised_winding import joined_nodes
from circuitcheck.checks.finding import NOT_JUDGED, Finding, Term, Working, judged
from circuitcheck.checks.release.released_coil import ReleasedCoil, released_coils
from circuitcheck.checks.release.shared_suppressor import shared_current
from circuitcheck.model.indicator import LedIndicator
from circuitcheck.transient.switching_off.suppressor import Suppressor

NAME = "switch-off peak"
WHY = "The peak reaches whatever hangs on the same wire: electronics, an LED, the contact's gap."
ASK = "its clamping voltage is not given: read it in the data sheet, or name a library type"
COIL, CONTACT = "peak across the coil at switch-off", "peak across the opening contact"
ASK_LED = "its reverse voltage is not given: read it in its data sheet"
SOURCES = ("iso-7637-2", "paschen-law", "suppression-measured", "tvs-types")


def judge(case: Case) -> list[Finding]:
    """Return the findings of every coil that more than a bare diode suppresses."""
    findings: list[Finding] = []
    for coil in released_coils(case):
        one = coil.lowest
        if one is not None and one.kind != "diode":
            findings += _of(case, coil, one)
    return findings


def _of(case: Case, coil: ReleasedCoil, one: Suppressor) -> Iterator[Finding]:
    tested = case.library.limit(f"negative_pulse_{coil.winding.system_v:g}v_v").value
    gap = case.library.limit("contact_gap_v").value
    owner, supply_v = coil.winding.owner, coil.winding.supply_v
    if one.most is None:
        yield _finding(coil, owner, COIL, None, tested, ASK)
        return
    own_a, shared = coil.winding.slowest.current_a, shared_current(coil, one)
    amps, symbol = shared.current_a, "I_s" if shared.others else "I_0"
    what = "current into the suppressor" if shared.others else "coil current before switch-off"
    terms = (
        Term(symbol, amps, "A", what),
        Term("E", one.most.clamp_v, "V", f"constant voltage of the {one.name}, highest"),
        Term("r", one.most.series_ohm, "ohm", f"resistance of the {one.name}, highest"),
    )
    peak = Term("V_p", one.most.volts(amps), "V", "peak, reversed")
    steps = (shared.working(own_a, symbol),) if shared.others else ()
    at_coil = Working(f"E + r * {symbol}", terms, peak, steps=steps)
    words = (shared.words,) if shared.words else ()
    yield _finding(coil, owner, COIL, at_coil, tested, WHY, words)
    supply = Term("V_s", supply_v, "V", "supply at the battery posts, the highest")
    both = Term("V_k", supply_v + peak.value, "V", "peak across the contact")
    at_contact = Working("V_s + V_p", (supply, peak), both, steps=(*steps, at_coil))
    yield _finding(coil, owner, CONTACT, at_contact, gap, WHY, words)
    for led in _beside(case, coil):
        what = f"reverse voltage when {coil.winding.branch} is switched off"
        reason = ASK_LED if led.reverse_v is None else WHY
        yield _finding(coil, led.name, what, at_coil, led.reverse_v, reason, words)


def _beside(case: Case, coil: ReleasedCoil) -> Iterator[LedIndicator]:
    """Yield the LEDs that stay joined to both ends of a coil while its contact is open."""
    on = coil.winding.position
    off = next(
        (s for s in case.solution.positions
         if s.position.key == on.position.key and not s.position.pressed),
        None,
    )  # fmt: skip
    if off is None:
        return
    network = off.network
    branch = network.branches[network.branch_of[coil.winding.branch]]
    ends = {branch.start: joined_nodes(network, branch.start)}
    ends[branch.end] = joined_nodes(network, branch.end)
    if branch.end in ends[branch.start]:
        return
    leds = {part.name: part for part in case.harness.of_kind(LedIndicator)}
    for curve in network.curves:
        pair = (curve.start, curve.end)
        if curve.owner in leds and any(
            a in ends[branch.start] and b in ends[branch.end] for a, b in (pair, pair[::-1])
        ):
            yield leds[curve.owner]


def _finding(
    coil: ReleasedCoil,
    subject: str,
    quantity: str,
    working: Working | None,
    limit: float | None,
    reason: str,
    words: tuple[str, ...] = (),
) -> Finding:
    winding = coil.winding
    value = None if working is None else working.result.value
    result = NOT_JUDGED if value is None or limit is None else judged(value, limit)
    known = coil.lowest.kind if coil.lowest else ""
    held = "suppression-measured" if known == "resistor" else "tvs-types"
    sources = ("paschen-law" if quantity == CONTACT else "iso-7637-2", held)
    return Finding(
        NAME, subject, result, quantity, reason, winding.position.position.name,
        winding.position.coil_state, value, limit, "V",
        conditions=(
            f"suppression: {coil.suppressed.words}",
            *words,
            f"contact on {winding.side_words} of the coil",
            *winding.position.conditions(winding.branch, "upper"),
        ),
        sources=sources, working=working,
    )  # fmt: skip


CHECK = Check(
    name=NAME,
    judges="peak at switch-off across coil, contact and LED, where no bare diode holds it",
    why=WHY,
    does_not_cover="the bare peak of a coil without suppressor; ringing",
    sources=SOURCES,
    judge=judge,
)
