"""The tables of the library by name, and how rows of a user's own join them."""

from __future__ import annotations

from collections.abc import Iterable

from circuitcheck.model.library_rows import AmpacityRow, Row

FIELD_OF = {
    "conductors": "conductors",
    "insulation": "insulations",
    "ampacity": "ampacities",
    "engine_space_factor": "engine_space_factors",
    "bundle_factor": "bundle_factors",
    "fuses": "fuses",
    "fuse_opening_times": "fuse_opening_bands",
    "fuse_rerating": "fuse_rerating",
    "contacts": "contacts",
    "coils": "coils",
    "batteries": "batteries",
    "supply": "supplies",
    "limits": "limits",
    "relays": "relays",
    "pull_hold_coils": "pull_hold_coils",
    "converters": "converters",
    "switches": "switches",
    "contact_ratings": "contact_ratings",
    "lamps": "lamps",
    "leds": "leds",
    "diodes": "diodes",
    "suppressors": "suppressors",
    "sockets": "sockets",
    "materials": "materials",
    "frame_bonds": "frame_bonds",
    "plating_pairs": "plating_pairs",
    "instruments": "instruments",
    "fault_priors": "fault_priors",
    "efforts": "efforts",
    "outside_diameters": "outside_diameters",
    "wire_ends": "wire_ends",
}
"""Field of Library by table; `socket_cavities` hang on their socket."""


def row_key(row: Row) -> tuple[str, float | None]:
    """Return what a row is told by within its table: its name; of an ampacity the class too."""
    return row.name, row.temperature_c if isinstance(row, AmpacityRow) else None


def merge(rows: Iterable[Row], own: Iterable[Row]) -> tuple[tuple[Row, ...], tuple[str, ...]]:
    """Return a table with a user's rows, and the names of those that stand in for another row."""
    merged = {row_key(row): row for row in rows}
    replaced = [row.name for row in own if merged.get(row_key(row), row) != row]
    merged.update((row_key(row), row) for row in own)
    return tuple(merged.values()), tuple(replaced)
