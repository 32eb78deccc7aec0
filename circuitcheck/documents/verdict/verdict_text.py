"""The verdict for a terminal as narrow as a phone: what fails first, then what is not known."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding
from circuitcheck.documents.cautions import cautions, not_checked
from circuitcheck.documents.plain_text import Page
from circuitcheck.documents.quantity_text import METRIC, difference_text, in_system, pair_text
from circuitcheck.documents.verdict.finding_text import against, bound, clauses, left, where
from circuitcheck.documents.verdict.verdict import NO_FAILURE, Entry, Verdict
from circuitcheck.model.assumption import OF_LIBRARY, Assumption
from circuitcheck.sizing.change import joined
from circuitcheck.sizing.remedy import key_of

SUBJECTS_NAMED = 4
STOPPED = (
    "A movement here can hurt people. The circuit is not judged: it needs a functional-safety "
    "assessment (ISO 25119, ISO 13849) before anything is built."
)


def verdict_text(
    verdict: Verdict,
    *,
    width: int = 40,
    colour: bool = False,
    every: bool = False,
    system: str = METRIC,
) -> str:
    """Return the verdict in lines of at most `width` columns.

    With `every` all findings that pass and all library values taken are listed one by one.
    `system` is the system of units, `metric` or `american`.
    """
    page = Page(width, colour, system)
    _headline(page, verdict)
    if verdict.is_stopped:
        _stopped(page, verdict)
        return page.text()
    said: dict[str, int] = {}
    for group in verdict.failures():
        remedy = verdict.remedies.get(key_of(group[0].worst))
        words = remedy.change.words if remedy is not None and remedy.change is not None else ""
        _failure(page, verdict, group, as_for=said.get(words), every=every)
        if words:
            said.setdefault(words, group[0].number)
    _not_judged(page, verdict.of_result(NOT_JUDGED), every)
    _assumptions(page, verdict.harness.assumptions, every)
    _passes(page, verdict.of_result(PASS), every)
    _list(page, "NOT CHECKED by this version", not_checked(verdict.checks))
    _list(page, "CAUTIONS", cautions(verdict.harness))
    return page.text()


def headline(verdict: Verdict) -> str:
    """Return the first line of a report; it never says that a circuit is safe."""
    failing = len(verdict.of_result(FAIL))
    if not failing:
        return NO_FAILURE
    following = [
        f"{len(entries)} follow{'s' if len(entries) == 1 else ''} from {joined(map(str, numbers))}"
        for numbers, entries in verdict.followers.items()
    ]
    count = f"{failing} finding{'s' if failing > 1 else ''}"
    return f"FAILS: {', '.join([count, *following])}"


def _headline(page: Page, verdict: Verdict) -> None:
    colour = "red" if verdict.word == FAIL else "green" if verdict.word == PASS else "yellow"
    page.say(headline(verdict), colour=colour)
    open_entries = len(verdict.of_result(NOT_JUDGED))
    if open_entries:
        page.say(f"{open_entries} not judged, see below", colour="yellow")
    harness = verdict.harness
    revision = f", revision {harness.revision}" if harness.revision else ""
    page.say(f"{harness.circuit}{revision}, {harness.system_v:g} V")
    page.say(f"file {harness.file}")
    if not verdict.searched and verdict.of_result(FAIL):
        page.say("No change that would pass was looked for.")


def _stopped(page: Page, verdict: Verdict) -> None:
    page.gap()
    page.say(STOPPED, first="STOP  ", rest="  ", colour="red")
    for entry in verdict.entries:
        page.say(f"{entry.number} FAIL {entry.worst.subject} {entry.worst.quantity}", rest="  ")
    _list(page, "CAUTIONS", cautions(verdict.harness))


def _failure(
    page: Page, verdict: Verdict, group: tuple[Entry, ...], *, as_for: int | None, every: bool
) -> None:
    """Say the worst of a group in full, the others in a line; a change is told but once."""
    entry, *alike = group
    finding = entry.worst
    page.gap()
    page.say(
        f"{entry.number} FAIL {finding.check}: {finding.subject or 'the circuit'}",
        rest="  ",
        colour="red",
    )
    _numbers(page, finding)
    _labelled(page, "in", where(finding))
    if entry.also(FAIL):
        page.say(f"and in {_positions(entry.also(FAIL))}", first="  ", rest="    ")
    _labelled(page, "when", clauses(finding.conditions, every))
    _labelled(page, "why", finding.reason)
    for other in alike:
        page.say(f"and {_short(other, finding, page.system)}", first="  ", rest="    ")
    _labelled(page, "change", f"as for {as_for}" if as_for is not None else finding.fix)
    line = verdict.harness.line_of.get(finding.place)
    _labelled(page, "line", f"{line} of the file ({finding.place})" if line else "")
    for numbers, entries in verdict.followers.items():
        if numbers[-1] in [member.number for member in group]:
            _followers(page, numbers, entries, every)
    _labelled(page, "source", "; ".join(verdict.source_texts(finding.sources)))


def _followers(page: Page, numbers: Sequence[int], entries: Sequence[Entry], every: bool) -> None:
    """Say in one line what only follows from a finding; one by one where all is asked for."""
    what = f"and {len(entries)} more that follow from {joined(map(str, numbers))}"
    if not every:
        named = _named(entry.worst.check for entry in entries)
        page.say(f"{what}: {named} (--wide lists them)", first="  ", rest="    ")
        return
    page.say(f"{what}:", first="  ", rest="    ")
    for entry in entries:
        finding = entry.worst
        quantity = in_system(finding.quantity, page.system)
        said = f"{entry.number} {finding.check}: {finding.subject} {quantity}"
        page.say(f"{said}: {against(finding, page.system)}", first="    ", rest="      ")


def _short(entry: Entry, beside: Finding, system: str) -> str:
    """Return an entry in one line; its quantity is named only where it is another."""
    finding = entry.worst
    quantity = "" if finding.quantity == beside.quantity else f" {finding.quantity}"
    said = f"{finding.subject}{in_system(quantity, system)}"
    return f"{entry.number} {said}: {against(finding, system)}"


def _positions(count: int) -> str:
    return f"{count} more case{'s' if count > 1 else ''} (position, coil state)"


def _numbers(page: Page, finding: Finding) -> None:
    quantity = in_system(finding.quantity, page.system)
    if finding.value is None or finding.limit is None:
        page.say(quantity, first="  ", rest="    ")
        return
    value, limit = pair_text(finding.value, finding.limit, finding.unit, system=page.system)
    page.say(f"{quantity}: {value}", first="  ", rest="    ")
    page.say(f"must be {bound(finding)} {limit}{left(finding)}", first="  ", rest="    ")
    if finding.gap > 0.0:
        gap = difference_text(finding.gap, finding.unit, digits=2, system=page.system)
        page.say(f"gap: the true worst may be up to {gap} milder", first="  ", rest="    ")


def _labelled(page: Page, label: str, text: str) -> None:
    if text:
        page.say(f"{label}: {in_system(text, page.system)}", first="  ", rest="    ")


def _not_judged(page: Page, entries: tuple[Entry, ...], every: bool) -> None:
    if not entries:
        return
    page.gap()
    page.say(f"NOT JUDGED: {len(entries)}", colour="yellow")
    same: dict[tuple[str, str, str], list[Entry]] = defaultdict(list)
    for entry in entries:
        # One missing rating leaves many positions open; it is asked for once.
        same[entry.worst.check, entry.worst.reason, entry.worst.fix].append(entry)
    for (check, reason, fix), group in same.items():
        subjects = _named(entry.worst.subject for entry in group)
        page.say(f"{group[0].number} ? {check}{': ' if subjects else ''}{subjects}", rest="  ")
        said = clauses(reason.removeprefix("not judged: ").split("; "), every)
        page.say(in_system(said, page.system), first="  ", rest="    ")
        _labelled(page, "what to do", fix)


def _named(names_given: Iterable[str]) -> str:
    names = [name for name in dict.fromkeys(names_given) if name]
    rest = len(names) - SUBJECTS_NAMED
    shown = ", ".join(names[:SUBJECTS_NAMED])
    return f"{shown} and {rest} more" if rest > 0 else shown


def _assumptions(page: Page, assumptions: tuple[Assumption, ...], every: bool) -> None:
    unknown = [taken for taken in assumptions if taken.stated_unknown]
    own = [taken for taken in assumptions if taken.subject == OF_LIBRARY]
    filled = [t for t in assumptions if not t.stated_unknown and t.subject != OF_LIBRARY]
    if own:
        page.gap()
        page.say("ROWS OF YOUR OWN in place of the library's")
        _taken(page, own)
    if unknown:
        page.gap()
        page.say("TAKEN where the file says unknown")
        _taken(page, unknown)
    if filled and every:
        page.gap()
        page.say("TAKEN where the file says nothing")
        _taken(page, filled)
    elif filled:
        page.gap()
        keys = _named(taken.key for taken in filled)
        page.say(f"TAKEN from the library where the file says nothing: {len(filled)} values")
        page.say(f"{keys} (--wide lists them)", first="  ", rest="  ")


def _taken(page: Page, assumptions: Sequence[Assumption]) -> None:
    """Say each value taken and what to measure; one of many parts alike is said once."""
    alike: dict[tuple[str, str, str], list[str]] = defaultdict(list)
    for taken in assumptions:
        alike[taken.key, taken.assumed, taken.measure].append(taken.subject)
    for (key, assumed, measure), subjects in alike.items():
        value = in_system(assumed, page.system)
        page.say(f"{', '.join(subjects)}, {key}: {value}", first="- ", rest="  ")
        _labelled(page, "measure", measure)


def _passes(page: Page, entries: tuple[Entry, ...], every: bool) -> None:
    if not entries:
        return
    page.gap()
    page.say("PASSES in the worst case", colour="green")
    by_check: dict[str, list[Entry]] = defaultdict(list)
    for entry in entries:
        by_check[entry.worst.check].append(entry)
    for check, group in by_check.items():
        page.say(f"{check}: {len(group)}", first="+ ", rest="  ")
        measured = [entry for entry in group if entry.worst.margin is not None]
        listed = group if every else sorted(measured, key=lambda e: e.worst.margin or 0.0)[:1]
        for entry in listed:
            intro = "" if every else "tightest: "
            page.say(f"{intro}{_pass(entry, page.system)}", first="  ", rest="    ")
        for said, subjects in _cautions(group).items():
            page.say(f"{', '.join(subjects)}: {said}", first="! ", rest="  ", colour="yellow")


def _cautions(group: list[Entry]) -> dict[str, list[str]]:
    """Return what passes still ask of the person, with the parts for which they do."""
    found: dict[str, list[str]] = defaultdict(list)
    for entry in group:
        if entry.worst.caution:
            found[entry.worst.caution].append(entry.worst.subject)
    return found


def _pass(entry: Entry, system: str) -> str:
    finding = entry.worst
    judged = finding.value is not None and finding.margin is not None
    numbers = f": {against(finding, system)}" if judged else ""
    position = where(finding)
    quantity = in_system(finding.quantity, system)
    return f"({entry.number}) {finding.subject} {quantity}{numbers}" + (
        f"; {position}" if position else ""
    )


def _list(page: Page, title: str, items: tuple[str, ...]) -> None:
    page.gap()
    page.say(title)
    for item in items:
        page.say(item, first="- ", rest="  ")
