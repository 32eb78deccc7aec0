"""Workshop charts and a data sheet: resistance and voltage drop of blade fuses."""

import pytest

SOURCE = "fuse-drop-chart"
DATA_SHEET_LINE = [("1", "176"), ("2", "141"), ("4", "136"), ("10", "109")]  # A, mV at rated

MV = (None, "printed in whole mA")


def comparisons(library):
    regular, mini = library.fuse("blade", 10.0), library.fuse("mini blade", 15.0)
    rows = [
        ("fuses", "10 A blade mA at 1.0 mV", "130", 1.0 / regular.resistance_ohm.nominal, *MV),
        ("fuses", "10 A blade mA at 2.4 mV", "312", 2.4 / regular.resistance_ohm.nominal, *MV),
        ("fuses", "15 A mini blade mA at 1.0 mV", "218", 1.0 / mini.resistance_ohm.nominal, *MV),
        ("fuses", "15 A mini blade mA at 0.1 mV", "22", 0.1 / mini.resistance_ohm.nominal, *MV),
    ]
    for rating, millivolt in DATA_SHEET_LINE:
        row = library.fuse("blade", float(rating))
        rows.append(("fuses", f"{rating} A blade mV", millivolt, 1e3 * row.drop_at_rated_v))
    return rows


def test_printed_value(comparison):
    assert comparison.is_within


@pytest.mark.parametrize("style", ["blade", "mini blade"])
def test_bigger_fuses_have_less_resistance(style, library):
    ratings = library.fuse_ratings(style)
    assert len(ratings) >= 10
    ohms = [library.fuse(style, rating).resistance_ohm.nominal for rating in ratings]
    assert ohms == sorted(ohms, reverse=True)


def test_hot_resistance_at_rated_current_is_inside_the_band(library):
    for row in library.fuses.values():
        hot = row.drop_at_rated_v / row.rating_a
        assert row.resistance_ohm.nominal < hot < row.resistance_ohm.upper
