"""Nuisance opening.

Finds       a fuse that holds one press and opens after some more with nothing wrong
Source      iso-8820-3 (fast edge); seidenath-maerz (Foster networks of a fuse)
Formula     heat = sum a_k x_k < 1, x_k what a term holds of (I / I_n)^2 once presses repeat
Worst case  the most heat of all networks that hold every listed current for its shortest time; fuse
            in its hottest air; coils cold, highest supply, all buttons that the switches permit,
            the longest press again and again at the rate of [use], filaments cold at each
Not covered what one press opens already (see inrush against fuse); capacitors at an input; a pull
            winding taken off within the press. Checked against the listed points: no measured
            openings of blade fuses were found.
Result      one finding per inline fuse that holds one press
"""

from __future__ import annotations

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import NOT_JUDGED, PASS, Finding, Term, Working, judged
from circuitcheck.checks.fuses.fuse_ahead import FittedFuse, air_words, read_fuses_ahead
from circuitcheck.checks.fuses.press_current import (
    STEP_S,
    PressCurrent,
    press_currents,
    press_timing,
)
from circuitcheck.errors import LibraryError
from circuitcheck.formulas.fuse_clearing import shortest_opening_s
from circuitcheck.transient.heat.fuse_fit import Heat
from circuitcheck.transient.heat.fuse_heat import FAST, FuseHeat, fuse_heat
from circuitcheck.units import text

NAME = "nuisance opening"
WHY = "A fuse that opens with nothing wrong leaves the machine standing."
HEAT = "heat of the fuse as presses repeat, of what opens it"
SOURCES = ("iso-8820-3", "seidenath-maerz")


def judge(case: Case) -> list[Finding]:
    """Return one finding per inline fuse that holds one press."""
    ahead, findings = read_fuses_ahead(case.harness), []
    for fuse in ahead.fuses.values():
        presses = press_currents(case, ahead, fuse) if fuse.inline else ()
        if not presses or fuse.row is None:
            continue  # a fuse that nothing makes live: inrush against fuse says so
        try:
            heat = fuse_heat(case.library, fuse.row, fuse.ambient_c, FAST)
        except LibraryError as error:
            findings.append(Finding(NAME, fuse.owner, NOT_JUDGED, HEAT, str(error)))
            continue
        findings += _findings(case, fuse, heat, presses)
    return findings


def _findings(
    case: Case, fuse: FittedFuse, heat: FuseHeat, presses: tuple[PressCurrent, ...]
) -> list[Finding]:
    press_s, period_s = press_timing(case)
    steady_a = max(press.worst.current_a for press in presses)
    band = heat.band
    held_s = shortest_opening_s(steady_a, heat.worth_a, band.percents, band.min_s)
    if steady_a > heat.holds_a and press_s > held_s:
        return []  # one press may open it: inrush against fuse fails it
    found = [(heat.repeated(p.waveform(press_s), period_s + STEP_S), p) for p in presses]
    most, press = max(found, key=lambda pair: pair[0].share)
    return [_by_heat(fuse, heat, press, (most, press_s, period_s))]


def _by_heat(
    fuse: FittedFuse, heat: FuseHeat, press: PressCurrent, found: tuple[Heat, float, float]
) -> Finding:
    most, press_s, period_s = found
    result, reason = judged(most.share, 1.0), WHY
    if result != PASS and not heat.fast_edge_known:
        result = NOT_JUDGED
        reason = (
            f"no source gives the shortest opening times of a {heat.row.style} fuse: look at the "
            "time-current curve in its data sheet"
        )
    elif result != PASS:
        number = heat.opens_at_press(press.waveform(press_s), period_s + STEP_S)
        reason = f"It may open at press {number}, each {text(press_s, 's')} long. {WHY}"
    return Finding(
        check=NAME,
        subject=fuse.owner,
        result=result,
        quantity=HEAT,
        reason=reason,
        position=press.worst.position,
        coil_state=press.worst.coil_state,
        value=most.share,
        limit=1.0,
        unit="1",
        conditions=(
            f"{text(press.made_a, 'A')} for {text(press_s, 's')}, every {text(period_s, 's')}",
            *press.worst.conditions,
            air_words(fuse, fuse.ambient_c.upper, heat.worth_a),
            "heat of the fuse worked out from its listed times, not measured",
        ),
        sources=SOURCES,
        working=_heat_working(most, press),
    )


def _heat_working(most: Heat, press: PressCurrent) -> Working:
    result = Term("u", most.share, "1", "heat of the fuse over what opens it")
    if not most.held:
        none = Term("x", most.share, "1", "no current flows, so no term holds heat")
        return Working("x", (none,), result, steps=(press.working(),))
    terms = []
    for n, (tau, share, held) in enumerate(
        zip(most.network.time_constants_s, most.network.shares, most.held, strict=True), start=1
    ):
        seen = f"(I / I_n)^2 as a term of {text(tau, 's')} holds it"
        terms += [
            Term(f"a_{n}", share, "1", "its share of the heat that opens the fuse"),
            Term(f"x_{n}", held, "1", seen),
        ]
    formula = " + ".join(f"a_{n} * x_{n}" for n in range(1, len(most.held) + 1))
    return Working(formula, tuple(terms), result, steps=(press.working(),))


CHECK = Check(
    name=NAME,
    judges="heat of each fuse as presses repeat, against what opens it",
    why=WHY,
    does_not_cover="capacitors at an input; how a pull winding is taken off",
    sources=SOURCES,
    judge=judge,
)
