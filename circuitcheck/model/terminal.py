"""Terminals: where a wire lands on a part, written `PART.terminal`."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Terminal:
    """One place on a part where wires land.

    `name` is empty for a part that has a single terminal and is named bare in the harness file
    (supply tap, splice, ground stud, frame). A connector's terminals are `plug.1`, `receptacle.1`.
    """

    part: str
    name: str = ""

    def __str__(self) -> str:
        return f"{self.part}.{self.name}" if self.name else self.part
