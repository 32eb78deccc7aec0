"""LEDs, diodes, suppressors, switches, metals and frame bonds: read or recalled, tied together."""

import pytest

SOURCE = "led-forward-voltage"
SWITCHES = "switch-figures"
DIODES = "rectifier-diode-types"
TVS = "tvs-types"
CCA = "astm-b566"
IEC = "iec-60228"
PRACTICE = "common-practice"
# IEC 60228 class 5, ohm/km: plain and tinned, read
CLASS_5 = {"1 mm2": (19.5, 20.0), "2.5 mm2": (7.98, 8.21), "10 mm2": (1.91, 1.95)}


def comparisons(library):
    red, clad = library.led("12 V, red"), library.material("copper-clad aluminium")
    tvs = library.suppressor("bidirectional TVS 600 W, 12 V")
    rows = [
        ("leds", "red: usual V", "1.8", red.forward_v.nominal),
        ("leds", "red: highest V", "2.2", red.forward_v.upper),
        ("leds", "yellow: highest V", "2.3", library.led("12 V, yellow").forward_v.upper),
        ("leds", "green, GaP: V", "2.1", library.led("12 V, green").forward_v.nominal),
        ("leds", "blue: V", "3.2", library.led("12 V, blue").forward_v.nominal),
        ("leds", "white: highest V", "4", library.led("12 V, white").forward_v.upper),
        ("leds", "12 V red with 1000 ohm: A", "0.01", red.current_a.nominal, None, "one digit"),
        ("switches", (SWITCHES, "silver contact: highest new mohm"), "50",
         1e3 * library.switch("toggle switch").contact_ohm.upper),
        ("diodes", (DIODES, "1N4007: V at 1 A at most"), "1.1",
         library.diode("1 A silicon diode, 1000 V").forward_v.upper),
        ("diodes", (DIODES, "1N5408: V at 3 A at most"), "1.0",
         library.diode("3 A silicon diode, 1000 V").forward_v.upper),
        ("diodes", (DIODES, "1N4007: surge A"), "30",
         library.diode("1 A silicon diode, 1000 V").surge_a),
        ("suppressors", (TVS, "24 V stand-off: clamp V"), "38.9", tvs.clamp_v),
        ("suppressors", (TVS, "24 V stand-off: clamp A"), "15.5", tvs.clamp_a),
        ("suppressors", (TVS, "24 V: lowest breakdown V"), "26.7", tvs.breakdown_v.lower),
        ("suppressors", (TVS, "24 V: highest breakdown V"), "29.5", tvs.breakdown_v.upper),
        ("materials", (CCA, "class 10A: 1e-8 ohm m"), "2.743",
         1.7241 * clad.resistance_factor.nominal, 0.5, "IACS share taken as 63 %"),
        ("frame_bonds", (PRACTICE, "strap: highest mohm"), "5",
         1e3 * library.frame_bond("strap").resistance_ohm.upper),
    ]  # fmt: skip
    tinned = library.material("tinned copper").resistance_factor
    for size, (plain, coated) in CLASS_5.items():
        what = (IEC, f"{size}: tinned over plain")
        rows.append(("materials", what, f"{coated / plain:.3f}", tinned.nominal, 1.0, "one factor"))
    return rows


def test_printed_value(comparison):
    assert comparison.is_within


def test_pulse_power_is_clamp_voltage_times_clamp_current(library):
    for row in library.suppressors.values():
        if row.kind == "bidirectional TVS":
            assert row.clamp_v * row.clamp_a == pytest.approx(row.power_w, rel=0.01)


def test_a_tvs_stands_off_what_a_failed_regulator_delivers(library):
    for row in library.suppressors.values():
        if row.kind == "bidirectional TVS":
            failed_v = library.limit(f"regulator_failure_{row.system_v:g}v_v").value
            assert row.standoff_v > failed_v


def test_adiabatic_factor_of_clad_aluminium_lies_between_aluminium_and_copper(library):
    # 10 % copper and 90 % aluminium by volume: sqrt(Qc * (beta + 20) / rho), iec-60364-5-54
    heat = 0.1 * 3.45e-3 + 0.9 * 2.5e-3
    expected = (heat * 248.0 / 2.743e-5) ** 0.5
    clad = library.material("copper-clad aluminium")
    assert clad.k_lead == pytest.approx(expected, rel=0.01)
    assert 148.0 < clad.k_lead < library.material("copper").k_lead


def test_unknown_joint_between_frames_spans_all_others(library):
    unknown = library.frame_bond("unknown").resistance_ohm
    for row in library.frame_bonds.values():
        assert unknown.lower <= row.resistance_ohm.lower
        assert unknown.upper >= row.resistance_ohm.upper
