"""Inrush of a filament: its law stepped in time by hand, and what is printed of real lamps."""

import numpy as np
import pytest

from circuitcheck.circuit.netlist import LampCurve
from circuitcheck.model.tolerance_band import Band
from circuitcheck.transient.switching_on.filament_inrush import filament_inrush

FIVE_WATT = LampCurve(13.5, Band.exact(5.0 / 13.5), Band.exact(13.7), 0.55)


def test_sum_agrees_with_small_steps_in_time():
    wave = filament_inrush(FIVE_WATT, 13.5, 0.05)
    q = 1.2 * 1.55 / 0.45
    y, cold, step, amps = 13.7 ** (-1 / 1.2), 13.7 ** (-1 / 1.2), 2e-6, []
    for _ in range(50_000):
        amps.append(5.0 / 13.5 / y**1.2)
        y += step * (y**-1.2 - (y**q - cold**q)) / (q * 0.05)
    times = step * np.arange(50_000)
    assert wave.at(0.0) == pytest.approx(13.7 * 5.0 / 13.5)
    for time in (1e-3, 5e-3, 0.02, 0.09):
        assert wave.at(time) == pytest.approx(np.interp(time, times, amps), rel=0.01)
    charge = np.sum(np.square(amps)) * step
    inside = wave.times_s[wave.times_s < 0.1]
    ours = np.trapezoid(np.interp(inside, wave.times_s, wave.values) ** 2, inside)
    assert ours == pytest.approx(charge, rel=0.02)


def test_falls_to_what_it_takes_lit():
    wave = filament_inrush(FIVE_WATT, 13.5, 0.05)
    assert wave.values[-1] == pytest.approx(5.0 / 13.5, rel=0.005)
    assert np.all(np.diff(wave.values) < 0.0)
    # lamp-starting: the inrush of a small lamp dies away in about 50 ms.
    assert wave.at(0.1) < 1.25 * 5.0 / 13.5
