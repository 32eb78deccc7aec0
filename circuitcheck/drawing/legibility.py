"""Whether a sheet can be read: its smallest lettering on paper and on a telephone."""

from __future__ import annotations

from circuitcheck.drawing.paper import PHONE_PX
from circuitcheck.drawing.sheet import Sheet
from circuitcheck.drawing.text_size import TEXT_MM

LEAST_MM = TEXT_MM
"""Capital letters on paper: the least of ISO 3098-1, as `TEXT_MM` is."""


def smallest_text_mm(sheet: Sheet) -> float:
    """Return the height of the smallest capital on the sheet; infinite for one without text."""
    return min((text.height_mm for text in sheet.letterings), default=float("inf"))


def smallest_capital_px(sheet: Sheet, wide_px: float = PHONE_PX) -> float:
    """Return how high the smallest capital comes out where the sheet is so many pixels wide."""
    return smallest_text_mm(sheet) * wide_px / sheet.width_mm
