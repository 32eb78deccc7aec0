"""Plating of mated contacts, and seals where it is wet.

Finds       two platings that eat each other, in the dry or as soon as water gets in; a contact
            without a seal in a wet zone
Source      anodic-index: difference of the two indexes, at most 0.25 V in a dry and 0.15 V in a
            wet place; table plating_pairs. A seal in a wet zone is common practice, no source.
Formula     none: the pair is looked up, dry or wet by its zone
Worst case  a zone marked wet counts as wet all year round
Not covered wear through a plating; gas, salt and slurry beyond plain water; a seal that is torn
Result      one finding on the plating and one on the seal of each connector; a trailer socket has
            a lid instead of a seal
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding
from circuitcheck.errors import LibraryError
from circuitcheck.model.connector import Connector

NAME = "plating and wet zone"
WHY = "Two metals and water are a battery: the contact corrodes and its resistance rises."
SAME = "plating of the two halves"
SEAL = "seal of the contacts"
ASK_PLATING = (
    "the plating is not known: gold is yellow, tin is grey and dull, silver is white or black; "
    "compare both halves"
)
ASK_SEAL = "it is not known whether the contacts are sealed: look for a rubber seal on each wire"
UNSEALED = "Water creeps into it, and what it leaves behind conducts and corrodes."
SOCKET = "A trailer socket: its lid sheds water. Clean and grease its contacts every season."
SOURCES = ("anodic-index", "common-practice")


def judge(case: Case) -> list[Finding]:
    """Return the findings on each connector."""
    return [
        finding
        for part in case.harness.of_kind(Connector)
        for finding in (_plating(case, part), *_seal(case, part))
    ]


def _plating(case: Case, part: Connector) -> Finding:
    is_wet = case.harness.zone_of(part.zone).wet
    zone = f"zone {part.zone}, {'wet' if is_wet else 'dry'}"
    if part.plating is None:
        return _finding(part, NOT_JUDGED, SAME, ASK_PLATING, zone)
    first, second = part.plating
    said = f"{first} on {second}"
    if first == second:
        return _finding(part, PASS, SAME, f"Both halves alike. {WHY}", said, zone)
    try:
        pair = case.library.plating_pair(first, second)
    except LibraryError as error:
        return _finding(part, NOT_JUDGED, SAME, f"{error}", said, zone)
    words = (said, f"indexes {pair.difference_v:g} V apart", zone)
    if pair.wet if is_wet else pair.dry:
        return _finding(part, PASS, SAME, WHY, *words)
    return _finding(part, FAIL, SAME, f"{WHY} Use halves of one plating.", *words)


def _seal(case: Case, part: Connector) -> Iterator[Finding]:
    """Yield the finding on a connector that lies in a wet zone."""
    if not case.harness.zone_of(part.zone).wet:
        return
    words = (f"contact {part.contact.name if part.contact else 'not known'}", f"zone {part.zone}")
    if part.socket is not None:
        yield _finding(part, PASS, SEAL, SOCKET, f"socket {part.socket}", *words)
    elif part.contact is None or part.contact.sealed is None:
        yield _finding(part, NOT_JUDGED, SEAL, ASK_SEAL, *words)
    elif part.contact.sealed:
        yield _finding(part, PASS, SEAL, "Sealed, in a wet zone.", *words)
    else:
        yield _finding(part, FAIL, SEAL, f"{UNSEALED} Use a sealed family.", *words)


def _finding(part: Connector, result: str, quantity: str, reason: str, *words: str) -> Finding:
    return Finding(NAME, part.name, result, quantity, reason, conditions=words, sources=SOURCES)


CHECK = Check(
    name=NAME,
    judges="plating of each mated pair, and a seal on each contact in a wet zone",
    why=WHY,
    does_not_cover="worn plating, torn seals; gas, salt and slurry",
    sources=SOURCES,
    judge=judge,
)
