"""The nearest allowed word to a misspelt one, within a fixed amount of work per file."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

from circuitcheck.read.forms.printable import printable

MOST_COMPARISONS = 20_000
MOST_WORD = 40


class NearMatch:
    """Answers `Did you mean ...?` until its budget of comparisons is spent.

    The budget keeps a hostile file of thousands of misspelt names within its second.
    """

    def __init__(self) -> None:
        self._left = MOST_COMPARISONS

    def hint(self, word: str, allowed: Iterable[str]) -> str:
        """Return a sentence that names up to two near words, or an empty text."""
        candidates = [name for name in allowed if len(name) <= MOST_WORD]
        if not word or len(word) > MOST_WORD or len(candidates) > self._left:
            return ""
        self._left -= len(candidates)
        folded = {name.casefold(): name for name in reversed(candidates)}
        near = difflib.get_close_matches(word.casefold(), folded, n=2, cutoff=0.6)
        if not near:
            return ""
        named = " or ".join(f'"{printable(folded[name])}"' for name in near)
        return f"Did you mean {named}?"
