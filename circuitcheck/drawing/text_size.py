"""How much room lettering takes, and user text made fit to be drawn. No font is opened here.

Advance widths of DejaVu Sans in hundredths of an em, each rounded up to the next 5, so that a box
is never smaller than its text. Measured once from the font file that matplotlib ships.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache

TEXT_MM = 2.5
"""Smallest height of a capital letter: ISO 3098-1 gives 2.5 mm, 3.5 mm, 5 mm ... as heights."""
HEADING_MM = 3.5
TITLE_MM = 5.0

CAPITAL_EM = 1493 / 2048
"""Height of a capital over the em of DejaVu Sans (glyph H of the font file)."""
_ACCENT_EM = 2002 / 2048
_PLAIN_EM = 1638 / 2048
_DESCENT_EM = 511 / 2048
_BASE_DESCENT_EM = 0.1
_WIDEST_EM = 1.15

_ADVANCES = {
    30: "'IJijlÌÍÎÏìíîïĨĩĪīĬĭĮįİıĴĵĺļłΙΪ",
    35: " ,./:;\\|¦·ŀίι‘’",
    40: "()-[]ftľţťŧſ",
    45: "!r¡²³¹ŕŗř",
    50: '"*_`§¨ª¯°´¸º–',
    55: "?csz¿çćĉċčśŝşšźżžέεζгзсэ“”",
    60: "FLkvxyýÿĲĳķĸĹĻĽĿŁŷΓΰγκλνξςυχвтухчь•",
    65: (
        "$0123456789EPSTYabdeghnopqu{}¢£¤¥«µ¶»ÈÉÊËÝÞßàáâãäåèéêëðñòóôõöøùú"
        "ûüþāăąďđĒēĔĕĖėĘęĚěĝğġģĥńņňŋōŏőŚŜŞŠŢŤŦũūŭůűųŶŸΕΞΡΣΤΥΫήβδηθμοπρστГ"
        "ЕЗРТУабеийклоря√"
    ),
    70: "ABCKRVXZÀÁÂÃÄÅÇĀĂĄĆĈĊČħĶŔŖŘŹŻŽΑΒΔΖΚΛΧάαφψАБВСХЧЬЭЯднпц",
    75: "NUÑÙÚÛÜŃŅŇŊŨŪŬŮŰŲΝИЙКъ",
    80: "&DGHOQÐÒÓÔÕÖØĎĐĜĞĠĢĤŌŎŐΗΘΟΠΦΨΩΩДЛНОПЦмы",
    85: "#+<=>^w~¬±×÷ŉŵωЪю←↑→↓−∞≈≠≤≥",
    90: "MΜМФЫф",
    95: "Ħжшщ",
    100: "%@Wm©®¼½¾ÆæŴ—…",
    105: "œ�",
    110: "ŒЖШЩЮ",
}
_ADVANCE_EM = {sign: advance / 100 for advance, signs in _ADVANCES.items() for sign in signs}
_DESCENDING = frozenset("gjpqyJQ,;()[]{}|_@$\\µ")
_PLAIN = frozenset("·–—−…²°±Ωµ→≤≥")
"""Signs beyond ASCII that rise no higher than a capital and hang no lower than its foot."""


def em_mm(height_mm: float) -> float:
    """Return the font size (em) whose capitals are `height_mm` high. [mm]"""
    return height_mm / CAPITAL_EM


@lru_cache(maxsize=4096)
def text_width_mm(text: str, height_mm: float = TEXT_MM, *, bold: bool = False) -> float:
    """Return the width of one line of text, rounded up. [mm]"""
    width = sum(_ADVANCE_EM.get(sign, _WIDEST_EM) for sign in text)
    return width * em_mm(height_mm) * (1.15 if bold else 1.0)


def text_ascent_mm(text: str, height_mm: float = TEXT_MM) -> float:
    """Return how far the text rises above its base line. [mm]"""
    return em_mm(height_mm) * (_PLAIN_EM if _is_plain(text) else _ACCENT_EM)


def text_descent_mm(text: str, height_mm: float = TEXT_MM) -> float:
    """Return how far the text falls below its base line. [mm]"""
    falls = not _is_plain(text) or any(sign in _DESCENDING for sign in text)
    return em_mm(height_mm) * (_DESCENT_EM if falls else _BASE_DESCENT_EM)


def _is_plain(text: str) -> bool:
    return text.isascii() or all(sign.isascii() or sign in _PLAIN for sign in text)


def printable(text: str) -> str:
    """Return user text as one line without control, format or surrogate characters."""
    joined = " ".join(text.split())
    if joined.isprintable():  # that lets no sign of these categories pass
        return joined
    return "".join(
        "\N{REPLACEMENT CHARACTER}" if unicodedata.category(sign) in _UNPRINTABLE else sign
        for sign in joined
    )


_UNPRINTABLE = frozenset({"Cc", "Cf", "Cs", "Co", "Cn"})


def shortened(text: str, most: int) -> str:
    """Return printable text of at most `most` characters; the middle gives way, both ends stay."""
    line = printable(text)
    if len(line) <= most:
        return line
    tail = (most - 1) // 3
    return line[: most - 1 - tail].rstrip() + "…" + (line[-tail:].lstrip() if tail else "")


def fitted(text: str, width_mm: float, height_mm: float = TEXT_MM) -> str:
    """Return printable text on one line no wider than `width_mm`; the middle gives way."""
    line = printable(text)
    most = min(len(line), int(width_mm / (0.3 * em_mm(height_mm))))
    while most > 1 and text_width_mm(shortened(line, most), height_mm) > width_mm:
        most -= 1
    return shortened(line, most)


def wrapped(text: str, width_mm: float, height_mm: float = TEXT_MM) -> list[str]:
    """Return the text broken into lines no wider than `width_mm`; a long word is broken too.

    A number stays with its unit.
    """
    lines: list[str] = []
    line = ""
    for word in _words(printable(text)):
        for piece in _pieces(word, width_mm, height_mm):
            longer = f"{line} {piece}" if line else piece
            if text_width_mm(longer, height_mm) <= width_mm:
                line = longer
            else:
                if line:
                    lines.append(line)
                line = piece
    return [*lines, line] if line else lines


_ELECTRICAL = ("V", "mV", "A", "mA", "Ω", "mΩ", "kΩ", "W", "mW", "J", "mJ")
_UNITS = frozenset(
    (*_ELECTRICAL, "m", "mm²", "ft", "in", "AWG", "%", "°C", "°F", "s", "ms", "min", "h")
)


def _words(text: str) -> list[str]:
    """Return what is not to be broken: words, and numbers with the unit behind them."""
    words: list[str] = []
    for word in text.split():
        if words and words[-1][-1].isdigit() and word.rstrip(",.;:)") in _UNITS:
            words[-1] += f" {word}"
        else:
            words.append(word)
    return words


def _pieces(word: str, width_mm: float, height_mm: float) -> list[str]:
    if text_width_mm(word, height_mm) <= width_mm:
        return [word]
    pieces = [""]
    for sign in word:
        if pieces[-1] and text_width_mm(pieces[-1] + sign, height_mm) > width_mm:
            pieces.append("")
        pieces[-1] += sign
    return pieces
