"""A test sheet as CSV and as JSON: every reading on a row of its own, in SI."""

from __future__ import annotations

import csv
import io
import json

from circuitcheck.documents.csv_text import safe_cell
from circuitcheck.documents.test_sheet.sheet_words import (
    expected_words,
    look_words,
    note_words,
    sheet_parts,
    what_words,
)
from circuitcheck.model.harness import Harness
from circuitcheck.readings.sheet_records import ReadingSheet, SheetLine

HEADINGS = (
    "number", "stage", "position", "engine", "unplugged", "kind", "part", "plus", "minus",
    "coil_state", "lower", "nominal", "upper", "unit", "answer", "most_under_posts_v", "expected",
    "measured", "look_at",
)  # fmt: skip


def sheet_csv(sheet: ReadingSheet) -> str:
    """Return the sheet as CSV (RFC 4180); `measured` is empty, to be filled in.

    A cell that a spreadsheet would take for a formula gets an apostrophe before it.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(HEADINGS)
    number = 0
    for step in sheet.steps:
        for line in step.lines:
            number += 1
            band, under = line.expected, line.under_battery_v
            words = (
                step.stage, step.position, step.engine, " ".join(step.unplugged), line.kind,
                line.of, line.plus, line.minus, line.coil_state,
            )  # fmt: skip
            ends = ("", "", "") if band is None else (band.lower, band.nominal, band.upper)
            writer.writerow(
                [
                    number,
                    *map(safe_cell, words),
                    *(f"{end:.6g}" if isinstance(end, float) else "" for end in ends),
                    line.unit,
                    line.answer,
                    f"{under.upper:.6g}" if under is not None else "",
                    expected_words(line),
                    "",
                    safe_cell(look_words(sheet.harness, line)),
                ]
            )
    return out.getvalue()


def sheet_json(sheet: ReadingSheet) -> str:
    """Return the sheet as JSON: steps with their readings, cautions and what is done first."""
    steps, number = [], 1
    for step in sheet.steps:
        readings = [
            _reading(sheet.harness, line, n) for n, line in enumerate(step.lines, start=number)
        ]
        number += len(readings)
        steps.append(
            {
                "stage": step.stage,
                "position": step.position,
                "engine": step.engine,
                "unplugged": list(step.unplugged),
                "works": list(step.works),
                "readings": readings,
            }
        )
    content = {
        "circuit": sheet.harness.circuit,
        "revision": sheet.harness.revision,
        "instruments": list(sheet.instruments),
        "air_c": sheet.air_c,
        "count": sheet.count,
        "steps": steps,
        "instructions": [
            {"title": part.title, "do": list(part.do), "cautions": list(part.cautions)}
            for part in sheet_parts(sheet)
        ],
    }
    return json.dumps(content, indent=2, ensure_ascii=False)


def _reading(harness: Harness, line: SheetLine, number: int) -> dict[str, object]:
    band, under = line.expected, line.under_battery_v
    expected = None
    if band is not None:
        expected = {"min": band.lower, "nominal": band.nominal, "max": band.upper}
    return {
        "number": number,
        "kind": line.kind,
        "what": what_words(harness, line),
        "part": line.of,
        "plus": line.plus,
        "minus": line.minus,
        "coil_state": line.coil_state,
        "unit": line.unit,
        "expected": expected,
        "answer": line.answer,
        "most_under_posts_v": None if under is None else under.upper,
        "note": note_words(harness, line),
        "look_at": look_words(harness, line),
    }
