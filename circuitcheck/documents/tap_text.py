"""What readings prove of a tap, for a screen, as JSON, and as lines of a harness file to paste."""

from __future__ import annotations

import json
import math

from circuitcheck.documents.plain_text import PHONE, Page, columns
from circuitcheck.documents.quantity_text import METRIC, in_system
from circuitcheck.readings.tap_answers import (
    MAY_BE_TAPPED,
    NO,
    UNKNOWN,
    YES,
    TapAnswer,
)
from circuitcheck.readings.tap_proving import NEEDED, TapProof
from circuitcheck.readings.tap_stiffness import resistance_words
from circuitcheck.units import text

VERDICTS = {NO: "fail", UNKNOWN: "not judged", YES: "pass"}
BEFORE = (
    "Implement lowered and blocked, pressure released, nobody in the path. Key on with the engine "
    "off first.",
    "Hang the load on through a fused lead, away from what burns: a bulb is hot in seconds. Read "
    "when it has settled, after some five seconds.",
    "Before cranking: out of gear, parking brake on, an assistant at the key, nobody in the path.",
    "Cut nothing yet: pierce or back-probe only where it can be sealed again.",
)
AFTER = (
    "A reading is of one day: cold, wet and age make joints worse.",
    "Never tap a seat-switch, brake, engine-stop, steering or airbag circuit, nor one that an "
    "electronic module or electronic fuse feeds.",
)


def tap_text(proof: TapProof, *, width: int = 80, system: str = METRIC) -> str:
    """Return the answers, worst first, then how sure they are, and the lines to paste.

    Of a circuit that never may be tapped nothing more is asked.
    """
    page, never = Page(width), proof.answer(MAY_BE_TAPPED).answer == NO
    page.say(_headline(proof))
    page.gap()
    for answer in _worst_first(proof):
        if not (never and answer.answer == UNKNOWN):
            _say(page, answer, system)
    _say_uncertainty(page, proof)
    page.gap()
    for caution in (*BEFORE, *AFTER) if proof.is_open and proof.verdict != NO else AFTER:
        page.say(caution, first="! ")
    if not never:
        page.gap()
        page.say("For the harness file, to be completed where it says unknown:")
        page.gap()
        page.lines += harness_lines(proof).splitlines()
    return page.text()


def _headline(proof: TapProof) -> str:
    """Return the verdict in one sentence, with what rules the tap out or what it hangs on."""
    tap, only = f"Tap {proof.readings.name}", " and ".join(proof.conditions)
    if proof.verdict == NO:
        never = proof.answer(MAY_BE_TAPPED).answer == NO
        why = "; ".join(one.in_short for one in proof.ruled_out_by)
        return f"{tap} must not be used{'' if never else ' as it is'}: {why}."
    if proof.is_open:
        if only:
            return f"{tap} is not proved yet; at most for {only}: live with the key off."
        return f"{tap} is not proved yet."
    if only:
        return f"{tap} may be used only for {only}, as far as measured: live with the key off."
    return f"{tap} may be used, as far as measured."


def _worst_first(proof: TapProof) -> list[TapAnswer]:
    def rank(answer: TapAnswer) -> tuple[int, int]:
        rules_out = answer.question in NEEDED
        bad = {NO: 0 if rules_out or answer.condition else 2, UNKNOWN: 1, YES: 3}[answer.answer]
        return bad, proof.answers.index(answer)

    return sorted(proof.answers, key=rank)


def _say(page: Page, answer: TapAnswer, system: str) -> None:
    page.say(f"{answer.question}: {answer.answer}")
    page.say(in_system(f"{answer.because}.", system), first="  ")
    if answer.measure:
        page.say(in_system(f"{answer.measure}.", system), first="  > ")


def _say_uncertainty(page: Page, proof: TapProof) -> None:
    found = proof.resistance
    if found is None:
        return
    page.gap()
    of = "battery, joints and wire" if found.with_battery else "joints and wire, posts to tap"
    drop, amps = text(found.drop_v, "V"), text(found.current_a, "A")
    seen = f"{drop} / {amps} =" if found.drop_v > 0.0 else f"no drop seen at {amps}:"
    page.say(
        f"Source resistance ({of}): {seen} {resistance_words(found)} (twice the standard "
        "uncertainty)."
    )
    for part in sorted(found.budget, key=lambda part: -part.standard_ohm):
        if part.standard_ohm > 0.0:
            page.say(f"{text(part.standard_ohm, 'ohm', digits=2)} {part.name}", first="  ")


def harness_lines(proof: TapProof) -> str:
    """Return `[part.NAME]` and `[part.NAME.upstream]` of a harness file as TOML."""
    r, spare = proof.readings, proof.spare
    present = '"unknown"'
    if spare.present_a is not None:
        # as read, its limit of error on it: the checks take it to the highest voltage themselves
        most = math.ceil(spare.present_a.upper * 10.0 - 1e-9) / 10.0
        present = f'["0 A", "{most:g} A"]'
    fuse = r.fuse.name if r.fuse else "none" if r.fuse_known else "unknown"
    lines = [
        f"[part.{r.name}]",
        'kind = "supply tap"',
        *_feeds_lines(r.feeds),
        "",
        f"[part.{r.name}.upstream]",
        f"fuse = {_quoted(fuse)}",
        f"gauge = {_quoted(r.gauge or 'unknown')}",
        *([f"area = {_quoted(r.area)}"] if r.area else []),
        *([f"insulation = {_quoted(r.insulation.name)}"] if r.insulation else []),
        f"length = {_quoted(f'{r.length_m:g} m' if r.length_m is not None else 'unknown')}",
        f"key = {_quoted(proof.key)}",
        f"cranking = {_quoted(proof.cranking)}",
        f"present_load = {present}",
    ]
    if r.key_contact_a is not None:
        lines.append(f'key_contact = {{ rated_current = "{r.key_contact_a:g} A" }}')
    return "\n".join(lines) + "\n"


def _feeds_lines(feeds: tuple[str, ...] | None) -> list[str]:
    if feeds is None:
        return ['also_feeds = "unknown"']
    line = f"also_feeds = [{', '.join(map(_quoted, feeds))}]"
    if columns(line) <= PHONE:
        return [line]
    return ["also_feeds = [", *(f"  {_quoted(feed)}," for feed in feeds), "]"]


def _quoted(word: str) -> str:
    escaped = word.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def tap_json(proof: TapProof) -> str:
    """Return the proof as JSON; SI units, null for what is not known."""
    found, spare = proof.resistance, proof.spare
    present = spare.present_a
    content = {
        "verdict": VERDICTS[proof.verdict],
        "headline": _headline(proof),
        "conditions": list(proof.conditions),
        "tap": proof.readings.name,
        "answers": [
            {
                "question": one.question,
                "answer": one.answer,
                "because": one.because,
                "measure": one.measure,
            }
            for one in proof.answers
        ],
        "source_resistance": None
        if found is None
        else {
            "resistance_ohm": max(0.0, found.resistance_ohm),
            "standard_uncertainty_ohm": found.standard_ohm,
            "expanded_uncertainty_ohm": found.expanded_ohm,
            "drop_v": found.drop_v,
            "current_a": found.current_a,
            "with_battery": found.with_battery,
            "budget": [{"of": b.name, "standard_ohm": b.standard_ohm} for b in found.budget],
        },
        "highest_resistance_ohm": proof.highest_ohm,
        "present_load_a": None
        if present is None
        else {"min": present.lower, "nominal": present.nominal, "max": present.upper},
        "carriers": [
            {"name": c.name, "most_a": c.most_a, "because": c.because, "source": c.source}
            for c in spare.carriers
        ],
        "spare_a": spare.spare_a,
        "key": proof.key,
        "cranking": proof.cranking,
        "harness_lines": harness_lines(proof),
        "cautions": [*BEFORE, *AFTER],
    }
    return json.dumps(content, indent=2, ensure_ascii=False)
