"""Many verdicts in one table: a line per file with its worst finding, the worst file first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.documents.plain_text import Page
from circuitcheck.documents.quantity_text import METRIC
from circuitcheck.documents.verdict.finding_text import in_one_line
from circuitcheck.documents.verdict.ranks import RANKS, rank_of
from circuitcheck.documents.verdict.verdict import NO_FAILURE, Verdict
from circuitcheck.record import record

WRONG_INPUT = "wrong input"
BROKEN_DOWN = "broken down"
WORST_FIRST = (BROKEN_DOWN, WRONG_INPUT, FAIL, NOT_JUDGED, PASS)
SAID = {
    BROKEN_DOWN: "not judged: a fault in circuitcheck itself",
    WRONG_INPUT: "wrong input",
    FAIL: "FAIL",
    NOT_JUDGED: f"not judged in full, {NO_FAILURE}",
    PASS: NO_FAILURE,
}
_MARK = {BROKEN_DOWN: "!!", WRONG_INPUT: "!", FAIL: "FAIL", NOT_JUDGED: "?", PASS: "+"}
_COLOUR = {PASS: "green", NOT_JUDGED: "yellow"}


@record
class FileVerdict:
    """What was found of one file, as far as a table needs it.

    `word` is one of WORST_FIRST. `findings` are the failing and not judged ones in a line each,
    worst first; `danger` and `margin` place the worst of them among those of other files.
    `problems` say why a file could not be judged. `json` is its record, where it was asked for.
    """

    file: str
    word: str
    findings: tuple[str, ...] = ()
    failing: int = 0
    danger: int = len(RANKS)
    margin: float = 0.0
    problems: tuple[str, ...] = ()
    json: str = ""


def of_verdict(verdict: Verdict, *, json: str = "", system: str = METRIC) -> FileVerdict:
    """Return the line of a verdict."""
    failing, open_ones = verdict.of_result(FAIL), verdict.of_result(NOT_JUDGED)
    shown = [*failing, *open_ones]
    first = shown[0].worst if shown else None
    margin = first.margin if first is not None and failing else None
    return FileVerdict(
        verdict.harness.file,
        verdict.word,
        tuple(in_one_line(entry.worst, system) for entry in shown),
        len(failing),
        rank_of(first, verdict.harness) if first is not None else len(RANKS),
        margin if margin is not None else float("-inf"),
        json=json,
    )


def worst_word(verdicts: Iterable[FileVerdict]) -> str:
    """Return the worst word of all files."""
    return min((verdict.word for verdict in verdicts), key=WORST_FIRST.index)


def summary_text(
    verdicts: Sequence[FileVerdict],
    *,
    left_out: int = 0,
    changes: bool = False,
    width: int = 40,
    colour: bool = False,
    every: bool = False,
) -> str:
    """Return the table of all files in lines of at most `width` columns.

    `left_out` TOML files were no harness files; `changes` tells whether changes were looked for.
    With `every` each failing and not judged finding is a line of its own.
    """
    page = Page(width, colour)
    page.say(f"{len(verdicts)} file{'s' if len(verdicts) > 1 else ''}, worst first")
    for word in WORST_FIRST:
        count = sum(verdict.word == word for verdict in verdicts)
        if count:
            page.say(f"{count} {SAID[word]}", rest="  ", colour=_COLOUR.get(word, "red"))
    if left_out:
        page.say(f"{left_out} other TOML files left out: no parts or wires in them", rest="  ")
    page.gap()
    for verdict in sorted(verdicts, key=_place):
        _line(page, verdict, every)
    page.gap()
    if not changes and any(verdict.failing for verdict in verdicts):
        page.say(
            "No change that would pass was looked for: check a file alone, or all with --changes."
        )
    page.say("What no check looks at, and the cautions, stand below the verdict on a single file.")
    return page.text()


def _place(verdict: FileVerdict) -> tuple[int, int, float, str]:
    return WORST_FIRST.index(verdict.word), verdict.danger, verdict.margin, verdict.file


def _line(page: Page, verdict: FileVerdict, every: bool) -> None:
    said = [f"{_MARK[verdict.word]} {verdict.file}"]
    if verdict.findings:
        rest = len(verdict.findings) - 1
        more = f", and {rest} more" if rest and not every else ""
        said.append(f"{verdict.findings[0]}{more}" if not every else "")
    elif verdict.problems:
        said.append(f"{len(verdict.problems)} problem{'s' if len(verdict.problems) > 1 else ''}")
    colour = _COLOUR.get(verdict.word, "red")
    page.say(": ".join(part for part in said if part), rest="    ", colour=colour)
    for line in (*verdict.problems, *(verdict.findings if every else ())):
        page.say(line, first="    ", rest="      ")
