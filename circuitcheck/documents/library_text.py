"""Rows of the library found by a search, each with its source."""

from __future__ import annotations

from circuitcheck.documents.plain_text import Page
from circuitcheck.documents.quantity_text import METRIC, in_system
from circuitcheck.model.library import Library


def library_text(
    library: Library, words: str, *, most: int = 20, width: int = 40, system: str = METRIC
) -> str:
    """Return the rows in which all words occur, best first, at most `most` of them."""
    hits = library.search(words)
    page = Page(width)
    if not hits:
        page.say(f"No row of the library holds all of: {words}")
        tables = ", ".join(name for name, _ in library.tables())
        page.say(f"Tables: {tables}")
        return page.text()
    for hit in hits[:most]:
        page.say(f"{hit.name} ({hit.table})")
        for value in hit.values:
            page.say(in_system(value, system), first="  ", rest="    ")
        if hit.note:
            page.say(f"note: {in_system(hit.note, system)}", first="  ", rest="    ")
        source = f"{hit.how}: {library.source(hit.source).title} [{hit.source}]"
        page.say(source, first="  ", rest="    ")
        page.gap()
    if len(hits) > most:
        page.say(f"{len(hits) - most} more; add a word, or --most {len(hits)}")
    return page.text()
