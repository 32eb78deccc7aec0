"""One change to a harness, in words and as the harness that it makes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.wire import Wire
from circuitcheck.record import record


@record
class Change:
    """One change that a builder can make. `words` says what is new and what it was."""

    words: str
    harness: Harness


@record
class Ladder:
    """Changes of one kind, each step going further than the one before.

    `tried` names the kind in a list of what was tried, such as `a larger W4`. A step further
    helps the finding at hand at least as much; what else it does is checked on its own.
    """

    tried: str
    steps: tuple[Change, ...]


@record
class Growing:
    """Ladders each of which changes more parts than the one before, and helps at least as much."""

    ladders: tuple[Ladder, ...]


def with_wires(harness: Harness, wires: Iterable[Wire]) -> Harness:
    """Return the harness with some wires replaced by others of the same name."""
    new: Mapping[str, Wire] = {wire.name: wire for wire in wires}
    return replace(
        harness, wires={name: new.get(name, wire) for name, wire in harness.wires.items()}
    )


def with_part(harness: Harness, part: Part) -> Harness:
    """Return the harness with one part replaced by another of the same name."""
    return replace(
        harness,
        parts={name: part if name == part.name else old for name, old in harness.parts.items()},
    )


def joined(names: Iterable[str]) -> str:
    """Return names as people list them; three or more that count up as `W1 to W3`.

    >>> joined(["W1"]), joined(["W1", "W2"]), joined(["W1", "W2", "W3", "W5", "X1"])
    ('W1', 'W1 and W2', 'W1 to W3, W5 and X1')
    """
    listed = list(_runs(list(names)))
    if len(listed) < 2:
        return "".join(listed)
    return f"{', '.join(listed[:-1])} and {listed[-1]}"


SHORTEST_RUN = 3


def _runs(names: list[str]) -> Iterator[str]:
    """Yield names, those that count up in one go as the first and the last of them."""
    while names:
        count = 1
        while count < len(names) and names[count] == _next(names[count - 1]):
            count += 1
        if count < SHORTEST_RUN:
            yield from names[:count]
        else:
            yield f"{names[0]} to {names[count - 1]}"
        names = names[count:]


def _next(name: str) -> str:
    """Return the name that follows by its number, as `W10` follows `W9`; nothing for others."""
    stem = name.rstrip("0123456789")
    number = name[len(stem) :]
    return f"{stem}{int(number) + 1}" if number.isascii() and number.isdigit() else ""
