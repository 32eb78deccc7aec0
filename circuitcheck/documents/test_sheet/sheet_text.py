"""A test sheet for a screen, with room for what is measured."""

from __future__ import annotations

from circuitcheck.documents.plain_text import Page, columns, harmless
from circuitcheck.documents.quantity_text import METRIC
from circuitcheck.documents.test_sheet.sheet_words import BOX, SheetPart, SheetRow, sheet_parts
from circuitcheck.readings.sheet_records import ReadingSheet

NUMBER = 4
WIDE = 60
"""From so many columns on, what is read, what it must be and the box stand on one line."""
EXPECTED = 17


def sheet_text(sheet: ReadingSheet, *, width: int = 80, system: str = METRIC) -> str:
    """Return the sheet; every box stands for one reading."""
    page, harness = Page(width), sheet.harness
    page.say(f"{harness.circuit}: test sheet, {sheet.count} readings")
    if harness.revision:
        page.say(f"revision {harness.revision}")
    page.say(f"With: {', '.join(sheet.instruments)}. Bands hold the meter's own error.")
    if not sheet.every:
        page.say("Points that tell nothing new are left out; --all asks for every point and joint.")
    for part in sheet_parts(sheet, system=system):
        page.gap()
        _part(page, part)
    return page.text()


def _part(page: Page, part: SheetPart) -> None:
    page.say(part.title.upper() if len(part.title) < page.width else part.title)
    for caution in part.cautions:
        page.say(caution, first="! ")
    for words in part.do:
        page.say(words, first="> ")
    for row in part.rows:
        if len(part.columns) > 1:
            _side_by_side(page, part, row)
        else:
            _row(page, row)


def _row(page: Page, row: SheetRow) -> None:
    number = _number(row.numbers[0])
    what, expected = harmless(row.what), row.expected[0]
    room = page.width - NUMBER - EXPECTED - columns(BOX) - 2
    if page.width >= WIDE and columns(what) <= room:
        page.lines.append(f"{number}{_padded(what, room)} {_padded(expected, EXPECTED)} {BOX}")
    else:
        page.say(what, first=number)
        _boxed(page, expected)
    if row.note:
        page.say(row.note, first=" " * (NUMBER + 2))


def _number(number: int) -> str:
    return f"{number:>{NUMBER - 1}} "


def _boxed(page: Page, expected: str, head: str = " " * NUMBER) -> None:
    room = page.width - NUMBER - columns(BOX) - 1
    page.lines.append(f"{head}{_padded(expected, room)} {BOX}")


def _side_by_side(page: Page, part: SheetPart, row: SheetRow) -> None:
    page.say(row.what, first="  - ")
    given = [pair for pair in zip(part.columns, row.expected, strict=True) if pair[1]]
    for number, (column, expected) in zip(row.numbers, given, strict=True):
        name = harmless(column)
        room = page.width - NUMBER - columns(BOX) - columns(expected) - 3
        if columns(name) <= room:
            _boxed(page, f"{_padded(name, min(room, 24))} {expected}", _number(number))
        else:
            page.say(name, first=_number(number))
            _boxed(page, expected)
    page.say(row.note, first=" " * (NUMBER + 2))


def _padded(words: str, width: int) -> str:
    return words + " " * (width - columns(words))
