"""Which files a list of paths means: files as they are named, and the harness files of folders."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from circuitcheck.errors import InputError, Problem
from circuitcheck.record import record

_TABLE_HEAD = re.compile(rb"^[ \t]*\[[ \t]*(?:part|wire)[ \t]*\.", re.MULTILINE)
_HEAD_WITHIN = 1_000_000
"""Bytes of a file that are looked at to see whether it describes a harness."""


@record
class HarnessFiles:
    """Files to judge, in order, and how many other TOML files the folders hold."""

    files: tuple[Path, ...]
    left_out: int


def harness_files(paths: Sequence[Path]) -> HarnessFiles:
    """Return the files that `paths` mean: a folder stands for all harness files below it.

    In a folder a TOML file counts that has a table of a part or wire; hidden folders are passed
    over. A file named itself always counts. Raises InputError where a folder holds none.
    """
    found: dict[str, Path] = {}
    left_out = 0
    for path in paths:
        if not path.is_dir():
            found.setdefault(os.path.realpath(path), path)
            continue
        below = list(_toml_files(path))
        harnesses = [file for file in below if _describes_a_harness(file)]
        if not harnesses:
            raise InputError([_nothing_in(path)])
        left_out += len(below) - len(harnesses)
        for file in harnesses:
            found.setdefault(os.path.realpath(file), file)
    return HarnessFiles(tuple(found.values()), left_out)


def _toml_files(folder: Path) -> Iterator[Path]:
    for here, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(files):
            file = Path(here, name)
            if name.endswith(".toml") and not name.startswith(".") and file.is_file():
                yield file


def _describes_a_harness(file: Path) -> bool:
    """Return whether a file looks like one; what cannot be read is left to the reader to refuse."""
    try:
        with file.open("rb") as stream:
            return _TABLE_HEAD.search(stream.read(_HEAD_WITHIN)) is not None
    except OSError:
        return True


def _nothing_in(folder: Path) -> Problem:
    from circuitcheck.read.forms.printable import printable

    shown = printable(str(folder), most=200)
    return Problem(
        shown,
        "",
        "no harness file in this folder",
        "A harness file ends in .toml and has tables of parts and wires: circuitcheck new "
        f"{shown}/my_circuit.toml writes one.",
    )
