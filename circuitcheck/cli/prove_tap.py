"""`circuitcheck prove-tap`: may this tap be used, from readings at it, before anything is built."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from circuitcheck.cli.exit_codes import OF_VERDICT
from circuitcheck.cli.library_option import library_option, library_with
from circuitcheck.cli.output import terminal_width
from circuitcheck.cli.units_option import units_option

if TYPE_CHECKING:
    from circuitcheck.model.library import Library
    from circuitcheck.model.tap_readings import TapReadings
    from circuitcheck.read.forms.fields import Field


BACK = "back"
NEEDED = "This one is needed."
PREFIX = "field_"
"""Before a field's key in the parameters of the command, where `system` is that of the units."""


class FieldOptions(click.Command):
    """A command with one more option for each field of a tap's readings, made when asked for."""

    def get_params(self, ctx: click.Context) -> list[click.Parameter]:
        """Return the parameters written here, then one per field."""
        from circuitcheck.read.readings.tap_fields import FIELDS, question

        options: list[click.Parameter] = [
            click.Option(
                [f"--{field.key.replace('_', '-')}", f"{PREFIX}{field.key}"],
                metavar="TEXT",
                help=f"{question(field)}."
                + (f" Left out: {field.left_out}." if field.left_out else ""),
            )
            for field in FIELDS
        ]
        own = super().get_params(ctx)
        return [*own[:-1], *options, own[-1]]


@click.command("prove-tap", cls=FieldOptions)
@click.argument("file", required=False, type=click.Path(path_type=Path))
@library_option
@units_option
@click.option("--json", "as_json", is_flag=True, help="Print the proof as JSON.")
@click.pass_context
def prove_tap(
    ctx: click.Context,
    /,
    *,
    file: Path | None,
    rows: Path | None,
    system: str,
    as_json: bool,
    **given: Any,
) -> None:
    """Say whether a tap may be used, from readings at it, before any harness file exists.

    Give the readings in FILE, a small TOML file with the names of the options as keys, or as
    options, or neither: then they are asked for one by one. What you did not measure, leave out.

    The source resistance comes from two readings of one meter on one range, without and with a
    known load; the spare capacity from fuse, wire and key contact less the present load. It ends
    with the lines for the harness file.

    Exit codes: 1 the tap must not be used; else 3 something is not proved, or it may be used only
    on a condition; else 0. 2 wrong input.
    """
    from circuitcheck.documents.tap_text import VERDICTS, tap_json, tap_text
    from circuitcheck.readings.tap_proving import prove_tap as prove

    library = library_with(rows)
    answers = {key.removeprefix(PREFIX): value for key, value in given.items() if value is not None}
    proof = prove(_readings(file, answers, library), library)
    if as_json:
        click.echo(tap_json(proof))
    else:
        click.echo(tap_text(proof, width=terminal_width(), system=system), nl=False)
    ctx.exit(OF_VERDICT[VERDICTS[proof.verdict]])


def _readings(file: Path | None, answers: dict[str, str], library: Library) -> TapReadings:
    from circuitcheck.read.readings.tap_file import read_tap_answers, read_tap_file

    if file is not None:
        return read_tap_file(file, library, answers)
    if not answers:
        answers = asked(library, click.prompt)
    return read_tap_answers(answers, library)


def asked(library: Library, prompt: Callable[..., Any]) -> dict[str, str]:
    """Ask for every reading in the order in which they are taken; an empty answer leaves it out.

    A circuit that never may be tapped is not measured any further.
    """
    from circuitcheck.documents.tap_text import BEFORE
    from circuitcheck.read.readings.tap_fields import FIELDS, is_asked
    from circuitcheck.read.readings.tap_file import is_never_tapped

    _say(f"Press Enter for what you have not measured; `{BACK}` takes the last answer back.")
    cautions = dict(zip(("open", "load", "cranking"), BEFORE, strict=False))
    answers: dict[str, str] = {}
    passed: list[int] = []
    n = 0
    while n < len(FIELDS):
        field = FIELDS[n]
        if not is_asked(field.key, answers):
            n += 1
            continue
        click.echo(err=True)
        if field.key in cautions:
            _say(cautions[field.key], first="! ", rest="  ")
        written = _answer(field, answers, library, prompt)
        if written == BACK:
            n = passed.pop() if passed else n
            answers.pop(FIELDS[n].key, None)
            continue
        passed.append(n)
        n += 1
        if written:
            answers[field.key] = written
        if field.key in ("feeds", "fuse") and is_never_tapped(answers, library):
            break
    return answers


def _answer(
    field: Field, answers: dict[str, str], library: Library, prompt: Callable[..., Any]
) -> str:
    """Ask for one reading until the answer can be read; empty where there is none."""
    from circuitcheck.read.readings.tap_fields import question
    from circuitcheck.read.readings.tap_file import problem_of

    while True:
        _say(question(field))
        written = str(prompt(field.key, default="", show_default=False, err=True)).strip()
        if written == BACK or (not written and not field.required):
            return written
        wrong = problem_of(field.key, written, library, answers) if written else NEEDED
        if not wrong:
            return written
        _say(wrong)


def _say(text: str, *, first: str = "", rest: str = "") -> None:
    from circuitcheck.documents.plain_text import wrapped

    click.echo("\n".join(wrapped(text, terminal_width(), first=first, rest=rest)), err=True)
