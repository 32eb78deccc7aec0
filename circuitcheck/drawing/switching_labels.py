"""What stands beside the lines of one diagram, so that each can be told from the others.

Lines that run together all along share one label that says so. Lines that only end together are
named where they stand apart; all others at their right ends.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from circuitcheck.drawing.switching_plot import FIRST_S, Trace
from circuitcheck.record import record
from circuitcheck.transient.waveform import FloatArray

CLOSE = 0.04
"""Share of the height of a diagram within which two lines count as one."""
POINTS = 240
EARLIEST, LATEST = 0.1, 0.7
"""Shares of the time axis between which lines are named on themselves: clear of axis and levels."""
MOST_CHARACTERS = 13


@record
class LineLabel:
    """What a line is called, and where: `time_s` None for its right end."""

    words: str
    height: float
    time_s: float | None = None


def line_labels(traces: Sequence[Trace], top: float, end_s: float) -> tuple[LineLabel, ...]:
    """Return the labels of a diagram's lines, those at the right end from the lowest up."""
    times = np.geomspace(FIRST_S, end_s, POINTS)
    groups: list[tuple[list[Trace], FloatArray]] = []
    for trace in sorted(traces, key=lambda one: float(one.values[-1])):
        values = np.interp(times, trace.times_s, trace.values)
        alike = (g for g, first in groups if np.abs(first - values).max() < CLOSE * top)
        found = next(alike, None)
        if found is None:
            groups.append(([trace], values))
        else:
            found.append(trace)
    return tuple(_placed(groups, times, top))


def _placed(
    groups: Sequence[tuple[list[Trace], FloatArray]], times: FloatArray, top: float
) -> Iterator[LineLabel]:
    is_one = len({trace.label for group, _ in groups for trace in group}) == 1
    every = len({trace.label for group, _ in groups for trace in group})
    for number, (group, values) in enumerate(groups):
        others = [line for k, (_, line) in enumerate(groups) if k != number]
        words = _of_one(group) if is_one else _names(group, every)
        if all(abs(line[-1] - values[-1]) >= CLOSE * top for line in others):
            yield LineLabel(words, float(values[-1]))
            continue
        first, last = int(EARLIEST * POINTS), int(LATEST * POINTS)
        apart = np.min([np.abs(line - values)[first:last] for line in others], axis=0)
        spot = first + int(np.argmax(apart))
        yield LineLabel(words, float(values[spot]), float(times[spot]))


def _of_one(group: Sequence[Trace]) -> str:
    if len({trace.is_dashed for trace in group}) > 1:
        return "both"
    return "hot, weak" if group[0].is_dashed else "cold, strong"


def _names(group: Sequence[Trace], every: int) -> str:
    names = sorted({trace.label for trace in group})
    if len(names) == 1:
        return names[0] if len(names[0]) <= MOST_CHARACTERS else f"{names[0][:11]}.."
    words = f"{', '.join(names)} alike"
    if len(words) <= MOST_CHARACTERS:
        return words
    return "all alike" if len(names) == every else "\n".join([*names, "alike"])
