"""Filament lamps: power by UN Regulation No. 37, cold resistance, exponent of the current."""

SOURCE = "un-regulation-37"
RERATING = "lamp-rerating"
MEASURED = "lamp-measured"
OPENSTAX = "openstax-college-physics"
STARTING = "lamp-starting"
BULBS = ("21 W bulb and voltmeter", "21 W bulb and voltmeter, 24 V")
HOT_OHM, COLD_OHM = 60.0, 6.6  # 6 V, 0.1 A lamp
COLD_A, HOT_A = 34.3, 2.5  # 12 V headlight


def comparisons(library):
    stop, small = library.lamp("12 V, 21 W"), library.lamp("12 V, 5 W")
    bulb, other = (library.instrument(name).filament for name in BULBS)
    return [
        ("instruments", "12 V 21 W bulb: W at most", "26.5", bulb.rated_v * bulb.current_a.upper),
        ("instruments", "24 V 21 W bulb: W at most", "29.7", other.rated_v * other.current_a.upper,
         None, "6 % over 28 W"),
        ("lamps", "12 V 21 W filament: test V", "13.5", stop.rated_v),
        ("lamps", "12 V 21 W filament: W at most", "26.5", stop.rated_v * stop.current_a.upper),
        ("lamps", (RERATING, "exponent of the current"), "0.55", small.exponent),
        ("lamps", (RERATING, "exponent of the power"), "1.6", 1.0 + small.exponent, None,
         "V * V ** 0.55, printed to one decimal"),
        ("lamps", (MEASURED, "6 V 0.1 A: hot over cold"), "9.1", small.cold_ratio.lower),
        ("lamps", (OPENSTAX, "12 V headlight: cold over hot A"), "13.7", small.cold_ratio.nominal),
        ("lamps", (STARTING, "cold over hot A"), "14", small.cold_ratio.upper),
    ]  # fmt: skip


def test_printed_value(comparison):
    assert comparison.is_within


def test_ratios_follow_from_the_printed_resistances_and_currents(library):
    ratio = library.lamp("12 V, 5 W").cold_ratio
    assert abs(HOT_OHM / COLD_OHM - ratio.lower) < 0.05
    assert abs(COLD_A / HOT_A - ratio.nominal) < 0.05


def test_a_lamp_of_24_v_takes_about_half_the_current(library):
    for row in library.lamps.values():
        if row.system_v == 24.0 and row.power_w > 4.0:
            twin = library.lamp(row.name.replace("24 V", "12 V"))
            assert 0.5 < row.current_a.nominal / twin.current_a.nominal < 0.75
