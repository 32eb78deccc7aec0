"""All papers of the workshop that a harness gives, with the names of their files."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.documents.papers.bill_of_materials import bill_of_materials
from circuitcheck.documents.papers.coil_card import coil_card
from circuitcheck.documents.papers.connector_table import connector_table
from circuitcheck.documents.papers.listing import Listing
from circuitcheck.documents.papers.wire_labels import wire_labels
from circuitcheck.documents.papers.wire_list import wire_list
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library


def all_papers(harness: Harness, library: Library) -> Iterator[tuple[str, str, Listing]]:
    """Yield file name, title and content of each paper."""
    yield "wire-list", "Wire list", wire_list(harness, library)
    yield "connector-table", "Connector table", connector_table(harness, library)
    yield "bill-of-materials", "Bill of materials", bill_of_materials(harness, library)
    yield "wire-labels", "Wire labels", wire_labels(harness, library)
    yield "coil-card", "Coil card", coil_card(harness)
