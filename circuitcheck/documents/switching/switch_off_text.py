"""The ways to suppress each coil side by side, as lines of plain text."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.checks.release.joined_release import bare_j, together_words
from circuitcheck.checks.release.neighbours_suppressor import suppressing
from circuitcheck.checks.release.released_together import Together
from circuitcheck.checks.release.suppressor_choices import Choice, CoilChoices
from circuitcheck.documents.plain_text import Page, columns
from circuitcheck.model.harness import Harness
from circuitcheck.model.tolerance_band import Band
from circuitcheck.units import text

TABLE_FROM = 80
"""Columns from which the choices stand in a table."""
LONG_S = 0.9995
"""From here on a time is told in seconds."""
HEADS = ("choice", "lets go after", "diode = 1", "at coil", "at contact", "takes")
MODEL = (
    "Times are those of the coil's current, from the quickest coil of its type to the slowest; "
    "plunger, spool and oil come on top. No open measurement of valve coils was found that these "
    "times could be held against: compare choices with them, do not promise them."
)
BARE = "none: {} burn in the opening contact; how high the peak goes is beyond this model"
CAUTION = (
    "Before you try a suppressor on the machine: implement lowered and blocked, pressure released, "
    "nobody in the path. A diode the wrong way round is a short."
)


def switch_off_text(
    harness: Harness, every: Sequence[CoilChoices], together: Sequence[Together], width: int
) -> str:
    """Return the comparison of suppressors for a screen of `width` columns.

    `together` are the coils that a button or the key lets go at once and that share a suppressor.
    """
    page = Page(width)
    page.say(f"Switching off: {harness.circuit}")
    page.gap()
    if not every:
        page.say("No switch position works a coil: nothing is switched off.")
        return page.text()
    for one in every:
        _say_coil(page, one)
    for several in together:
        _say_together(page, several)
    page.say(MODEL)
    page.gap()
    page.say(CAUTION)
    return page.text()


def _say_coil(page: Page, one: CoilChoices) -> None:
    winding = one.coil.winding
    if one.wrong_way:
        page.say(f"{winding.branch}: fitted {one.coil.suppressed.words}, THE WRONG WAY ROUND")
        page.say(f"Pick: {one.advice}", first="  ", rest="    ")
        page.gap()
        return
    page.say(
        f"{winding.branch}: {text(winding.slowest.current_a, 'A')} cold, up to "
        f"{text(winding.energy_j, 'J')} in its field, contact on {winding.side_words}"
    )
    page.say(f"fitted: {one.coil.suppressed.words}", first="  ")
    if not winding.inductance_known:
        page.say("its inductance is not known: that of usual coils is taken", first="  ")
    for words in together_words(one.coil):
        page.say(words, first="  ", rest="    ")
    for words in one.lag.words:
        page.say(f"{words}. That comes on top of the times here.", first="  ", rest="    ")
    if not suppressing(one.coil):
        page.say(BARE.format(text(bare_j(one.coil), "J")), first="  ", rest="    ")
    if page.width >= TABLE_FROM:
        _table(page, one.choices)
    else:
        for choice in one.choices:
            _block(page, choice)
    for choice in one.choices:
        for reason in choice.against:
            page.say(f"{_name(choice)}: {reason}", first="  ! ", rest="    ")
        for note in choice.notes:
            page.say(f"{_name(choice)}: {note}", first="  ~ ", rest="    ")
        if choice.not_given:
            missing = ", ".join(choice.not_given)
            page.say(f"{_name(choice)}: not given: {missing}", first="  ? ", rest="    ")
    page.say(f"Pick: {one.advice}", first="  ", rest="    ")
    page.gap()


def _say_together(page: Page, several: Together) -> None:
    action = "The key turned off with these on" if several.by_key else "One contact lets these go"
    page.say(f"{action} together: {several.position} (usual values)")
    if several.beyond:
        page.say(several.beyond, first="  ", rest="    ")
    for coil in several.coils:
        times = "not within the time looked at"
        if coil.lets_go_s is not None:
            times = f"lets go after {text(coil.lets_go_s, 's')}"
        whose = "" if coil.has_suppressor else ", through what else hangs on its feed"
        page.say(f"{coil.branch} {times}, peak {text(coil.peak_v, 'V')}{whose}", first="  ",
                 rest="    ")  # fmt: skip
    page.gap()


def _block(page: Page, choice: Choice) -> None:
    release = choice.release
    page.say(_name(choice), first="  ", rest="    ")
    times = "" if choice.times_diode is None else f", {choice.times_diode:.2g} x a diode"
    page.say(f"lets go after {_band(release.release_s)}{times}", first="    ")
    page.say(
        f"peak {_volts(choice, release.coil_peak_v)} at the coil, "
        f"{_volts(choice, release.contact_peak_v)} at the contact",
        first="    ",
    )
    page.say(f"takes {_takes(choice)}", first="    ")
    page.say(f"needs {choice.needs}", first="    ")


def _table(page: Page, every: Sequence[Choice]) -> None:
    rows = [HEADS, *(_row(choice) for choice in every)]
    widths = [max(columns(row[k]) for row in rows) for k in range(len(HEADS))]
    over = sum(widths) + 2 * len(widths) - page.width
    widths[0] = max(18, widths[0] - max(0, over))
    for row, choice in zip(rows, (None, *every), strict=True):
        head, *rest = row
        cells = "  ".join(
            cell + " " * (width - columns(cell))
            for cell, width in zip(rest, widths[1:], strict=True)
        )
        lines = _fitted(head, widths[0])
        page.lines.append(f"  {lines[0]:<{widths[0]}}  {cells}".rstrip())
        page.lines += [f"    {line}" for line in lines[1:]]
        if choice is not None:
            page.say(f"{_watts(choice)}; needs {choice.needs}", first="    ")


def _fitted(name: str, width: int) -> list[str]:
    """Return a name in lines of a column."""
    lines, line = [], ""
    for word in name.split():
        if line and columns(f"{line} {word}") > width:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}".strip()
    return [*lines, line]


def _row(choice: Choice) -> tuple[str, ...]:
    release = choice.release
    times = "" if choice.times_diode is None else f"{choice.times_diode:.2f}"
    return (
        _name(choice), _band(release.release_s), times, _volts(choice, release.coil_peak_v),
        _volts(choice, release.contact_peak_v), text(release.absorbed_j, "J"),
    )  # fmt: skip


def _name(choice: Choice) -> str:
    return f"{choice.name} (fitted)" if choice.is_fitted else choice.name


def _band(times: Band | None) -> str:
    if times is None:
        return "not known"
    factor, unit = (1e3, "ms") if times.upper < LONG_S else (1.0, "s")
    ends = (factor * times.lower, factor * times.upper)
    low, high = (f"{end:.0f}" if end >= 99.5 else f"{end:.2g}" for end in ends)
    return f"{low} to {high} {unit}"


def _volts(choice: Choice, volts: float | None) -> str:
    about = "~" if choice.drawn_on_from_a is not None else ""
    return "not known" if volts is None else f"{about}{text(volts, 'V')}"


def _takes(choice: Choice) -> str:
    return f"{text(choice.release.absorbed_j, 'J')}, {_watts(choice)}"


def _watts(choice: Choice) -> str:
    heat = choice.burnt
    held = f"{text(heat.while_on_w, 'W')} while the coil is on, " if heat.while_on_w else ""
    return f"{held}{text(heat.average_w, 'W')} on average"
