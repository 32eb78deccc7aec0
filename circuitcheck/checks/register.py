"""The one list of checks, in the order in which a report names them."""

from __future__ import annotations

from circuitcheck.checks.check import Check

CHECKS: tuple[Check, ...] = ()
