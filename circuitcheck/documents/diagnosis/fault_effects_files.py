"""Single-fault effects as CSV for a spreadsheet and as JSON for other programs."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator, Sequence

from circuitcheck.documents.csv_text import safe_cell
from circuitcheck.documents.diagnosis.fault_effects_words import (
    LOCAL,
    NOT_SEEN,
    detection,
    end_effect,
)
from circuitcheck.faults.effects import CauseEffect, CauseEffects, hazard_of
from circuitcheck.model.harness import Harness

FORMAT = 1
HEADINGS = (
    "fault",
    "part",
    "other",
    "failure mode",
    "local effect",
    "end effect",
    "on",
    "hazard",
    "from severity",
    "switch positions",
    "power_w",
    "temperature_c",
    "limit_c",
    "heat note",
    "coil state",
    "detection",
    "where",
    "repair",
    "proof",
)

DIGITS = ".4g"


def fault_effects_csv(harness: Harness, found: Sequence[CauseEffects]) -> str:
    """Return one row per fault and end effect (RFC 4180), worst first, safe from formulas.

    A fault of which nothing is seen has one row that says so.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(HEADINGS)
    for one in found:
        for row in _rows(harness, one):
            writer.writerow(safe_cell(cell) for cell in row)
    return out.getvalue()


def _rows(harness: Harness, one: CauseEffects) -> Iterator[tuple[str, ...]]:
    fault = one.fault
    begin = (one.cause, fault.subject, fault.other, fault.mode, LOCAL[fault.mode])
    end = (detection(one), fault.place, fault.repair, fault.proof)
    if not one.effects:
        yield (*begin, NOT_SEEN, *("",) * 9, *end)
    for e in one.effects:
        value, warm, limit = (
            "" if number is None else f"{number:{DIGITS}}"
            for number in (e.value, e.temperature_c, e.limit_c)
        )
        hazard = hazard_of(harness, e.subject, e.kind)
        positions = "; ".join(e.positions)
        yield (*begin, e.kind, e.subject, hazard, e.severity, positions, value, warm,
               limit, e.note, e.coil_state, *end)  # fmt: skip


def fault_effects_json(harness: Harness, found: Sequence[CauseEffects]) -> str:
    """Return the effects as JSON text in ASCII; numbers in the unit of their key."""
    record = {
        "format": FORMAT,
        "file": harness.file,
        "circuit": harness.circuit,
        "revision": harness.revision,
        "conditions": "nominal values, engine off, one fault at a time; coils as warm as usual and "
        "heat-soaked; heat on the highest supply, in the hottest air, after the longest press",
        "faults": [_record(harness, one) for one in found],
    }
    return json.dumps(record, indent=1, ensure_ascii=True, allow_nan=False)


def _record(harness: Harness, one: CauseEffects) -> dict[str, object]:
    fault = one.fault
    return {
        "fault": one.cause,
        "part": fault.subject,
        "other": fault.other,
        "failure_mode": fault.mode,
        "severities": list(one.severities),
        "local_effect": LOCAL[fault.mode],
        "end_effects": [_effect(harness, e) for e in one.effects],
        "detection": list(one.shows),
        "hidden": one.is_hidden,
        "where": fault.place,
        "repair": fault.repair,
        "proof": fault.proof,
    }


def _effect(harness: Harness, effect: CauseEffect) -> dict[str, object]:
    return {
        "effect": effect.kind,
        "on": effect.subject,
        "hazard": hazard_of(harness, effect.subject, effect.kind),
        "words": end_effect(effect),
        "from_severity": effect.severity,
        "positions": list(effect.positions),
        "power_w": _as_printed(effect.value),
        "temperature_c": _as_printed(effect.temperature_c),
        "limit_c": _as_printed(effect.limit_c),
        "heat_note": effect.note,
        "coil_state": effect.coil_state,
    }


def _as_printed(number: float | None) -> float | None:
    """Return a number with the digits that CSV gives it."""
    return None if number is None else float(f"{number:{DIGITS}}")
