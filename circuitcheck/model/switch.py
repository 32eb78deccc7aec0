"""Switches: a handle with several contacts, a plain switch or isolator with one."""

from __future__ import annotations

from typing import ClassVar

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record


@record
class SwitchContact:
    """One contact of a switch: the button that works it and the two terminals it joins.

    `action` is `momentary` or `maintained`. `normally_closed` is True for a contact that opens
    when its button is worked.
    """

    button: str
    action: str
    terminals: tuple[str, str]
    normally_closed: bool = False


@record
class Interlock:
    """Keeps buttons from being on together: `none`, `mechanical` or `electrical`.

    A habit is no interlock: with `none`, every combination is a switch position.
    """

    kind: str
    between: tuple[str, ...]


CARRYING = "carrying"
LOADS = ("DC inductive", "DC resistive", "lamp", "motor", "AC", CARRYING)
"""Kinds of load that a contact's rating may be given for; `carrying` is no breaking at all."""


@record
class SwitchRating:
    """A rating counts only for the voltage, and the kind of load, that it is given for.

    `load` is one of LOADS; `ambient_c` the air it holds in, None where not said. A contact
    carries at any voltage: `voltage_v` is then infinite.
    """

    current_a: float
    voltage_v: float
    load: str
    ambient_c: float | None = None


@record
class SwitchHandle:
    """A handle with several buttons, or (kind `switch`, `isolator`) a plain switch with one.

    `least_current_a` is what the contacts need to stay clean, None where not known.
    """

    name: str
    zone: str
    contacts: tuple[SwitchContact, ...]
    interlocks: tuple[Interlock, ...]
    ratings: tuple[SwitchRating, ...]
    contact_ohm: Band
    kind: str = "switch handle"
    least_current_a: float | None = None

    KINDS: ClassVar[tuple[str, ...]] = ("switch handle", "switch", "isolator")

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names of the part, in the order the contacts name them."""
        return tuple(dict.fromkeys(t for contact in self.contacts for t in contact.terminals))

    @property
    def buttons(self) -> tuple[str, ...]:
        """Buttons in the order of the contacts, each once."""
        return tuple(dict.fromkeys(contact.button for contact in self.contacts))

    def wires_allowed(self, terminal: str) -> int | None:
        """Return how many wires a terminal takes; None where there is no fixed number."""
        return 1
