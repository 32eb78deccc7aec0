"""One change to a harness, in words and as the harness that it makes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.wire import Wire


@dataclass(frozen=True)
class Change:
    """One change that a builder can make. `words` says what is new and what it was."""

    words: str
    harness: Harness


@dataclass(frozen=True)
class Ladder:
    """Changes of one kind, each step going further than the one before.

    `tried` names the kind in a list of what was tried, such as `a larger W4`. A step further
    helps the finding at hand at least as much; what else it does is checked on its own.
    """

    tried: str
    steps: tuple[Change, ...]


@dataclass(frozen=True)
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
    """Return names as people list them.

    >>> joined(["W1"]), joined(["W1", "W2", "W3"])
    ('W1', 'W1, W2 and W3')
    """
    listed = list(names)
    if len(listed) < 2:
        return "".join(listed)
    return f"{', '.join(listed[:-1])} and {listed[-1]}"
