"""Relays and contactors: a coil that works contacts of its own."""

from __future__ import annotations

from typing import ClassVar

from circuitcheck.model.solenoid_coil import Suppression
from circuitcheck.model.switch import SwitchRating
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

CONTACT_SETS = ("make", "break", "changeover")


@record
class RelayContact:
    """One side of a relay's contact set.

    `side` is `make` (closed while the relay is operated) or `break` (closed at rest); `terminals`
    are the two it joins, the common one first. `making_limit_a` is the highest inrush it may
    close on; None where not known.
    """

    side: str
    terminals: tuple[str, str]
    resistance_ohm: Band
    ratings: tuple[SwitchRating, ...]
    making_limit_a: float | None

    def closed(self, operated: bool) -> bool:
        """Return whether it is closed with the relay operated or at rest."""
        return operated == (self.side == "make")


@record
class Relay:
    """A plug-in relay (kind `relay`, DIN 72552 numbers) or a contactor (kind `contactor`).

    `resistance_20c_ohm` is the winding alone at 20 degC. At or above `pull_in_v` every relay of
    the type operates, below `drop_out_v` every one has released, both with the winding at
    `coil_at_c`; at most `highest_v` may stand on the coil. All three are None where not known.
    `temperature_limit_c` is the hottest the winding may get. `contacts` is one of CONTACT_SETS; a
    side that it has not, has no resistance. `suppression` sits inside, across the coil terminals.
    `plus` is the coil terminal that must be positive, None where either may be. A contactor
    grounded through its body has no A2: `body_frame` names the frame that `body_ohm` leads to.
    From voltage on its coil to contacts moved it takes `operate_s`, back again `release_s`.
    """

    name: str
    zone: str
    kind: str
    rated_v: float
    resistance_20c_ohm: Band
    pull_in_v: float | None
    drop_out_v: float | None
    highest_v: float | None
    coil_at_c: float
    temperature_limit_c: float | None
    thermal_resistance_k_per_w: Band | None
    contacts: str
    make_ohm: Band | None
    break_ohm: Band | None
    ratings: tuple[SwitchRating, ...]
    break_ratings: tuple[SwitchRating, ...]
    making_limit_a: float | None
    break_making_limit_a: float | None
    least_current_a: float | None
    suppression: Suppression
    plus: str | None
    body_frame: str | None = None
    body_ohm: Band | None = None
    operate_s: Band | None = None
    release_s: Band | None = None

    KINDS: ClassVar[tuple[str, ...]] = ("relay", "contactor")

    @property
    def coil_terminals(self) -> tuple[str, str]:
        """The two ends of the coil, the usual positive one first; also where one is its body."""
        return ("86", "85") if self.kind == "relay" else ("A1", "A2")

    @property
    def contact_sides(self) -> tuple[RelayContact, ...]:
        """The contacts it has: make, break or both."""
        common, make, rest = ("30", "87", "87a") if self.kind == "relay" else ("1", "2", "2")
        sides = []
        if self.contacts in ("make", "changeover") and self.make_ohm is not None:
            sides.append(
                RelayContact(
                    "make", (common, make), self.make_ohm, self.ratings, self.making_limit_a
                )
            )
        if self.contacts in ("break", "changeover") and self.break_ohm is not None:
            sides.append(
                RelayContact(
                    "break",
                    (common, rest),
                    self.break_ohm,
                    self.break_ratings,
                    self.break_making_limit_a,
                )
            )
        return tuple(sides)

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names of the part: coil, then contacts."""
        coil = tuple(sorted(self.coil_terminals))
        if self.body_frame is not None:
            coil = coil[:1]
        contacts = (terminal for side in self.contact_sides for terminal in side.terminals)
        return (*coil, *dict.fromkeys(contacts))

    def wires_allowed(self, terminal: str) -> int | None:
        """Return how many wires a terminal takes; None where there is no fixed number."""
        return 1
