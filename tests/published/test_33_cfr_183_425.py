"""33 CFR 183.425, table 5: amperes by size and insulation at 30 degC; note 1, engine spaces."""

from circuitcheck.formulas.ampacity import ambient_factor, conductor_temperature_c

SOURCE = "33-cfr-183-425"
CLASSES = ("PVC 60", "PVC 75", "PVC 80", "PVC 90", "PVC 105", "XLPE 125", "fluoropolymer 200")
PRINTED = {
    "18 AWG": (10, 10, 15, 20, 20, 25, 25), "16 AWG": (15, 15, 20, 25, 25, 30, 35),
    "14 AWG": (20, 20, 25, 30, 35, 40, 45), "12 AWG": (25, 25, 35, 40, 45, 50, 55),
    "10 AWG": (40, 40, 50, 55, 60, 70, 70), "8 AWG": (55, 65, 70, 70, 80, 90, 100),
    "6 AWG": (80, 95, 100, 100, 120, 125, 135), "4 AWG": (105, 125, 130, 135, 160, 170, 180),
    "2 AWG": (140, 170, 175, 180, 210, 225, 240), "1 AWG": (165, 195, 210, 210, 245, 265, 280),
    "1/0 AWG": (195, 230, 245, 245, 285, 305, 325),
    "2/0 AWG": (225, 265, 285, 285, 330, 355, 370),
    "3/0 AWG": (260, 310, 330, 330, 385, 410, 430),
    "4/0 AWG": (300, 360, 385, 385, 445, 475, 510),
}  # fmt: skip
# 105 degC wire inside engine spaces, as printed beside the rule
ENGINE_105 = {
    "18 AWG": 17, "16 AWG": 21, "14 AWG": 30, "12 AWG": 38, "10 AWG": 51, "8 AWG": 68,
    "6 AWG": 102, "4 AWG": 136, "2 AWG": 178, "1 AWG": 208, "1/0 AWG": 242, "2/0 AWG": 280,
    "3/0 AWG": 327, "4/0 AWG": 378,
}  # fmt: skip

WHOLE = "printed in whole amperes"


def comparisons(library):
    rows = []
    for size, currents in PRINTED.items():
        for insulation, current in zip(CLASSES, currents, strict=True):
            for name in (size, f"{size} (AWG area)"):
                ours = library.ampacity_row(name, insulation).current_a
                rows.append(("ampacity", f"{name} {insulation} A", str(current), ours))
    factor = library.engine_space_factor("PVC 105").factor
    for size, inside in ENGINE_105.items():
        ours = library.ampacity_row(size, "PVC 105").current_a * factor
        rows.append(("engine_space_factor", f"{size} PVC 105 A", str(inside), ours, None, WHOLE))
    for limit in (60, 75, 80, 90, 105, 125):
        row = next(r for r in library.engine_space_factors if r.at == limit)
        ours = ambient_factor(limit, 50.0)
        why = (1.0, "printed to two digits; 0.78 for 0.775 and 0.85 for 0.856")
        rows.append(("formula ampacity", f"{limit} degC in 50 degC", str(row.factor), ours, *why))
    return rows


def test_printed_value(comparison):
    assert comparison.is_within


def test_table_current_brings_the_conductor_to_its_class(library):
    for insulation in CLASSES:
        row = library.ampacity_row("16 AWG", insulation)
        reached = conductor_temperature_c(row.current_a, row.current_a, row.temperature_c, 30.0)
        assert reached == row.temperature_c
