"""Nuisance opening.

Finds       a fuse that holds one press and opens after some more, or that the inrush of each press
            ages until it opens with nothing wrong
Source      iso-8820-3 (fast edge); seidenath-maerz (Foster networks of a fuse); fuse-pulse-chart
            (share of melting I2t over a number of pulses)
Formula     heat = sum a_k x_k < 1, x_k what a term holds of (I / I_n)^2 once presses repeat;
            I2t of a press above 110 % <= s(N) of the melting I2t, N presses in the service life
Worst case  the most heat of all networks that hold every listed current for its shortest time; fuse
            in its hottest air; coils cold, highest supply, all buttons that the switches permit,
            the longest press again and again, filaments cold at each; nothing else cools
Not covered what one press opens already (see inrush against fuse); pull windings beyond their
            steady current; capacitors at an input. Straight lines in logarithms between the
            listed numbers of pulses are custom; beyond the last the share is taken to fall with
            the number. Checked against listed points, no measured openings of blade fuses.
Result      one finding per inline fuse that holds one press; a second where a press is a pulse
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import NOT_JUDGED, PASS, Finding, Term, Working, judged
from circuitcheck.checks.fuse_ahead import FittedFuse, air_words, read_fuses_ahead
from circuitcheck.checks.press_current import STEP_S, PressCurrent, press_currents
from circuitcheck.checks.pulse_share import not_listed, pulse_limit, pulse_limit_working
from circuitcheck.errors import LibraryError
from circuitcheck.formulas.fuse_clearing import shortest_opening_s
from circuitcheck.transient.fuse_fit import Heat
from circuitcheck.transient.fuse_heat import FAST, FuseHeat, fuse_heat
from circuitcheck.units import text

NAME = "nuisance opening"
WHY = "A fuse that opens with nothing wrong leaves the machine standing."
HEAT = "heat of the fuse as presses repeat, of what opens it"
AGE = "I2t of each press, of what melts the fuse"
SOURCES = ("iso-8820-3", "seidenath-maerz")
HELD_S = 3600.0
"""A press that is never over: long against the longest time constant of a fuse would do."""


def judge(case: Case) -> list[Finding]:
    """Return the findings of each inline fuse."""
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
) -> Iterator[Finding]:
    press_s, period_s = _timing(case)
    steady_a = max(press.worst.current_a for press in presses)
    band = heat.band
    held_s = shortest_opening_s(steady_a, heat.worth_a, band.percents, band.min_s)
    if steady_a > heat.holds_a and press_s > held_s:
        return  # one press may open it: inrush against fuse fails it
    found = [(heat.repeated(p.waveform(press_s), period_s + STEP_S), p) for p in presses]
    most, press = max(found, key=lambda pair: pair[0].share)
    yield _by_heat(fuse, heat, press, (most, press_s, period_s))
    pulses = [p for p in presses if p.made_a > heat.holds_a]
    if pulses:
        shares = [(heat.melting_i2t_share(p.waveform(press_s)) or 0.0, p) for p in pulses]
        yield _by_age(case, fuse, heat, *max(shares, key=lambda pair: pair[0]))


def _timing(case: Case) -> tuple[float, float]:
    """Return the longest press and the time from one to the next; held on where not known [s]."""
    use = case.harness.use
    if use.longest_press_s is None:
        return HELD_S, HELD_S
    if use.presses_per_hour is None or not use.presses_per_hour:
        return use.longest_press_s, use.longest_press_s
    return use.longest_press_s, max(use.longest_press_s, 3600.0 / use.presses_per_hour)


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
        reason = f"It may open at press {number} of {text(press_s, 's')} each. {WHY}"
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
        ),
        sources=SOURCES,
        working=_heat_working(most, press),
    )


def _heat_working(most: Heat, press: PressCurrent) -> Working:
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
    result = Term("u", most.share, "1", "heat of the fuse over what opens it")
    return Working(formula, tuple(terms), result, steps=(press.working(),))


def _by_age(
    case: Case, fuse: FittedFuse, heat: FuseHeat, share: float, press: PressCurrent
) -> Finding:
    finding = Finding(
        check=NAME,
        subject=fuse.owner,
        result=NOT_JUDGED,
        quantity=AGE,
        reason="",
        position=press.worst.position,
        coil_state=press.worst.coil_state,
        sources=("fuse-pulse-chart",),
    )
    use = case.harness.use
    if heat.row.melting_i2t_a2s is None:
        missing = (
            f"no source gives the melting I2t of a {heat.row.name}: look for it in its data sheet "
            "and give it in a library row of your own"
        )
        return replace(finding, reason=missing)
    if use.presses_per_hour is None or use.service_life_h is None:
        return replace(finding, reason="say presses_per_hour and service_life in [use]")
    number = use.presses_per_hour * use.service_life_h
    limit = pulse_limit(case.library, number)
    result, reason = judged(share, limit), WHY
    if result != PASS and share <= not_listed(case.library, number):
        result = NOT_JUDGED
        reason = (
            f"no source lists {number:.3g} pulses: ask for the pulse curve of the fuse, or take "
            "the next larger one"
        )
    melts = Term("I2t_m", heat.row.melting_i2t_a2s, "A**2*s", "melts the fuse")
    pulse = Term(
        "I2t_p", share * melts.value, "A**2*s", f"of a press above {text(heat.holds_a, 'A')}"
    )
    return replace(
        finding,
        result=result,
        reason=reason,
        value=share,
        limit=limit,
        unit="1",
        conditions=(
            f"{number:.3g} presses, {text(press.made_a, 'A')} at first",
            air_words(fuse, fuse.ambient_c.upper, heat.worth_a),
        ),
        working=Working(
            "I2t_p / I2t_m", (pulse, melts), Term("s_p", share, "1", AGE),
            steps=(pulse_limit_working(case.library, number),),
        ),
    )  # fmt: skip


CHECK = Check(
    name=NAME,
    judges="heat of each fuse as presses repeat, and the share of its melting I2t they take",
    why=WHY,
    does_not_cover="capacitors at an input; how a pull winding is taken off",
    sources=(*SOURCES, "fuse-pulse-chart"),
    judge=judge,
)
