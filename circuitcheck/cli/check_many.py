"""`circuitcheck check` on many files: progress on a terminal, then one table or one JSON list."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

import click

from circuitcheck.cli.exit_codes import OF_VERDICT
from circuitcheck.cli.harness_files import harness_files
from circuitcheck.cli.many_files import Order, judge_all, usual_jobs
from circuitcheck.cli.output import terminal_width
from circuitcheck.documents.verdict.summary import FileVerdict, summary_text, worst_word


def check_many(
    paths: Sequence[Path], order: Order, jobs: int | None, *, every: bool, colour: bool
) -> int:
    """Judge all files that `paths` mean, print what was found and return the exit code."""
    found = harness_files(paths)
    judging = judge_all(found.files, order, jobs or usual_jobs())
    shown = _with_progress(judging, len(found.files))
    verdicts = _printed_as_json(shown) if order.as_json else list(shown)
    if not order.as_json:
        text = summary_text(
            verdicts,
            left_out=found.left_out,
            changes=order.changes,
            width=terminal_width(),
            colour=colour,
            every=every,
        )
        click.echo(text, nl=False, color=colour)
    return OF_VERDICT[worst_word(verdicts)]


def _printed_as_json(verdicts: Iterable[FileVerdict]) -> list[FileVerdict]:
    """Print a list of records, each as soon as it is there; return the verdicts without them."""
    from dataclasses import replace

    kept: list[FileVerdict] = []
    for verdict in verdicts:
        click.echo(",\n" if kept else "[\n", nl=False)
        click.echo(verdict.json, nl=False)
        kept.append(replace(verdict, json=""))
    click.echo("\n]")
    return kept


def _with_progress(verdicts: Iterable[FileVerdict], count: int) -> Iterator[FileVerdict]:
    """Pass verdicts on and count them on a terminal, in a line that is wiped out at the end."""
    if not sys.stderr.isatty():
        yield from verdicts
        return
    said = ""
    try:
        for number, verdict in enumerate(verdicts, start=1):
            said = f"{number} of {count} files"
            click.echo(f"\r{said}", nl=False, err=True)
            yield verdict
    finally:
        click.echo(f"\r{' ' * len(said)}\r", nl=False, err=True)
