"""Suppressors over repeated operation: power and single pulse.

Finds       a resistor that burns on the supply and the switching together; a Zener pair or TVS that
            frequent switching heats too much, or one release, or several at once, destroy
Formula     average  W / T <= P f,  f = 1 in cool air, less in warm
            resistor max(P_on / 6.25, (P_on t_on + n W) / 5 s) <= P f,  P_on = V^2 / R while held:
            over any 5 s it takes no more than its power, at no time more than the overload
            that it is tested with for 5 s. A press of 5 s or more counts as held for good.
            pulse    W of one release, and of those that the key releases with it <= rated pulse
            W is the share of L I_0^2 / 2 that the suppressor takes; T from press to press
Source      tvs-types (pulse 10/1000 us, steady power), rectifier-diode-types (derating),
            iec-60115-1 (overload of a resistor, from memory); that a resistor is derated from
            70 degC to nothing at 155 degC is common practice, no source
Worst case  inductance at its upper end, cold coil, highest supply; hottest air of the zone; without
            a rate in [use], one release a second
Not covered a suppressor that has died unseen; its own clamping voltage rising with heat; a relay's
            own suppressor that the file does not rate
Result      per suppressor one finding on its power, one on its pulse where it has such a rating
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import NOT_JUDGED, Finding, Term, Working, judged
from circuitcheck.checks.release.released_coil import (
    ReleasedCoil,
    inductance_words,
    not_on_a_guess,
    released_coils,
    released_together_j,
)
from circuitcheck.checks.release.shared_suppressor import neighbours_j
from circuitcheck.checks.release.suppressor_working import burnt
from circuitcheck.model.relay import Relay
from circuitcheck.record import record
from circuitcheck.transient.switching_off.suppressor import Suppressor

NAME = "suppressor in repeated use"
WHY = "A suppressor that fails goes unnoticed: shorted it blows the fuse, open it protects nothing."
ASK = "its power rating is not given: read it on the suppressor or in its data sheet"
PULSE = "energy of one release into the {}"
SOURCE_OF = {
    "resistor": ("lessons-in-electric-circuits", "iec-60115-1", "common-practice"),
    "diode": ("rectifier-diode-types",),
}
SOURCES = ("tvs-types", "rectifier-diode-types", "iec-60115-1", "common-practice")


@record
class _At:
    """One suppressor of one winding."""

    case: Case
    coil: ReleasedCoil
    one: Suppressor


def judge(case: Case) -> list[Finding]:
    """Return the findings of every suppressor that something is known of."""
    every = released_coils(case)
    findings: list[Finding] = []
    for coil in every:
        part = case.harness.parts[coil.winding.owner]
        for one in coil.suppressors:
            own = one.name == one.kind
            if one.power_w is None and (one.kind == "diode" or (own and isinstance(part, Relay))):
                continue  # asked for by the check on its other ratings, or its maker's affair
            findings += _findings(_At(case, coil, one), every)
    return findings


def _findings(at: _At, every: tuple[ReleasedCoil, ...]) -> Iterator[Finding]:
    beside_j = neighbours_j(at.coil, at.one)
    power = burnt(at.case, at.coil.winding, at.one, beside_j)
    working, share = power.working, _share(at)
    limit = None
    if at.one.power_w is not None:
        rated = Term("P_r", at.one.power_w, "W", "power rating")
        left = Term("f", share, "1", "share left in the hottest air")
        step = Working("P_r * f", (rated, left), Term("P_l", rated.value * share, "W", "limit"))
        limit, working = (
            step.result.value,
            Working(working.formula, working.terms, working.result, steps=(*working.steps, step)),
        )
    yield _finding(at, power.quantity, working, limit, "W")
    rated_j = at.one.pulse_j
    if rated_j is not None and at.one is at.coil.lowest:
        energy_j, count = released_together_j(at.case, at.coil, every)
        word = "its own release" if count == 1 else f"{count} coils released by the key at once"
        result = Term("W_s", energy_j, "J", f"most that it takes: {word}")
        yield _finding(
            at, PULSE.format(at.one.name), Working("W_s", (result,), result), rated_j, "J",
            *(() if count == 1 else (word,)),
        )  # fmt: skip


def _share(at: _At) -> float:
    """Return the share of its power that it stands in the hottest air of its zone."""
    part = at.case.harness.parts[at.coil.winding.owner]
    air_c = at.case.harness.zone_of(part.zone).ambient_c.upper
    family = "resistor" if at.one.kind == "resistor" else "semiconductor"
    full_c = at.case.library.limit(f"{family}_full_power_c").value
    none_c = at.case.library.limit(f"{family}_no_power_c").value
    return min(1.0, max(0.0, (none_c - air_c) / (none_c - full_c)))


def _finding(
    at: _At, quantity: str, working: Working, limit: float | None, unit: str, *words: str
) -> Finding:
    value, winding = working.result.value, at.coil.winding
    rate = at.case.harness.use.presses_per_hour
    often = f"{rate:g} presses an hour" if rate else "no rate given: one release a second"
    finding = Finding(
        NAME, winding.owner, NOT_JUDGED if limit is None else judged(value, limit), quantity,
        ASK if limit is None else WHY, winding.position.position.name,
        winding.position.coil_state, value, limit, unit,
        conditions=(often, *words, *winding.position.conditions(winding.branch, "upper"),
                    *inductance_words(winding)),
        sources=SOURCE_OF.get(at.one.kind, ("tvs-types",)), working=working,
    )  # fmt: skip
    return not_on_a_guess(at.coil, finding)


CHECK = Check(
    name=NAME,
    judges="power and pulse energy of each suppressor at the rate of use",
    why=WHY,
    does_not_cover="a suppressor that has died unseen; a relay's own that the file does not rate",
    sources=SOURCES,
    judge=judge,
)
