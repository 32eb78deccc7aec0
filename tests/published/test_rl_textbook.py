"""One coil switched on: the textbook rise, and a solenoid measured along its stroke.

RL rise: i = (V / R) (1 - exp(-t R / L)), OpenStax University Physics vol. 2, RL circuits: for
10 ohm, 50 mH and 12 V half the current after ln 2 of 5 ms, nine tenths after ln 10 of it.
Solenoid: 12 V push type, inductance at 100 Hz against the way left to its seat, measured on one
sample for this project's reference values (six points).
"""

from __future__ import annotations

import numpy as np
import pytest

from circuitcheck.transient.switching_on.plunger import Plungers
from circuitcheck.transient.switching_on.rise import modes
from circuitcheck.transient.waveform import Waveform

MEASURED_MM_MH = (
    (4.10, 64.5), (3.05, 78.6), (2.52, 86.8), (1.15, 100.4), (0.35, 110.5), (0.0, 113.9),
)  # fmt: skip


@pytest.mark.parametrize(("share", "printed_ms"), [(0.5, 3.4657), (0.9, 11.5129)])
def test_half_and_nine_tenths_of_the_current(share: float, printed_ms: float) -> None:
    rise = modes(np.array([0.05]), np.array([[10.0]]), np.array([12.0]), np.zeros(1))
    times = np.linspace(0.0, 0.03, 30001)
    current = Waveform("coil", "A", times, rise.at(times)[0])
    reached = current.first_crossing_s(share * 1.2)
    assert reached is not None
    assert 1e3 * reached == pytest.approx(printed_ms, abs=1e-4)


def test_inductance_goes_about_straight_with_the_stroke() -> None:
    """The law between the two ends, held against the four points between them: within 4 %."""
    stroke_mm, released_mh = MEASURED_MM_MH[0]
    _, seated_mh = MEASURED_MM_MH[-1]
    assert seated_mh / released_mh == pytest.approx(1.77, abs=0.005)
    one = np.ones(1)
    plunger = Plungers(
        one * stroke_mm * 1e-3, one, one, one, one, one * released_mh * 1e-3, one * seated_mh * 1e-3
    )
    for left_mm, measured_mh in MEASURED_MM_MH:
        place = np.array([(stroke_mm - left_mm) * 1e-3])
        assert 1e3 * plunger.inductance_h(place)[0] == pytest.approx(measured_mh, rel=0.04)
