"""SAE/USCAR-2 (from memory), MIL-DTL-26482 and a relay data sheet: resistance of contacts."""

import pytest

SOURCE = "mil-dtl-26482"
RELAY = "relay-data-sheet"
USCAR_PAIR_MOHM = {"1.5 mm": 10.0, "2.8 mm": 5.0, "6.3 mm": 1.5, "9.5 mm": 1.0}


def comparisons(library):
    return [
        ("contacts", "size 20 highest mohm", "30",
         1e3 * library.contact("round size 20").resistance_ohm.upper),
        ("contacts", "size 16, as printed for size 14, highest mohm", "20",
         1e3 * library.contact("round size 16").resistance_ohm.upper),
        ("contacts", (RELAY, "make contact, 10 A: typical drop mV"), "15",
         1e4 * library.contact("relay make contact").resistance_ohm.nominal),
        ("contacts", (RELAY, "make contact, 10 A: highest drop mV"), "200",
         1e4 * library.contact("relay make contact").resistance_ohm.upper),
        ("contacts", (RELAY, "break contact, 10 A: highest drop mV"), "250",
         1e4 * library.contact("relay break contact").resistance_ohm.upper),
    ]  # fmt: skip


def test_printed_value(comparison):
    assert comparison.is_within


@pytest.mark.parametrize("width", USCAR_PAIR_MOHM)
def test_limit_of_a_mated_pair_lies_between_new_and_aged(width, library):
    rows = [row for row in library.contacts.values() if row.name.startswith(width)]
    assert rows
    for row in rows:
        limit = USCAR_PAIR_MOHM[width] / 1e3
        assert row.resistance_ohm.nominal < limit < row.resistance_ohm.upper


def test_unsealed_pairs_age_worse_than_sealed_ones(library):
    for width in ("1.5 mm", "2.8 mm", "6.3 mm"):
        sealed = library.contact(f"{width} sealed").resistance_ohm.upper
        assert library.contact(f"{width} unsealed").resistance_ohm.upper > sealed
