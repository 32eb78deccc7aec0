"""The one list of checks, in the order in which a report names them."""

from __future__ import annotations

from circuitcheck.checks import (
    fuse_breaking_capacity,
    fuse_continuous_load,
    fuse_near_source,
    fuse_protects_wire,
    inrush,
    short_cleared,
    tap_capacity,
    tap_kind,
    tap_selectivity,
    wire_ampacity,
    wiring_complete,
)
from circuitcheck.checks.check import Check

CHECKS: tuple[Check, ...] = (
    wiring_complete.CHECK,
    tap_kind.CHECK,
    fuse_continuous_load.CHECK,
    fuse_protects_wire.CHECK,
    short_cleared.CHECK,
    fuse_breaking_capacity.CHECK,
    fuse_near_source.CHECK,
    wire_ampacity.CHECK,
    inrush.CHECK,
    tap_capacity.CHECK,
    tap_selectivity.CHECK,
)
