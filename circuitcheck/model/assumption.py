"""What was assumed where the harness file says `unknown` or says nothing."""

from __future__ import annotations

from circuitcheck.record import record

OF_LIBRARY = "the library"
"""Subject of what is taken for the library itself; no part can have that name."""


@record
class Assumption:
    """One value that the user did not give: what stands in for it and what would settle it.

    `subject` is the part or wire, `key` the field of the harness file. `stated_unknown` is True
    where the file says `"unknown"`, False where a library value fills a field left out.
    """

    subject: str
    key: str
    assumed: str
    measure: str
    stated_unknown: bool = False
