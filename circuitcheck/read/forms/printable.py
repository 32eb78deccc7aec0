"""Show what was received, short and free of characters that a terminal would act on."""

from __future__ import annotations


def printable(text: str, *, most: int = 40) -> str:
    """Return `text` with control and invisible characters spelt out, cut after `most`."""
    cut = text[: most + 1]
    shown = "".join(c if c.isprintable() else _spelt(c) for c in cut[:most])
    return f"{shown}..." if len(cut) > most else shown


def _spelt(character: str) -> str:
    code = ord(character)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}"


def shown(value: object) -> str:
    """Return a received TOML value for a message: text in quotes, the rest by its kind.

    >>> shown("5 A"), shown(True), shown([1, 2]), shown({"a": 1})
    ('"5 A"', 'true', 'a list of 2', 'a table')
    """
    match value:
        case str():
            said = f'"{printable(value)}"'
        case bool():
            said = "true" if value else "false"
        case int() if abs(value) >= 10**15:
            said = "a number of more than 15 digits"
        case int() | float():
            said = f"{value:.15g}"
        case list():
            said = f"a list of {len(value)}"
        case dict():
            said = "a table"
        case _:
            said = f"a {type(value).__name__}"
    return said
