"""Workshop manuals: stop solenoids and starter solenoids with pull and hold winding."""

SOURCE = "stop-solenoid-manuals"
STARTER = "starter-solenoid-manuals"
CONVERTER = "converter-figures"


def comparisons(library):
    stop = library.pull_hold_coil("engine stop solenoid, 12 V")
    car = library.pull_hold_coil("starter solenoid, car, 12 V")
    heavy = library.pull_hold_coil("starter solenoid, heavy duty, 24 V")
    return [
        ("pull_hold_coils", (SOURCE, "12 V stop: pull A"), "32", 12.0 / stop.pull_ohm.nominal,
         None, "V / ohm"),
        ("pull_hold_coils", (SOURCE, "12 V stop: hold A"), "0.77", 12.0 / stop.hold_ohm.nominal,
         None, "V / ohm"),
        ("pull_hold_coils", (SOURCE, "12 V stop: longest pull s"), "1.2", stop.longest_pull_s),
        ("pull_hold_coils", (STARTER, "car, 10 V: hold A"), "15", 10.0 / car.hold_ohm.nominal,
         None, "middle of 10 to 20 A"),
        ("pull_hold_coils", (STARTER, "car, 10 V: both A"), "72.5",
         10.0 / car.hold_ohm.nominal + 10.0 / car.pull_ohm.nominal, 5.0, "middle of 60 to 85 A"),
        ("pull_hold_coils", (STARTER, "car: least V"), "8", 12.0 * car.pull_in_fraction, None,
         "0.67 of 12 V"),
        ("pull_hold_coils", (STARTER, "heavy duty, 20 V: hold A"), "14.6",
         20.0 / heavy.hold_ohm.nominal, None, "V / ohm"),
        ("converters", (CONVERTER, "usual output V"), "13.4",
         library.converter("24 V to 12 V, 10 A").output_v.nominal),
    ]  # fmt: skip


def test_printed_value(comparison):
    assert comparison.is_within


def test_both_windings_of_the_car_starter_lie_in_the_printed_range(library):
    row = library.pull_hold_coil("starter solenoid, car, 12 V")
    ends = ((row.hold_ohm.lower, row.pull_ohm.lower), (row.hold_ohm.upper, row.pull_ohm.upper))
    both = [10.0 / hold + 10.0 / pull for hold, pull in ends]
    assert both[0] > 60.0 > 0.9 * both[1]
    assert both[1] < 85.0


def test_the_hold_winding_stays_cool_where_the_pull_winding_would_burn(library):
    for row in library.pull_hold_coils.values():
        hold_w = row.rated_v**2 / row.hold_ohm.nominal
        pull_w = row.rated_v**2 / row.pull_ohm.nominal
        assert pull_w > 2.0 * hold_w
