"""The fixed set: nothing on anything else, no worse than a layout engine made for such graphs."""

from __future__ import annotations

import os
import shutil

import pytest
from elkjs_counts import measured, recorded
from fixed_set import examples, generated_ones

from circuitcheck.drawing.layout.layout import layout
from circuitcheck.drawing.layout.page import Page
from circuitcheck.drawing.line_counts import bends, crossings
from circuitcheck.drawing.overlap_check import overlaps

pytestmark = pytest.mark.slow
HARNESSES = examples() | generated_ones()
ELKJS = os.environ.get("ELKJS_FOLDER", "")


@pytest.fixture(scope="module")
def pages() -> dict[str, Page]:
    return {name: layout(given) for name, given in HARNESSES.items()}


def test_the_set_is_what_it_is_said_to_be():
    sizes = [len(given.wires) for given in generated_ones().values()]
    assert len(sizes) == 200
    assert min(sizes) <= 6
    assert max(sizes) >= 150


def test_nothing_lies_on_anything_else(pages: dict[str, Page]):
    assert {name: found for name, page in pages.items() if (found := overlaps(page))} == {}


def test_no_more_crossings_and_hardly_more_bends_than_elkjs_makes(pages: dict[str, Page]):
    """elkjs 0.12.1: layered, orthogonal, fixed ports; the wires inside the supply's outline, which
    it is not given, are counted against ours. An example newer than the record is left out."""
    theirs = recorded()
    assert set(generated_ones()) <= set(theirs) <= set(pages)
    crossed = sum(crossings(pages[name]) for name in theirs)
    bent = sum(bends(pages[name]) for name in theirs)
    elkjs_crossed, elkjs_bent = (sum(each) for each in zip(*theirs.values(), strict=True))
    assert crossed <= elkjs_crossed
    assert bent <= 1.2 * elkjs_bent


@pytest.mark.skipif(
    not (ELKJS and shutil.which("node")), reason="needs node, and elkjs in ELKJS_FOLDER"
)
def test_the_record_is_what_elkjs_makes():
    theirs = recorded()
    few = {name: HARNESSES[name] for name in list(theirs)[:120]}
    found = measured(few, ELKJS)
    assert found == {name: theirs[name] for name in few}
