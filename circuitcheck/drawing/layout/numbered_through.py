"""Sheets of several drawings that belong together, such as one of each switch position, counted."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from circuitcheck.drawing.geometry import Figure
from circuitcheck.drawing.layout.page import Page
from circuitcheck.drawing.layout.references import OWNER
from circuitcheck.drawing.layout.sheets import going_on
from circuitcheck.drawing.title_block import sheet_words

_PLACE = re.compile(r"sheet (\d+), (\w+)")


def numbered_through(drawings: Sequence[Sequence[Page]]) -> list[Page]:
    """Return the sheets of all drawings with their numbers, and those in references, among all."""
    total = sum(len(pages) for pages in drawings)
    numbered: list[Page] = []
    for pages in drawings:
        before = len(numbered)
        for own, page in enumerate(pages, start=1):
            was, now = sheet_words(own, len(pages)), sheet_words(before + own, total)
            numbered.append(
                replace(
                    page,
                    figures=tuple(_shifted(figure, before) for figure in page.figures),
                    margin_letterings=tuple(
                        replace(text, text=now) if text.text == was else text
                        for text in page.margin_letterings
                    ),
                )
            )
    return numbered


def _shifted(figure: Figure, before: int) -> Figure:
    """Return a reference with the number of its sheet among all; any other figure as it is."""
    if not before or not figure.owner.startswith(OWNER):
        return figure
    found = _PLACE.fullmatch(figure.letterings[1].text)
    return going_on(figure, f"sheet {int(found[1]) + before}, {found[2]}") if found else figure
