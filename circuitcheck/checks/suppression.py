"""Suppression of each coil: fitted, and the right way round.

Finds       a coil that nothing suppresses; a diode whose cathode is not on the positive side; a
            coil with marked polarity fed the wrong way round
Formula     none for fitted and polarity. W = L I^2 / 2 is the energy that an opening contact must
            burn; the peak of a bare coil cannot be worked out from L and R.
Source      common practice, no source: a coil that a contact switches gets a suppressor, and the
            peak without one runs to hundreds of volts
Worst case  every position that energises the coil; the file's wiring decides which end is positive
Not covered whether a suppressor is still alive; release time, which a bare diode lengthens
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.energised_coil import EnergisedCoil, energised_coils
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding, worst
from circuitcheck.circuit.topology import Topology, read_topology
from circuitcheck.formulas.suppression import stored_energy_j
from circuitcheck.model.solenoid_coil import SolenoidCoil
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
    """Return one finding per coil on its suppressor and one on polarity where it has one."""
    topology = read_topology(case.harness)
    by_coil: dict[str, list[EnergisedCoil]] = {}
    for at in energised_coils(case, COLD_START):
        by_coil.setdefault(at.coil.name, []).append(at)
    findings = []
    for coil in case.harness.coils:
        positions = by_coil.get(coil.name, [])
        findings.append(_fitted(coil, positions))
        if coil.suppression.kind in REVERSED or coil.plus is not None:
            findings.append(_polarity(coil, topology, positions))
    return findings


def _fitted(coil: SolenoidCoil, positions: list[EnergisedCoil]) -> Finding:
    kind = coil.suppression.kind
    result = {"none": FAIL, "unknown": NOT_JUDGED}.get(kind, PASS)
    reason = {"none": MISSING, "unknown": f"suppression not known: {ASK_KIND}"}.get(kind, FITTED)
    return Finding(
        check=NAME,
        subject=coil.name,
        result=result,
        quantity="suppressor fitted",
        reason=reason,
        conditions=(f"suppression: {kind}", *_energy_words(coil, positions)),
        sources=SOURCES,
    )


def _energy_words(coil: SolenoidCoil, positions: list[EnergisedCoil]) -> tuple[str, ...]:
    if coil.inductance_h is None or not positions:
        return ()
    amps = max(at.solved.current_a(coil.name).largest() for at in positions)
    energy_j = stored_energy_j(coil.inductance_h.upper, amps)
    return (f"energy at switch-off up to {text(energy_j, 'J')}, at {text(amps, 'A')}, cold coil",)


def _polarity(coil: SolenoidCoil, topology: Topology, positions: list[EnergisedCoil]) -> Finding:
    sides = [topology.side_of(f"{coil.name}.{terminal}") for terminal in coil.terminals]
    if sorted(sides) == ["feed", "return"]:
        positive = coil.terminals[sides.index("feed")]
        return _held_against(coil, positive, "every position")
    if not positions:
        return _held_against(coil, None, "")
    judged = []
    for at in positions:
        is_certain = at.across_v.lower > 0.0
        end = at.fed.rpartition(".")[2] if is_certain else None
        judged.append(_held_against(coil, end, at.solved.position.name))
    return worst(judged)


def _held_against(coil: SolenoidCoil, positive: str | None, position: str) -> Finding:
    """Judge one position; `positive` is the terminal on the positive side, None if not certain."""
    kind, cathode = coil.suppression.kind, coil.suppression.cathode
    wanted = cathode if kind in REVERSED and cathode in coil.terminals else coil.plus
    if positive is None:
        result, reason = NOT_JUDGED, "which end of the coil is positive is not certain here"
    elif wanted is None:
        result, reason = NOT_JUDGED, ASK_CATHODE
    elif wanted == positive:
        result, reason = PASS, RIGHT if kind in REVERSED else "Fed as marked."
    else:
        result = FAIL
        reason = REVERSED.get(kind, f"the coil is marked + on {coil.plus} and fed the other way")
    mark = "cathode" if kind in REVERSED else "+ mark"
    return Finding(
        check=NAME,
        subject=coil.name,
        result=result,
        quantity="polarity",
        reason=reason,
        position=position,
        conditions=(f"positive end: {positive or '?'}", f"{mark} on: {wanted or 'not known'}"),
        sources=SOURCES,
    )


CHECK = Check(
    name=NAME,
    judges="a suppressor on each coil, and its polarity against the wiring",
    why=MISSING,
    does_not_cover="the peak of an unsuppressed coil; release time; a suppressor that has died",
    sources=SOURCES,
    judge=judge,
)
