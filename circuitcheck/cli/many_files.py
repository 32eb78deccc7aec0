"""Many files judged one by one in several processes; a bad one does not stop the rest."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from circuitcheck.cli.garbage import let_garbage_lie
from circuitcheck.documents.quantity_text import METRIC
from circuitcheck.documents.verdict.summary import BROKEN_DOWN, WRONG_INPUT, FileVerdict
from circuitcheck.errors import CircuitcheckError, InputError
from circuitcheck.record import record

if TYPE_CHECKING:
    from circuitcheck.model.library import Library

FEWEST_PER_PROCESS = 4
"""Starting a process costs as much as judging a few files."""
PER_TURN = 8
"""Files that a process takes at a time."""


@record
class Order:
    """What is asked of each file: rows of the user's own, changes looked for, JSON or units."""

    rows: Path | None = None
    changes: bool = False
    as_json: bool = False
    system: str = METRIC


def usual_jobs() -> int:
    """Return how many processors this process may use."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not on every system
        return os.cpu_count() or 1


def judge_all(files: Sequence[Path], order: Order, jobs: int) -> Iterator[FileVerdict]:
    """Yield the verdict on each file in the order of `files`, judged by up to `jobs` processes."""
    jobs = min(jobs, max(1, len(files) // FEWEST_PER_PROCESS))
    if jobs == 1:
        yield from (judge_one(file, order) for file in files)
        return
    turns = [files[at : at + PER_TURN] for at in range(0, len(files), PER_TURN)]
    with _processes(jobs) as processes:
        waiting = [processes.submit(_judge_turn, turn, order) for turn in turns]
        for turn, future in zip(turns, waiting, strict=True):
            yield from _results(turn, future)


@contextmanager
def _processes(jobs: int) -> Iterator[ProcessPoolExecutor]:
    """Processes that start afresh, as they do on every system, and end with this one."""
    from multiprocessing import get_context

    processes = ProcessPoolExecutor(jobs, get_context("spawn"), _leave_the_keyboard_alone)
    try:
        yield processes
    finally:
        processes.shutdown(wait=True, cancel_futures=True)


def _leave_the_keyboard_alone() -> None:
    """Let a stop from the keyboard reach the first process only, which then ends the others."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    let_garbage_lie()


def _results(turn: Sequence[Path], future: Future[list[FileVerdict]]) -> Iterator[FileVerdict]:
    try:
        yield from future.result()
    except BrokenProcessPool:
        said = "the process that judged it has ended: no memory left, or stopped from outside"
        yield from (FileVerdict(str(file), BROKEN_DOWN, problems=(said,)) for file in turn)


def _judge_turn(files: Sequence[Path], order: Order) -> list[FileVerdict]:
    return [judge_one(file, order) for file in files]


def judge_one(file: Path, order: Order) -> FileVerdict:
    """Return the verdict on one file, whatever is wrong with it."""
    try:
        return _judged(file, order)
    except InputError as error:
        problems = tuple(str(problem) for problem in error.problems)
    except CircuitcheckError as error:
        problems = (str(error),)
    except OSError as error:
        problems = (f"{error.filename or file}: {error.strerror or error}",)
    except Exception as error:
        if sys.flags.dev_mode:
            raise
        said = f"{type(error).__name__}: {error}"
        return _without_verdict(file, BROKEN_DOWN, (said,), order)
    return _without_verdict(file, WRONG_INPUT, problems, order)


def _without_verdict(file: Path, word: str, problems: tuple[str, ...], order: Order) -> FileVerdict:
    import json

    record = {"format": 1, "verdict": word, "file": str(file), "problems": problems}
    text = json.dumps(record, indent=1) if order.as_json else ""
    return FileVerdict(str(file), word, problems=problems, json=text)


def _judged(file: Path, order: Order) -> FileVerdict:
    from circuitcheck import check_file
    from circuitcheck.documents.verdict.summary import of_verdict

    # No line of a table tells how far a bound may stand off; a JSON record does.
    library, gaps = _library(order.rows), order.as_json
    verdict = check_file(file, library, changes=order.changes, gaps=gaps)
    if not order.as_json:
        return of_verdict(verdict, system=order.system)
    from circuitcheck.documents.verdict.verdict_json import verdict_json

    return of_verdict(verdict, json=verdict_json(verdict))


@cache
def _library(rows: Path | None) -> Library:
    """Return the library, with the rows of the user's own; read once in each process."""
    from circuitcheck.cli.library_option import library_with

    return library_with(rows)
