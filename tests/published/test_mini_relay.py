"""Data sheet of a plug-in relay with the pin plan of ISO 7588-1, and of two other relays."""

import pytest

SOURCE = "relay-data-sheet"
BOARD = "board-relay-data-sheet"
POWER = "power-relay-data-sheet"
# coil V, pull-in at most V, release at least V, ohm at 23 degC, tolerance %, W
COILS = {
    "mini relay changeover, 12 V": ("8.0", "1.5", "85", "10", "1.7"),
    "mini relay make, sensitive, 12 V": ("6.5", "1.0", "75", "10", "1.9"),
    "mini relay changeover, 24 V": ("16.0", "3.0", "255", "10", "2.3"),
}
CARRYING = {"make": ("50", "35", "15"), "break": ("35", "25", "10")}  # 23, 85, 125 degC
BREAKING = {"make": ("30", "20"), "break": ("20", "10")}  # 12 V, 24 V
AT_23C = (254.5 + 3.0) / 254.5  # copper: back from 20 degC to the 23 degC of the data sheet


def rated(row, side, load, volts=None, air=None):
    found = [
        r for r in row.ratings_of(side)
        if r.load == load and volts in (None, r.voltage_v) and air in (None, r.ambient_c)
    ]  # fmt: skip
    assert len(found) == 1
    return found[0].current_a


def comparisons(library):
    rows = []
    for name, (pull_in, release, ohm, percent, watts) in COILS.items():
        row = library.relay(name)
        coil = row.resistance_20c_ohm.scaled(AT_23C)
        rows += [
            ("relays", f"{name}: pull-in V", pull_in, row.pull_in_v),
            ("relays", f"{name}: release V", release, row.drop_out_v),
            ("relays", f"{name}: ohm", ohm, coil.nominal),
            ("relays", f"{name}: %", percent, 100.0 * (coil.upper / coil.nominal - 1.0)),
            ("relays", f"{name}: W", watts, row.rated_v**2 / coil.nominal, None, "V * V / ohm"),
        ]
    row = library.relay("mini relay changeover, 12 V")
    for side in ("make", "break"):
        for air, amps in zip((23, 85, 125), CARRYING[side], strict=True):
            ours = rated(row, side, "carrying", air=air)
            rows.append(("contact_ratings", f"{side}, {air} degC: A", amps, ours))
        for volts, amps in zip((12, 24), BREAKING[side], strict=True):
            ours = rated(row, side, "DC resistive", volts)
            rows.append(("contact_ratings", f"{side}, {volts} V: A", amps, ours))
    power = library.relay("power relay make, 12 V")
    board = library.relay("board relay make, 12 V")
    return [
        *rows,
        ("relays", "make: making limit A", "120", row.making_limit_a),
        ("relays", "break: making limit A", "45", row.break_making_limit_a),
        (
            "contact_ratings",
            "power relay, resistive: A",
            "25",
            rated(power, "make", "DC resistive"),
        ),
        (
            "contact_ratings",
            "power relay, inductive: A",
            "10",
            rated(power, "make", "DC inductive"),
        ),
        ("relays", "power relay: drop at 10 A, mV", "50", 1e4 * power.make_ohm.nominal),
        *power_relay(library.relay("power relay changeover, 12 V")),
        ("relays", (BOARD, "ohm"), "300", board.resistance_20c_ohm.nominal),
        ("relays", (BOARD, "operate V"), "7.0", board.pull_in_v),
        ("relays", (BOARD, "release V"), "0.5", board.drop_out_v),
        ("relays", (BOARD, "usual contact mohm"), "3", 1e3 * board.make_ohm.nominal),
        ("relays", (BOARD, "highest contact mohm"), "50", 1e3 * board.make_ohm.upper),
        ("relays", (BOARD, "least load A"), "1", board.least_current_a),
        ("relays", (BOARD, "highest voltage V"), "16", board.highest_v),
        ("contact_ratings", (BOARD, "14 V: A"), "30", rated(board, "make", "DC resistive")),
    ]


def power_relay(row):
    coil = row.resistance_20c_ohm.scaled(AT_23C)
    rows = [
        ("relays", (POWER, "ohm"), "90", coil.nominal),
        ("relays", (POWER, "operate V"), "6.9", row.pull_in_v),
        ("relays", (POWER, "release V"), "1.2", row.drop_out_v),
        ("relays", (POWER, "W"), "1.6", row.rated_v**2 / coil.nominal, None, "V * V / ohm"),
        ("relays", (POWER, "usual drop at 10 A, mV"), "20", 1e4 * row.make_ohm.nominal),
        ("relays", (POWER, "highest drop at 10 A, mV"), "300", 1e4 * row.make_ohm.upper),
        ("relays", (POWER, "winding degC"), "180", row.temperature_limit_c),
        ("relays", (POWER, "making limit A"), "100", row.making_limit_a),
    ]
    printed = {"make": ("45", "30", "60"), "break": ("30", "25", "30")}
    for side, (cold, warm, breaking) in printed.items():
        rows += [
            (
                "contact_ratings",
                (POWER, f"{side}, 23 degC: A"),
                cold,
                rated(row, side, "carrying", air=23),
            ),
            (
                "contact_ratings",
                (POWER, f"{side}, 85 degC: A"),
                warm,
                rated(row, side, "carrying", air=85),
            ),
            (
                "contact_ratings",
                (POWER, f"{side}, 13.5 V inductive: A"),
                breaking,
                rated(row, side, "DC inductive", 13.5),
            ),
        ]
    return rows  # fmt: skip


def test_printed_value(comparison):
    assert comparison.is_within


def test_an_inductive_rating_is_never_worked_out_from_a_resistive_one(library):
    assert not [r for r in library.contact_ratings if r.how == "computed"]
    assert not [
        r for r in library.relay("mini relay changeover, 12 V").ratings if r.load == "DC inductive"
    ]


@pytest.mark.parametrize("side", ["make", "break"])
def test_a_contact_form_has_the_sides_of_its_name(side, library):
    for row in library.relays.values():
        wanted = row.contacts in (side, "changeover")
        assert (getattr(row, f"{side}_ohm") is not None) == wanted
        assert wanted or not getattr(row, f"{side}_ohm")
