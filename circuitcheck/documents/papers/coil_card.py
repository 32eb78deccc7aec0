"""The card that stays in the machine: what each coil moves, how it is wired, cautions."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.documents.cautions import CAUTIONS
from circuitcheck.documents.papers.listing import Cell, Column, Listing
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.harness import Harness
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.supply_tap import SupplyTap

COLUMNS = (
    Column("coil", "coil"),
    Column("moves", "moves"),
    Column("valve", "valve"),
    Column("port", "port"),
    Column("hazard", "hazard"),
    Column("voltage", "voltage"),
    Column("wires", "wires"),
    Column("plus", "plus on"),
    Column("suppression", "suppression"),
    Column("zone", "zone"),
)
STAYS = "This card stays in the machine."
NOT_FILLED = "......................"


def coil_card(harness: Harness) -> Listing:
    """Return the card: one row a coil, then supply, fuses, revision and cautions as notes."""
    rows = tuple(
        _row(harness, part)
        for part in harness.parts.values()
        if isinstance(part, SolenoidCoil | PullHoldCoil)
    )
    notes = (*_facts(harness), STAYS, *CAUTIONS)
    return Listing(f"{harness.circuit}: what each coil moves", COLUMNS, rows, notes, table=4)


def _row(harness: Harness, coil: SolenoidCoil | PullHoldCoil) -> tuple[Cell, ...]:
    moves = coil.moves
    wires = [
        f"{end.name} {wire.name} {'/'.join(wire.colour)}".rstrip()
        for terminal in coil.terminals
        for wire in harness.wires.values()
        for end in (wire.start, wire.end)
        if (end.part, end.name) == (coil.name, terminal)
    ]
    hazards = [moves.hazard]
    if moves.hazard_if_lost is not None:
        hazards.append(f"if it lets go: {moves.hazard_if_lost}")
    return (
        coil.name,
        moves.movement or NOT_FILLED,
        moves.valve or NOT_FILLED,
        moves.port,
        "; ".join(hazards),
        f"{coil.rated_v:g} V",
        ", ".join(wires),
        coil.plus or "either",
        coil.suppression.kind,
        coil.zone,
    )


def _facts(harness: Harness) -> Iterator[str]:
    """Yield who revised it and when, where it is fed from, and its fuses."""
    yield f"Revision: {harness.revision or NOT_FILLED}"
    yield f"Date: {harness.date or NOT_FILLED}"
    yield f"Revised by: {harness.author or NOT_FILLED}"
    for tap in harness.of_kind(SupplyTap):
        up = tap.upstream
        behind = f" behind a {up.fuse.rating_a:g} A fuse" if up.fuse else ""
        live = {"on": "live with the key on", "always": "always live"}.get(up.key, "key not known")
        yield f"Fed at {tap.name} ({tap.zone}) from {up.source}{behind}, {live}."
    for fuse in harness.of_kind(Fuse):
        yield (
            f"Fuse {fuse.name} ({fuse.zone}): {fuse.row.rating_a:g} A {fuse.row.style}. "
            "Never a larger one."
        )
