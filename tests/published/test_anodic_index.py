"""Galvanic tables after MIL-STD-889: anodic index of platings, difference by surroundings."""

import pytest

SOURCE = "anodic-index"
INDEX_V = {"gold": 0.0, "silver": 0.15, "nickel": 0.30, "copper": 0.35, "brass": 0.40, "tin": 0.65}
OUTDOORS_V, INDOORS_V = 0.15, 0.25


def comparisons(library):
    return [
        ("plating_pairs", f"gold on {metal}: V", f"{index:.2f}",
         library.plating_pair("gold", metal).difference_v)
        for metal, index in INDEX_V.items()
        if index
    ]  # fmt: skip


def test_printed_value(comparison):
    assert comparison.is_within


def test_every_pair_is_judged_by_the_difference(library):
    assert len(library.plating_pairs) == len(INDEX_V) * (len(INDEX_V) + 1) // 2
    for row in library.plating_pairs.values():
        difference = abs(INDEX_V[row.first] - INDEX_V[row.second])
        assert row.difference_v == pytest.approx(difference, abs=1e-9)
        assert row.wet == (round(difference, 2) <= OUTDOORS_V)
        assert row.dry == (round(difference, 2) <= INDOORS_V)


def test_the_order_of_a_pair_does_not_matter(library):
    assert library.plating_pair("tin", "gold") is library.plating_pair("gold", "tin")
    assert not library.plating_pair("tin", "gold").dry
