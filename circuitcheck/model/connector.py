"""Connector: a plug half and a receptacle half with numbered cavities."""

from __future__ import annotations

from typing import ClassVar

from circuitcheck.model.library import ContactRow
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

HALVES = ("plug", "receptacle")


@record
class Connector:
    """plug.n meets receptacle.n inside the part when it is mated.

    `double_crimps` names the cavities (e.g. `plug.1`) declared to take two wires in one contact.
    `contact` is None where the file says that the contact family is unknown. `plating` is that of
    plug and receptacle, None where neither file nor family says. `socket` names the plan of a
    trailer socket, a library row such as `ISO 1724`, and `functions` what that plan has each
    cavity for, from cavity 1 on; empty without a socket. `rows` is how many rows of cavities its
    face has, None where the file does not say.
    """

    kind: ClassVar[str] = "connector"
    name: str
    zone: str
    cavities: int
    contact: ContactRow | None
    contact_ohm: Band
    double_crimps: tuple[str, ...] = ()
    plating: tuple[str, str] | None = None
    socket: str | None = None
    functions: tuple[str, ...] = ()
    rows: int | None = None

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names of the part."""
        return tuple(f"{half}.{n}" for half in HALVES for n in range(1, self.cavities + 1))

    def function(self, cavity: int) -> str:
        """Return what the plan of its socket has a cavity for; empty where there is no plan."""
        return self.functions[cavity - 1] if self.functions else ""

    def wires_allowed(self, terminal: str) -> int | None:
        """Return how many wires a cavity takes: one, or two where a double crimp is declared."""
        return 2 if terminal in self.double_crimps else 1
