"""ISO 6722-3 and VDE 0298-4 as printed in Autoelektrik Grundlagen: vehicle cable, PVC 70 degC."""

from circuitcheck.formulas.ampacity import ambient_factor

SOURCE = "iso-6722"
# mm2: highest mohm/m at 20 degC, A at 30 degC, A at 50 degC
PRINTED = {
    1.0: ("18.5", "19.0", "13.5"), 1.5: ("12.7", "24.0", "17.0"), 2.5: ("7.6", "32.0", "22.7"),
    4.0: ("4.71", "42.0", "29.8"), 6.0: ("3.14", "54.0", "38.3"), 10.0: ("1.82", "73.0", "51.8"),
    16.0: ("1.16", "98.0", "69.6"), 25.0: ("0.743", "129.0", "91.6"),
    35.0: ("0.527", "158.0", "112.0"), 50.0: ("0.368", "198.0", "140.0"),
    70.0: ("0.259", "245.0", "174.0"),
}  # fmt: skip


OUTSIDE_MM = {
    1.0: "2.7", 1.5: "3.0", 2.5: "3.6", 4.0: "4.4", 6.0: "5.0", 10.0: "6.5", 16.0: "8.3",
    25.0: "10.4", 35.0: "11.6", 50.0: "13.5", 70.0: "15.5",
}  # fmt: skip


def comparisons(library):
    rows = []
    for area, printed in OUTSIDE_MM.items():
        ours = 1e3 * library.outside_diameters[f"{area:g} mm2"].standard_wall_m
        rows.append(("outside_diameters", f"{area:g} mm2 highest Ø, standard wall", printed, ours))
    for area, (limit, warm, hot) in PRINTED.items():
        ours = 1e3 * library.conductor(f"{area:g} mm2").resistance_ohm_per_m.upper
        rows.append(("conductors", f"{area:g} mm2 highest mohm/m", limit, ours))
        ours = float(warm) * ambient_factor(70.0, 50.0)
        why = (0.5, "the table uses the factor 0.71 for 0.7071")
        rows.append(
            ("formula ampacity", ("vde-0298-4", f"{area:g} mm2 A at 50 degC"), hot, ours, *why)
        )
    return rows


def test_printed_value(comparison):
    assert comparison.is_within


def test_ampacities_of_the_library_stay_below_the_single_wire_in_free_air(library):
    for area, (_, warm, _) in PRINTED.items():
        row = library.ampacity_row(f"{area:g} mm2", "PVC 70")
        assert 0.6 * float(warm) < row.current_a <= float(warm)
