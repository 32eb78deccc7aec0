"""Maxi blade, bolt-down strip and glass tube fuses: opening, resistance, what is not known."""

import math

import pytest

from circuitcheck.formulas.fuse_opening import longest_opening_s, opening_time_s

SOURCE = "ul-248-14"
LARGE = "large-fuse-figures"
# style: {percent: longest s}; the glass tubes read, the others recalled
LONGEST = {
    "glass tube 5 x 20 mm": {"135": "3600", "200": "120"},
    "glass tube 6.3 x 32 mm": {"135": "3600", "200": "120"},
    "maxi blade": {"135": "1800", "200": "60", "350": "7", "600": "1"},
    "strip M5": {"135": "1800", "200": "15", "350": "5", "500": "1"},
    "strip M8": {"135": "1800", "200": "15", "350": "5", "500": "1"},
}
KEYS = {"maxi blade": "iso-8820-3"}
# recalled order of magnitude, mohm cold
COLD = {"20 A maxi blade": "3.0", "60 A maxi blade": "0.75", "100 A strip M5": "0.45",
        "200 A strip M8": "0.25"}  # fmt: skip


def comparisons(library):
    rows = []
    for style, points in LONGEST.items():
        band = library.fuse_opening_band(style)
        source = SOURCE if style.startswith("glass tube") else KEYS.get(style, "iso-8820-5")
        for percent, longest in points.items():
            ours = longest_opening_s(float(percent), 100.0, band.percents, band.max_s)
            what = (source, f"{style}, {percent} %: longest s")
            rows.append(("fuse_opening_times", what, longest, ours))
    for name, cold in COLD.items():
        ours = 1e3 * library.fuses[name].resistance_ohm.nominal
        rows.append(("fuses", (LARGE, f"{name}: mohm"), cold, ours))
    return rows


def test_printed_value(comparison):
    assert comparison.is_within


@pytest.mark.parametrize("style", LONGEST)
def test_at_its_rating_no_style_has_to_open(style, library):
    band = library.fuse_opening_band(style)
    opening = opening_time_s(100.0, 100.0, 100.0, band.percents, band.min_s, band.max_s)
    assert math.isinf(opening.slowest_s)
    assert opening.fastest_s >= 4 * 3600.0


@pytest.mark.parametrize("style", LONGEST)
def test_bigger_fuses_have_less_resistance(style, library):
    ratings = library.fuse_ratings(style)
    ohms = [library.fuse(style, rating).resistance_ohm.nominal for rating in ratings]
    assert ohms == sorted(ohms, reverse=True)
    assert len(set(ohms)) == len(ohms) >= 6


def test_slow_styles_are_slower_than_a_blade(library):
    blade, maxi = library.fuse_opening_band("blade"), library.fuse_opening_band("maxi blade")
    for percent in (135.0, 200.0, 350.0, 600.0):
        fast = longest_opening_s(percent, 100.0, blade.percents, blade.max_s)
        assert longest_opening_s(percent, 100.0, maxi.percents, maxi.max_s) >= fast


def test_what_no_source_gives_is_left_empty(library):
    for row in library.fuses.values():
        glass = row.style.startswith("glass tube")
        assert (row.breaking_capacity_a is None) == glass
        assert (row.voltage_rating_v is None) == (row.style == "glass tube 5 x 20 mm")


def test_every_fuse_has_a_clip_that_is_in_the_library(library):
    for row in library.fuses.values():
        assert library.contact(row.clip).kind == "fuse clip"
