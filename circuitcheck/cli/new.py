"""`circuitcheck new FILE`: write a commented harness file to fill in."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.errors import InputError, Problem
from circuitcheck.read.fill_in import fill_in_text
from circuitcheck.read.forms.printable import printable


def write_fill_in(path: Path) -> None:
    """Create `path` with the file to fill in. Raises InputError where the name is taken.

    The file is created exclusively: what is there, also a link, is never overwritten.
    """
    try:
        with path.open("x", encoding="utf-8", newline="\n") as stream:
            stream.write(fill_in_text())
    except FileExistsError:
        raise _refusal(
            path, "the name is taken; nothing was written", "Choose another name."
        ) from None
    except FileNotFoundError:
        raise _refusal(path, "there is no such folder", "Create it first.") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "no name for a file"
        raise _refusal(path, f"it cannot be written: {reason}", "Choose another place.") from None


def _refusal(path: Path, wrong: str, right: str) -> InputError:
    return InputError([Problem(printable(str(path), most=200), "", wrong, right)])


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
def new(file: Path) -> None:
    """Write a commented harness file to FILE, to fill in.

    It describes a tap, a fuse, a handle with two buttons, a connector, a ground stud and two
    coils, with "unknown" wherever you have to look at the machine. It never overwrites a file.
    """
    write_fill_in(file)
    shown = printable(str(file), most=200)
    click.echo(f"{shown} is written. Fill it in, then: circuitcheck check {shown}")
