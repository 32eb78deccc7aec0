"""Fuse ageing.

Finds       a fuse that the inrush of each press ages until it opens with nothing wrong
Source      fuse-pulse-chart: share of the melting I2t that each of many pulses may take, 10 s apart
Formula     I2t of a press / I2t that melts the fuse <= s(N), N presses in the service life; for a
            press that is long against the fuse's own time, of the I2t at which it may open then
Worst case  the largest I2t of all positions: coils cold, highest supply, filaments cold at each
            press, what lies before them left out; fuse in its hottest air. Current that the fuse
            holds for good (110 %) ages nothing: only what flows above it counts.
Not covered capacitors at an input; pulses closer than 10 s (their heat: nuisance opening). Straight
            lines in logarithms between the listed numbers of pulses are custom; beyond the last
            the share is taken to fall with the number.
Result      one finding per inline fuse; where one press may open it (see inrush against fuse) none
"""

from __future__ import annotations

import math
from dataclasses import replace

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import NOT_JUDGED, PASS, Finding, Term, Working, judged
from circuitcheck.checks.fuses.fuse_ahead import FittedFuse, air_words, read_fuses_ahead
from circuitcheck.checks.fuses.press_current import PressCurrent, press_currents, press_timing
from circuitcheck.checks.fuses.pulse_share import not_listed, pulse_limit_working
from circuitcheck.errors import LibraryError
from circuitcheck.formulas.fuse_clearing import shortest_opening_s
from circuitcheck.transient.heat.fuse_heat import FAST, FuseHeat, fuse_heat
from circuitcheck.transient.heat.pulses import pulse_i2t_a2s
from circuitcheck.units import text

NAME = "fuse ageing"
WHY = "A fuse aged by its inrush opens one day with nothing wrong."
QUANTITY = "I2t of each press, of what melts the fuse"
SOURCES = ("fuse-pulse-chart",)
LONG = "may open the fuse at the earliest, in so long a press"


def judge(case: Case) -> list[Finding]:
    """Return one finding per inline fuse that holds one press."""
    ahead, findings = read_fuses_ahead(case.harness), []
    press_s, _ = press_timing(case)
    for fuse in ahead.fuses.values():
        if not fuse.inline or fuse.row is None:
            continue
        try:
            heat = fuse_heat(case.library, fuse.row, fuse.ambient_c, FAST)
        except LibraryError:
            continue  # nuisance opening says what is missing
        presses = press_currents(case, ahead, fuse)
        pulses = [p for p in presses if p.made_a > heat.holds_a]
        if presses and not pulses:
            findings.append(_no_pulse(fuse, heat, max(presses, key=lambda p: p.made_a)))
        pulses = [p for p in pulses if not _opens(heat, p, press_s)]
        if pulses:
            shares = [(heat.melting_i2t_share(p.waveform(press_s)) or 0.0, p) for p in pulses]
            share, press = max(shares, key=lambda pair: pair[0])
            i2t_a2s = pulse_i2t_a2s(press.waveform(press_s), heat.holds_a)
            findings.append(_finding(case, fuse, heat, share, i2t_a2s, press))
    return findings


def _opens(heat: FuseHeat, press: PressCurrent, press_s: float) -> bool:
    """Return whether one press may open it, its filaments left out."""
    steady_a, band = press.worst.current_a, heat.band
    held_s = shortest_opening_s(steady_a, heat.worth_a, band.percents, band.min_s)
    return steady_a > heat.holds_a and press_s > held_s


def _no_pulse(fuse: FittedFuse, heat: FuseHeat, press: PressCurrent) -> Finding:
    return Finding(
        check=NAME,
        subject=fuse.owner,
        result=PASS,
        quantity="current of a press, against what the fuse holds for good",
        reason=f"{WHY} This one never has more than it holds for good.",
        position=press.worst.position,
        coil_state=press.worst.coil_state,
        value=press.made_a,
        limit=heat.holds_a,
        unit="A",
        conditions=(air_words(fuse, fuse.ambient_c.upper, heat.worth_a),),
        sources=SOURCES,
        working=press.working(),
    )


def _finding(
    case: Case, fuse: FittedFuse, heat: FuseHeat, share: float, i2t_a2s: float, press: PressCurrent
) -> Finding:
    finding = Finding(
        check=NAME,
        subject=fuse.owner,
        result=NOT_JUDGED,
        quantity=QUANTITY,
        reason="",
        position=press.worst.position,
        coil_state=press.worst.coil_state,
        sources=SOURCES,
    )
    use = case.harness.use
    if heat.row.melting_i2t_a2s is None:
        return replace(
            finding,
            reason=f"no source gives the melting I2t of a {heat.row.name}: look for it in its data "
            "sheet and give it in a library row of your own",
        )
    if use.presses_per_hour is None or use.service_life_h is None:
        return replace(finding, reason="say presses_per_hour and service_life in [use]")
    number = use.presses_per_hour * use.service_life_h
    step = pulse_limit_working(case.library, number)
    limit = step.result.value
    result, reason = judged(share, limit), WHY
    if result != PASS and share <= not_listed(case.library, number):
        result = NOT_JUDGED
        reason = f"no source lists {number:,.0f} pulses: ask for its pulse curve, or take a larger"
    return replace(
        finding,
        result=result,
        reason=reason,
        value=share,
        limit=limit,
        unit="1",
        conditions=(
            f"{number:,.0f} presses, {text(press.made_a, 'A')} at first",
            air_words(fuse, fuse.ambient_c.upper, heat.worth_a),
        ),
        working=_working(heat, share, i2t_a2s, step),
    )


def _working(heat: FuseHeat, share: float, i2t_a2s: float, step: Working) -> Working:
    melts_a2s = i2t_a2s / share
    is_short = math.isclose(melts_a2s, heat.row.melting_i2t_a2s or 0.0, rel_tol=1e-6)
    terms = (
        Term("I2t_p", i2t_a2s, "A2s", f"of a press above {text(heat.holds_a, 'A')}"),
        Term("I2t_m", melts_a2s, "A2s", "melts the fuse" if is_short else LONG),
    )
    return Working("I2t_p / I2t_m", terms, Term("s_p", share, "1", QUANTITY), steps=(step,))


CHECK = Check(
    name=NAME,
    judges="I2t of each press over the melting I2t of the fuse, over the service life",
    why=WHY,
    does_not_cover="capacitors at an input",
    sources=SOURCES,
    judge=judge,
)
