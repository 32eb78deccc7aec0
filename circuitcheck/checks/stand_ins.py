"""What is assumed where the file does not know, of parts and along a way through the circuit.

Shared ground of the checks; it judges nothing itself.
"""

from __future__ import annotations

from collections.abc import Iterable

from circuitcheck.checks.check import Case
from circuitcheck.circuit.netlist import Branch, CurveBranch
from circuitcheck.model.supply_tap import SupplyTap

KEY_CONTACT = "upstream.key_contact"
RESISTANCE_KEYS = {
    "wire": ("gauge", "length", "crimp_resistance"),
    "upstream wire": ("gauge", "length"),
    "key contact": ("key_contact",),
    "fuse": ("element_resistance", "clip_resistance"),
    "upstream fuse": ("fuse", "clip_resistance"),
    "contact": ("contact", "contact_resistance"),
    "switch contact": ("contact_resistance",),
    "bond": ("bond", "resistance"),
    "relay contact": ("make_resistance", "break_resistance"),
    "suppressor": ("suppression.resistance",),
    "line resistor": ("resistance",),
    "diode": ("type", "forward"),
}
"""What the resistance of a branch hangs on in the harness file, by role."""


def unknown_upstream(case: Case, branches: Iterable[Branch | CurveBranch]) -> tuple[str, ...]:
    """Return what is not known of the taps on the way, so that the drop ahead of them may be more.

    Each entry ends with what would settle it.
    """
    gaps = []
    for name in dict.fromkeys(branch.owner for branch in branches):
        part = case.harness.parts.get(name)
        if not isinstance(part, SupplyTap):
            continue
        if part.upstream.conductor is None:
            gaps.append(
                f"the size of the machine's wire to tap {name} is not known: read its print or "
                f"measure the voltage from the battery post to {name} with the load on"
            )
        if part.upstream.present_load_a is None:
            gaps.append(
                f"the present load of tap {name} is not known: measure its current with all of "
                "its consumers on"
            )
    return tuple(gaps)


def stand_ins(case: Case, branches: Iterable[Branch | CurveBranch]) -> tuple[str, ...]:
    """Return in words what stands in for values on the way: said unknown, or the key contact."""
    asked = {(branch.owner, key) for branch in branches for key in RESISTANCE_KEYS[branch.role]}
    return tuple(
        f"{item.subject} {item.key} taken as {item.assumed}"
        for item in case.harness.assumptions
        if (item.subject, item.key.rpartition(".")[2]) in asked
        and (item.stated_unknown or item.key == KEY_CONTACT)
    )


def assumed(case: Case, subject: str, *keys: str) -> tuple[str, ...]:
    """Return in words what was assumed of a part or wire under these keys; any, if none given."""
    return tuple(
        f"{item.subject} {item.key} not given, taken as {item.assumed}; settle it: {item.measure}"
        for item in case.harness.assumptions
        if item.subject == subject and (not keys or item.key in keys)
    )


def said_unknown(case: Case, subject: str, key: str) -> bool:
    """Return whether the file says `unknown` for a key, so that any value is a stand-in."""
    return any(
        item.stated_unknown and item.subject == subject and item.key == key
        for item in case.harness.assumptions
    )


def is_stand_in(case: Case, subject: str, *keys: str) -> bool:
    """Return whether the library stands in for one of these values of a part."""
    return any(item.subject == subject and item.key in keys for item in case.harness.assumptions)
