"""Suppression of each coil: fitted, and the right way round.

Finds       a coil that nothing suppresses; a diode whose cathode is not on the positive side; a
            coil with marked polarity fed the wrong way round
Formula     none for fitted and polarity. W = L I^2 / 2 is the energy that an opening contact must
            burn; the peak of a bare coil cannot be worked out from L and R.
Source      common practice, no source: a coil that a contact switches gets a suppressor, and the
            peak without one runs to hundreds of volts
Worst case  every position that energises the coil; the file's wiring decides which end is positive.
            A neighbour's suppressor counts where every release leaves the coil joined to it.
Not covered whether a suppressor is still alive; release time, which a bare diode lengthens
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.coils.energised_winding import EnergisedWinding, windings_on
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding, worst
from circuitcheck.checks.release.neighbours_suppressor import pull_findings, through_a_neighbour
from circuitcheck.checks.release.released_coil import ReleasedCoil, released_coils
from circuitcheck.checks.release.suppressed import SuppressedWinding as Winding
from circuitcheck.checks.release.suppressed import positive_ends, suppressed_windings
from circuitcheck.circuit.topology import read_topology
from circuitcheck.formulas.suppression import stored_energy_j
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import Suppression
from circuitcheck.solve.solution import COLD_START
from circuitcheck.units import text

NAME = "suppression"
MISSING = (
    "nothing takes the coil's energy when the contact opens: it burns in the contact, and a peak "
    "of hundreds of volts can reach the machine's electronics"
)
FITTED = "The coil's energy goes into its suppressor instead of the contact."
ASK_KIND = (
    "look for + and - or a diode sign on the coil. A meter's diode test sees only the winding, "
    "so: coil unplugged, feed it through a fused lead of 5 A or less and a 21 W lamp in series, "
    "each way round; a bare diode keeps the voltage at the coil below 1.2 V one way round. For a "
    "diode + Zener pair or a resistor read the data sheet"
)
ASK_CATHODE = (
    "which end the cathode (ring) is on is not known: read the + mark on the coil, or test it "
    "unplugged through a fused lead of 5 A or less and a 21 W lamp in series: the way round that "
    "keeps the voltage at the coil below 1.2 V is the wrong one"
)
RIGHT = "Blocks while the coil is on and conducts when it is switched off."
REVERSED = {
    "diode": (
        "a bare diode the wrong way round conducts as soon as the button is pressed: a short that "
        "blows the fuse or burns the diode, and the coil does not move"
    ),
    "diode + Zener": (
        "the wrong way round the pair blocks at switch-off, so the coil is unsuppressed; it may "
        "also conduct on a high supply"
    ),
}
SOURCES = ("common-practice",)


def judge(case: Case) -> list[Finding]:
    """Return per winding one finding on its suppressor, and on the polarity of what has one."""
    topology = read_topology(case.harness)
    on: dict[str, list[EnergisedWinding]] = {}
    for solved in case.solution.live(COLD_START):
        for at in windings_on(case, solved):
            on.setdefault(at.branch, []).append(at)
    coils = {coil.winding.branch: coil for coil in released_coils(case)}
    findings = pull_findings(NAME, case, tuple(coils.values()))
    for winding in suppressed_windings(case):
        positions = on.get(winding.branch, [])
        findings.append(_fitted(winding, positions, coils.get(winding.branch)))
        ends = positive_ends(topology, winding, positions)
        if winding.suppression.kind in REVERSED or winding.plus is not None:
            findings.append(_polarity(winding, "", winding.suppression, ends))
        for name, one in winding.beside:
            if one.kind in REVERSED:
                findings.append(_polarity(winding, f" of {name}", one, ends))
    return findings


def _fitted(
    winding: Winding, positions: list[EnergisedWinding], coil: ReleasedCoil | None
) -> Finding:
    kind = winding.suppression.kind
    result, reason, caution = PASS, FITTED, ""
    beside = through_a_neighbour(coil) if coil is not None and kind == "none" else None
    if not winding.every and beside is not None:
        result, reason, caution = beside
    elif not winding.every:
        result = FAIL if kind == "none" else NOT_JUDGED
        reason = MISSING if kind == "none" else f"suppression not known: {ASK_KIND}"
    words = (f"suppression: {winding.words}", *_energy_words(winding, positions))
    return Finding(
        NAME, winding.part.name, result, "suppressor fitted", reason, conditions=words,
        sources=SOURCES, caution=caution,
    )  # fmt: skip


def _energy_words(winding: Winding, positions: list[EnergisedWinding]) -> tuple[str, ...]:
    part = winding.part
    if isinstance(part, Relay) or part.inductance_h is None or not positions:
        return ()
    amps = max(at.solved.current_a(winding.branch).largest() for at in positions)
    energy_j = stored_energy_j(part.inductance_h.upper, amps)
    return (f"energy at switch-off up to {text(energy_j, 'J')}, at {text(amps, 'A')}, cold coil",)


def _polarity(
    winding: Winding, of: str, one: Suppression, ends: list[tuple[str | None, str]]
) -> Finding:
    return worst([_held_against(winding, of, one, *end) for end in ends])


def _held_against(
    winding: Winding, of: str, one: Suppression, positive: str | None, position: str
) -> Finding:
    """Judge one position; `positive` is the terminal on the positive side, None if not certain."""
    kind, cathode = one.kind, one.cathode
    wanted = cathode if kind in REVERSED and cathode in winding.terminals else winding.plus
    if positive is None:
        result, reason = NOT_JUDGED, "which end of the coil is positive is not certain here"
    elif wanted is None:
        result, reason = NOT_JUDGED, ASK_CATHODE
    elif wanted == positive:
        result, reason = PASS, RIGHT if kind in REVERSED else "Fed as marked."
    else:
        wrong = f"the coil is marked + on {winding.plus} and fed the other way"
        result, reason = FAIL, REVERSED.get(kind, wrong)
    mark = "cathode" if kind in REVERSED else "+ mark"
    return Finding(
        NAME, winding.part.name, result, f"polarity{of}", reason, position,
        conditions=(f"positive end: {positive or '?'}", f"{mark} on: {wanted or 'not known'}"),
        sources=SOURCES,
    )  # fmt: skip


CHECK = Check(
    name=NAME,
    judges="a suppressor on each coil, and its polarity against the wiring",
    why=MISSING,
    does_not_cover="the peak of an unsuppressed coil; release time; a suppressor that has died",
    sources=SOURCES,
    judge=judge,
)
