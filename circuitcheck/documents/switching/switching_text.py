"""What each action does in its first moments, as lines of plain text, the worst action first."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.documents.plain_text import Page
from circuitcheck.transient.switching_on.coil_states import HELD, NOTHING_A, OFF, ON, UNASKED
from circuitcheck.transient.switching_on.switching_figures import (
    CoilFigures,
    FuseFigures,
    press_of,
)
from circuitcheck.transient.switching_on.switching_report import (
    ActionReport,
    SwitchingReport,
    fuse_name,
)
from circuitcheck.units import text

NOT_VALIDATED = (
    "Times to pull in: the current of a coil is worked out, when its plunger really moves is not. "
    "No open measurement was found that these times could be held against; compare actions and "
    "choices with them, do not promise them."
)
STEEL = (
    "Iron that saturates and eddy currents are left out: a real coil's current rises faster at "
    "first and its plunger moves later than its inductance says."
)
AT_ONCE_S = 1e-6
ENDS = "Each pair of figures: cold coils on the highest supply, hot coils on the lowest."


def switching_text(report: SwitchingReport, width: int) -> str:
    """Return the report of actions for a screen of `width` columns."""
    page = Page(width)
    harness = report.solution.harness
    page.say(f"Switching on: {harness.circuit}")
    page.gap()
    if not report.reports:
        page.say("No action changes anything: nothing is fed in any switch position.")
    for names, lines in _grouped(report).items():
        _say_action(page, names, lines)
    page.say(ENDS)
    page.gap()
    _left_out(page, report)
    page.say("Judged by `circuitcheck check`; a picture: --action NAME --plot FILE.")
    return page.text()


def _grouped(report: SwitchingReport) -> dict[tuple[str, ...], tuple[str, ...]]:
    """Return the lines of each action, by the names of those that do the same."""
    same: dict[tuple[str, ...], list[str]] = {}
    for one in report.reports:
        same.setdefault(tuple(_lines(report, one)), []).append(one.action.name)
    return {tuple(names): lines for lines, names in same.items()}


def _say_action(page: Page, names: tuple[str, ...], lines: tuple[str, ...]) -> None:
    page.say(names[0])
    if names[1:]:
        page.say(f"the same: {'; '.join(names[1:])}", first="  ", rest="    ")
    for line in lines:
        page.say(line, first="  ", rest="    ")
    page.gap()


def _lines(report: SwitchingReport, one: ActionReport) -> Iterator[str]:
    for stage in one.weakest.stages[1:]:
        first = next((s.start_s for s in one.strongest.stages if s.what == stage.what), None)
        yield f"after {_pair(first, stage.start_s)}: {stage.what}"
    for fuse in one.strongest_figures.fuses:
        if max(fuse.peak_a, fuse.settled_a) > 1e-3:
            yield _fuse(fuse, report)
    weak = {coil.branch: coil for coil in one.weakest_figures.coils}
    press_s = press_of(report.solution, one.action)
    for coil in one.strongest_figures.coils:
        if coil.branch in weak:
            yield _coil(coil, weak[coil.branch], press_s)


def _fuse(fuse: FuseFigures, report: SwitchingReport) -> str:
    use = report.solution.harness.use
    said = f"{fuse_name(report.solution.harness, fuse)}: peak {text(fuse.peak_a, 'A')}"
    if fuse.peak_a > 1.01 * fuse.settled_a:
        said += f" {_after(fuse.peak_at_s)}, then {text(fuse.settled_a, 'A')}"
    if fuse.branch.endswith("/fuse"):
        said += ", with what else it feeds"
    held = f" in a press of {text(fuse.press_s, 's')}" if fuse.press_s else ", held without pause"
    if fuse.heat_share is not None:
        share = fuse.heat_share
        said += f"; OPENS{held}" if share >= 1.0 else f"; {_percent(share)} of its opening{held}"
    elif fuse.not_judged:
        said += f"; its opening: not judged, {fuse.not_judged}"
    again = fuse.repeated_share
    if again is not None and again > (fuse.heat_share or 0.0) + 0.01:
        an_hour = use.presses_per_hour
        rate = f"{an_hour:g} an hour" if an_hour else "one after another without pause"
        said += f", {rate}: OPENS" if again >= 1.0 else f", {_percent(again)} with {rate}"
    if fuse.melting_share:
        said += f"; surge {_percent(fuse.melting_share)} of its melting I2t"
    return said


def _coil(strong: CoilFigures, weak: CoilFigures, press_s: float | None) -> str:
    name = strong.branch
    if strong.state == OFF:
        return f"{name}, switched off: see switching off"
    if UNASKED in (strong.state, weak.state):
        stray = _pair_a(strong.peak_a, weak.peak_a)
        return f"{name}, not asked for: {stray}; what lets it go is not known: not judged"
    if strong.state == HELD:
        low = f"{text(weak.lowest_v, 'V')}, {text(weak.lowest_a, 'A')}"
        said = f"{name}, already on: at lowest {low}"
        if weak.holds_a is None:
            return f"{said}; what keeps it in is not known: not judged"
        stays = "it stays in" if weak.lowest_a >= weak.holds_a else "IT MAY LET GO"
        return f"{said}; {stays} (sure from {text(weak.holds_a, 'A')})"
    return _coil_on(strong, weak, press_s)


def _coil_on(strong: CoilFigures, weak: CoilFigures, press_s: float | None) -> str:
    name = strong.branch
    if strong.settled_a <= NOTHING_A:
        return f"{name}: {_pair_a(strong.peak_a, weak.peak_a)} until it is taken off"
    if strong.pull_in_a is None:
        settled = _pair_a(strong.settled_a, weak.settled_a)
        return f"{name}: {settled} when settled{_plunger(strong, weak)}"
    needed = text(strong.pull_in_a, "A")
    if weak.reaches_s is None:
        reached = f"NOT REACHED on the lowest supply, {text(weak.settled_a, 'A')} is all"
        if strong.reaches_s is not None:
            reached += f"; after {text(strong.reaches_s, 's', digits=2)} on the highest"
    else:
        reached = f"after {_pair(strong.reaches_s, weak.reaches_s)}"
    late = ""
    if weak.is_late and press_s is not None:
        where = "" if strong.is_late else " on the lowest supply"
        late = f"; NOT WITHIN a press of {text(press_s, 's')}{where}"
    return f"{name}: pull-in current {needed} {reached}{_plunger(strong, weak)}{late}"


def _plunger(strong: CoilFigures, weak: CoilFigures) -> str:
    """Return when a plunger is in, nothing where it is not followed."""
    if not weak.is_left_out:
        known = strong.seated_s is not None or weak.seated_s is not None
        return f"; plunger in after {_pair(strong.seated_s, weak.seated_s)}" if known else ""
    if strong.seated_s is None:
        return "; plunger NOT IN: spring and load hold it back"
    after = text(strong.seated_s, "s", digits=2)
    return f"; plunger NOT IN on the lowest supply; after {after} on the highest"


def _after(time_s: float) -> str:
    return "at once" if time_s < AT_ONCE_S else f"after {text(time_s, 's', digits=2)}"


def _pair(first_s: float | None, last_s: float | None) -> str:
    ends = [text(end, "s", digits=2) if end is not None else "never" for end in (first_s, last_s)]
    return ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"


def _pair_a(first_a: float, last_a: float) -> str:
    return f"{text(first_a, 'A')} to {text(last_a, 'A')}"


def _percent(share: float) -> str:
    return f"{100.0 * share:.0f} %" if share >= 0.01 else "under 1 %"


def _left_out(page: Page, report: SwitchingReport) -> None:
    page.say("Not in these figures:")
    for words in report.not_modelled:
        page.say(words, first="- ")
    if any(coil.state == ON for one in report.reports for coil in one.strongest_figures.coils):
        page.say(NOT_VALIDATED, first="- ")
        page.say(STEEL, first="- ")
    if report.switching_off:
        page.say("switching off; the actions are: " + "; ".join(report.switching_off), first="- ")
    page.gap()
