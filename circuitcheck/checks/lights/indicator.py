"""Indicators: what a light proves, which way round an LED sits, what voltage a lamp sees.

Finds       an indicator that never lights, such as an LED the wrong way round; an LED that its
            reverse voltage breaks down; a lamp on too high a voltage
Formula     V_reverse <= its reverse voltage;  V_max <= s V_0 of a lamp
Source      led-forward-voltage (LEDs; what they stand reversed is from memory), lamp-rerating
            (life goes with the voltage to the power of -12 or more: at 115 % a fifth is left)
Worst case  every live position, highest supply; what a light proves is worked out at nominal values
            with each branch opened in turn
Not covered how bright it looks in the sun; an LED that leaks enough current to glimmer by itself
Result      one finding per indicator on what it shows, with the facts; one on its reverse voltage
            or its highest voltage where it sees any
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding, Term, Working, judged
from circuitcheck.checks.finite import finite
from circuitcheck.checks.lights.indicator_meaning import (
    Indicator,
    indicator_meaning,
    named,
    words_of,
)
from circuitcheck.checks.lights.lamp_life import lamp_words
from circuitcheck.checks.stand_ins import is_stand_in
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.solve.solution import COLD_START, Range
from circuitcheck.solve.worst_case import PositionSolution

NAME = "indicator"
SHOWS = "what its light proves"
REVERSE, HIGHEST = "highest voltage the wrong way round", "highest voltage across the lamp"
NEVER = "It never lights: it shows nothing."
TURNED = "It sits the wrong way round and never lights: turn it."
REVERSE_WHY = "An LED stands only a few volts the wrong way round; beyond them it breaks down."
HIGHEST_WHY = "A filament on too high a voltage burns out after a fraction of its life."
ASK_RATED = "its rated voltage is not given: read it on its base; many 12 V lamps hold for 13.5 V"
ASK = "what it stands the wrong way round is not given: read its data sheet"
LEAST_V = 0.5
"""Less than this the wrong way round harms no LED and says nothing of how it is wired."""
SOURCES = ("led-forward-voltage", "lamp-rerating")


def judge(case: Case) -> list[Finding]:
    """Return the findings of every indicator."""
    findings: list[Finding] = []
    for part in case.harness.parts.values():
        if isinstance(part, IndicatorLamp | LedIndicator):
            findings.append(_shown(case, part))
            found = _reverse(case, part) if isinstance(part, LedIndicator) else _lamp(case, part)
            findings += [] if found is None else [found]
    return findings


def _shown(case: Case, part: Indicator) -> Finding:
    meaning = indicator_meaning(case, part)
    result, reason = PASS, "Found by opening each branch in turn while it is lit."
    if not meaning.lit:
        turned = isinstance(part, LedIndicator) and _most_reversed(case, part) is not None
        result, reason = FAIL, TURNED if turned else NEVER
    words = [f"lit in: {named(meaning.lit)}", f"dark in: {named(meaning.dark)}"]
    if meaning.lit:
        words.append(f"lit, it proves whole: {', '.join(meaning.needs)}")
        words.append(f"it would be lit without: {', '.join(meaning.spare) or 'nothing else'}")
    return Finding(
        check=NAME,
        subject=part.name,
        result=result,
        quantity=SHOWS,
        reason=reason,
        position=meaning.lit[0].position.name if meaning.lit else "",
        conditions=(*words, *words_of(case, meaning)),
        sources=SOURCES[:1],
    )


def _across(case: Case, part: Indicator) -> Iterator[tuple[PositionSolution, Range]]:
    """Yield the voltage across an indicator, in its forward direction, in each live position."""
    for solved in case.solution.live(COLD_START):
        yield solved, finite(solved.across_v(part.name))


def _most_reversed(case: Case, part: LedIndicator) -> tuple[PositionSolution, Range] | None:
    """Return the position with the most voltage the wrong way round, None where there is none."""
    if part.plus is None:
        return None  # one for each direction: the other one conducts
    found = min(_across(case, part), key=lambda pair: pair[1].lower, default=None)
    return found if found is not None and found[1].lower < -LEAST_V else None


def _reverse(case: Case, part: LedIndicator) -> Finding | None:
    found = _most_reversed(case, part)
    if found is None:
        return None
    value, limit = -found[1].lower, part.reverse_v
    term = Term("V_r", value, "V", f"solved across {part.name}, its resistor included")
    reason = ASK if limit is None else REVERSE_WHY
    return _numeric(part, REVERSE, found, value, limit, reason, Working("V_r", (term,), term))


def _lamp(case: Case, part: IndicatorLamp) -> Finding | None:
    found = max(_across(case, part), key=lambda pair: pair[1].largest(), default=None)
    if found is None:
        return None
    share = case.library.limit("lamp_highest_fraction")
    rated = Term("V_0", part.rated_v, "V", "rated voltage of the lamp")
    terms = (Term("s", share.value, "1", "highest share of rated voltage"), rated)
    limit = Term("V_h", share.value * part.rated_v, "V", "highest voltage of the lamp")
    working = Working("s * V_0", terms, limit)
    value = found[1].largest()
    words = lamp_words(case, part, value, case.solution.live(COLD_START))
    finding = _numeric(part, HIGHEST, found, value, limit.value, HIGHEST_WHY, working, words)
    if finding.result == FAIL and is_stand_in(case, part.name, "rated"):
        return replace(finding, result=NOT_JUDGED, reason=ASK_RATED)
    return finding


def _numeric(
    part: Indicator,
    quantity: str,
    found: tuple[PositionSolution, Range],
    value: float,
    limit: float | None,
    reason: str,
    working: Working,
    words: tuple[str, ...] = (),
) -> Finding:
    solved, across = found
    return Finding(
        NAME, part.name, NOT_JUDGED if limit is None else judged(value, limit), quantity, reason,
        solved.position.name, solved.coil_state, value, limit, "V",
        conditions=(f"supply {solved.supply_v.upper:.1f} V, the highest", *words), sources=SOURCES,
        gap=across.gap, working=working,
    )  # fmt: skip


CHECK = Check(
    name=NAME,
    judges="what each indicator's light proves, its polarity, and the voltage across it",
    why="A light that proves less than the driver believes is worse than none.",
    does_not_cover="how bright it looks; an LED that glimmers by its own leakage",
    sources=SOURCES,
    judge=judge,
)
