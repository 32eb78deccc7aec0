"""Colours of conductors: the codes of IEC 60757 and the inks they are drawn in.

The codes are those of IEC 60757; the shades are chosen to be told apart on paper and are no part
of the standard.
"""

from __future__ import annotations

INK_OF = {
    "BK": "#1a1a1a",
    "BN": "#7a4a21",
    "RD": "#d22b2b",
    "OG": "#f08a1d",
    "YE": "#f5d90a",
    "GN": "#2e9e4f",
    "BU": "#2767c4",
    "VT": "#7d3fa8",
    "GY": "#8f8f8f",
    "WH": "#ffffff",
    "PK": "#f4a6bd",
    "GD": "#c9a227",
    "SR": "#c4c9cf",
    "TQ": "#2bb5b0",
}
UNKNOWN_INK = "#dcdcdc"


def colour_text(colour: tuple[str, ...]) -> str:
    """Return the code as it is written, e.g. `RD/WH`; `?` where none is given."""
    return "/".join(colour) if colour else "?"


def inks(colour: tuple[str, ...]) -> tuple[str, ...]:
    """Return the ink of the base colour and, for a striped wire, of the stripe.

    `GNYE`, the two colours of IEC 60757 for the protective conductor, is green with yellow.
    """
    codes: list[str] = []
    for code in colour:
        halves = (code[:2], code[2:])
        codes += halves if len(code) == 4 and all(half in INK_OF for half in halves) else [code]
    return tuple(INK_OF.get(code, UNKNOWN_INK) for code in codes[:2]) or (UNKNOWN_INK,)
