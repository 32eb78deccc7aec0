"""Where results go: the terminal as wide as it is, or a file that is whole or not there."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path

from circuitcheck.documents.plain_text import NARROWEST, WIDEST


def terminal_width() -> int:
    """Return the columns to write in: those of the terminal, at most 80; 80 into a pipe."""
    given = os.environ.get("COLUMNS", "")
    if given.isascii() and given.isdigit():
        return max(NARROWEST, min(WIDEST, int(given)))
    for stream in (sys.__stdout__, sys.__stderr__):
        try:
            if stream is not None:
                columns = os.get_terminal_size(stream.fileno()).columns
                return max(NARROWEST, min(WIDEST, columns or WIDEST))
        except (OSError, ValueError):
            continue
    return WIDEST


def colour_wanted(no_colour: bool) -> bool:
    """Return whether to colour: only on a terminal, and never against the reader's wish."""
    return not no_colour and not os.environ.get("NO_COLOR") and sys.stdout.isatty()


def write_whole(path: Path, write: Callable[[Path], None]) -> None:
    """Let `write` fill a file beside `path` and put it in place only when it is complete."""
    import tempfile

    number, name = tempfile.mkstemp(
        prefix=f".{path.stem[:40]}-", suffix=path.suffix, dir=path.parent
    )
    os.close(number)
    beside = Path(name)
    try:
        write(beside)
        umask = os.umask(0)
        os.umask(umask)
        beside.chmod(0o666 & ~umask)
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)
