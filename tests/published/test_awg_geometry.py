"""American Wire Gages, HyperPhysics: diameters and circular mils of ASTM B258 sizes."""

from circuitcheck.formulas.wire_resistance import awg_area_mm2, awg_diameter_mm

SOURCE = "awg-resistance"
# size number, diameter in, circular mils as printed; 0 to -3 are 1/0 to 4/0
PRINTED = [
    (24, "0.0201", "404.0"), (22, "0.02535", "642.5"), (20, "0.03196", "1022"),
    (19, "0.03589", "1288"), (18, "0.0403", "1624"), (17, "0.04526", "2048"),
    (16, "0.05082", "2583"), (15, "0.05707", "3257"), (14, "0.06408", "4107"),
    (13, "0.07196", "5178"), (12, "0.08081", "6530"), (11, "0.09074", "8234"),
    (10, "0.1019", "10380"), (9, "0.1144", "13090"), (8, "0.1285", "16510"),
    (7, "0.1443", "20820"), (6, "0.162", "26250"), (5, "0.1819", "33100"),
    (4, "0.2043", "41740"), (3, "0.2294", "52630"), (2, "0.2576", "66370"),
    (1, "0.2893", "83690"), (0, "0.3249", "105500"), (-1, "0.3648", "133100"),
    (-2, "0.4096", "167800"), (-3, "0.46", "211600"),
]  # fmt: skip
FOUR_DIGITS = (0.05, "the page gives four significant digits")


def comparisons(library):
    rows = []
    for gauge, inches, mils in PRINTED:
        diameter_in = awg_diameter_mm(gauge) / 25.4
        cmil = (1000.0 * diameter_in) ** 2
        rows.append(("formula wire_resistance", f"{gauge} AWG diameter in", inches, diameter_in))
        rows.append(("formula wire_resistance", f"{gauge} AWG cmil", mils, cmil, *FOUR_DIGITS))
    cmil_mm2 = 0.0254**2 * 3.141592653589793 / 4.0
    for gauge, _, mils in PRINTED:
        size = f"{gauge} AWG" if gauge > 0 else f"{1 - gauge}/0 AWG"
        if size in library.conductors:
            ours = library.conductor(f"{size} (AWG area)").area_mm2 / cmil_mm2
            rows.append(("conductors", f"{size} (AWG area) cmil", mils, ours, *FOUR_DIGITS))
    return rows


def test_printed_value(comparison):
    assert comparison.is_within


def test_area_of_4_awg_is_twice_that_of_7_awg_nearly():
    # three sizes double the area: 92 ** (6 / 39) = 2.0050
    assert 2.004 < awg_area_mm2(4) / awg_area_mm2(7) < 2.006
