"""Fuse definitions, pulse chart, 33 CFR 183.455 and workshop voltage-drop limits."""

SOURCE = "fuse-definitions"
INCH_M = 0.0254


def comparisons(library):
    limits = [
        (SOURCE, "fuse_continuous_share", "0.75"),
        ("fuse-pulse-chart", "inrush_i2t_share_100", "0.48"),
        ("fuse-pulse-chart", "inrush_i2t_share_1000", "0.38"),
        ("fuse-pulse-chart", "inrush_i2t_share_10000", "0.29"),
        ("fuse-pulse-chart", "inrush_i2t_share_100000", "0.22"),
        ("33-cfr-183-455", "fuse_to_ampacity_share_boats", "1.5"),
        ("voltage-drop-training", "wire_drop_v", "0.2"),
        ("sae-element-drops", "switch_drop_v", "0.3"),
        ("voltage-drop-training", "ground_drop_v", "0.1"),
        ("relay-data-sheet", "switch_inductive_share", "0.4"),  # 10 A over 25 A
    ]
    rows = [
        ("limits", (source, key), printed, library.limit(key).value)
        for source, key, printed in limits
    ]
    distances = (
        ("33-cfr-183-455", "fuse_distance_m", 7, "0.1778"),
        ("33-cfr-183-455", "fuse_distance_sheathed_m", 40, "1.016"),
        ("abyc-e-11", "fuse_distance_battery_sheathed_m", 72, "1.8288"),
    )
    for source, key, inches, metres in distances:
        assert abs(float(metres) - inches * INCH_M) < 1e-12  # the page prints inches
        rows.append(("limits", (source, f"{key}, {inches} in"), metres, library.limit(key).value))
    # common practice, no source for the curve: the factor at 25 degC is 1 by definition
    at_25 = next(row.factor for row in library.fuse_rerating if row.at == 25.0)
    rows.append(("fuse_rerating", ("common-practice", "factor at 25 degC"), "1.0", at_25))
    return rows


def test_printed_value(comparison):
    assert comparison.is_within


def test_a_hot_fuse_is_worth_less(library):
    styles = {row.name.split(" at ")[0] for row in library.fuse_rerating}
    for style in styles:
        own = [row for row in library.fuse_rerating if row.name.split(" at ")[0] == style]
        points = sorted(own, key=lambda row: row.at)
        factors = [row.factor for row in points]
        assert factors == sorted(factors, reverse=True)
        assert points[0].at <= -40.0
        assert points[-1].at >= 105.0
    for band in library.fuse_opening_bands.values():
        assert [style for style in styles if band.name.endswith(style)]
