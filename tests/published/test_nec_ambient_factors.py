"""National Electrical Code: ambient factors on ampacity, table on 30 degC and table on 40 degC."""

from circuitcheck.formulas.ampacity import ambient_factor

SOURCE = "nec-ambient-factors"
# upper end of each printed range of air temperature: factors for 60, 75 and 90 degC conductors
ON_30 = {
    25: ("1.08", "1.05", "1.04"), 30: ("1", "1", "1"), 35: ("0.91", "0.94", "0.96"),
    40: ("0.82", "0.88", "0.91"), 45: ("0.71", "0.82", "0.87"), 50: ("0.58", "0.75", "0.82"),
    55: ("0.41", "0.67", "0.76"), 60: (None, "0.58", "0.71"), 70: (None, "0.33", "0.58"),
    80: (None, None, "0.41"),
}  # fmt: skip
# factors for 60, 75, 90, 150, 200 and 250 degC conductors
ON_40 = {
    10: ("1.58", "1.36", "1.26", "1.13", "1.09", "1.07"),
    20: ("1.41", "1.25", "1.18", "1.09", "1.06", "1.05"),
    30: ("1.22", "1.13", "1.10", "1.04", "1.03", "1.02"),
    50: ("0.71", "0.85", "0.89", "0.95", "0.97", "0.98"),
    70: (None, "0.38", "0.63", "0.85", "0.90", "0.93"),
    100: (None, None, None, "0.67", "0.79", "0.85"),
    130: (None, None, None, "0.43", "0.66", "0.76"),
}


def comparisons(library):
    rows = []
    for reference, table, limits in (
        (30.0, ON_30, (60.0, 75.0, 90.0)),
        (40.0, ON_40, (60.0, 75.0, 90.0, 150.0, 200.0, 250.0)),
    ):
        for air, printed in table.items():
            for limit, factor in zip(limits, printed, strict=True):
                if factor is not None:
                    what = f"{limit:g} degC in {air} degC, table on {reference:g} degC"
                    rows.append(
                        ("formula ampacity", what, factor, ambient_factor(limit, air, reference))
                    )
    for limit in (60, 75, 90):
        row = next(r for r in library.engine_space_factors if r.at == limit)
        printed = ON_30[50][(60, 75, 90).index(limit)]
        rows.append(("engine_space_factor", f"{limit} degC at 50 degC", printed, row.factor))
    return rows


def test_printed_value(comparison):
    assert comparison.is_within
