"""Release of coils with suppressors: a forum measurement and a run of an independent simulator."""

from circuitcheck.formulas.suppression import clamped_peak_v, decay_time_s

SOURCE = "suppression-measured"


def comparisons(library):
    return [
        ("formula suppression", "12 V, 120 ohm relay, 680 ohm beside: peak V", "65",
         clamped_peak_v(12.0 / 120.0, 0.0, 680.0), 5.0, "one measurement, read from a screen"),
        # 12 V, 10 ohm, 50 mH with a junction diode, worked by ngspice 39
        ("formula suppression", ("worked-out", "ngspice, 0.7 V diode, to 50 %, ms"), "3.194",
         1e3 * decay_time_s(0.05, 10.0, 1.2, 0.6, 0.7), 0.5, "a junction diode is not constant"),
        ("formula suppression", ("worked-out", "ngspice, 0.7 V diode, to 10 %, ms"), "9.538",
         1e3 * decay_time_s(0.05, 10.0, 1.2, 0.12, 0.7), 0.5, "a junction diode is not constant"),
    ]  # fmt: skip


def test_printed_value(comparison):
    assert comparison.is_within
