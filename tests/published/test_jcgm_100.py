"""JCGM 100:2008, examples H.1 and H.2, recalled: the law of propagation gives what is printed."""

from __future__ import annotations

import math

import pytest

from circuitcheck.formulas.uncertainty import combined_standard, rectangular_standard

SOURCE = "jcgm-100"


def comparisons(library):
    standards = [25.0, 9.7, 2.9, 16.6]  # nm, table H.1
    return [
        ("formula uncertainty", "H.1: standard uncertainty of 0.05 degC", "0.029",
         rectangular_standard(0.05)),
        ("formula uncertainty", "H.1: length of the end gauge, nm", "32",
         combined_standard([1.0] * 4, standards)),
    ]  # fmt: skip


def test_printed_value(comparison):
    assert comparison.is_within


def test_h_1_end_gauge_of_50_mm() -> None:
    """l = l_s + d - l_s (delta_alpha theta + alpha_s delta_theta); lengths in nm, printed 32 nm."""
    l_s, theta, alpha_s = 50_000_623.0, -0.1, 11.5e-6
    sensitivities = [1.0, 1.0, -l_s * theta, -l_s * alpha_s]
    # delta_alpha: within 1e-6; delta_theta: within 0.05 degC, both rectangular (4.3.7)
    standards = [25.0, 9.7, rectangular_standard(1e-6), rectangular_standard(0.05)]
    assert standards[2] == pytest.approx(0.58e-6, abs=0.005e-6)
    assert standards[3] == pytest.approx(0.029, abs=0.0005)
    assert abs(sensitivities[2]) * standards[2] == pytest.approx(2.9, abs=0.05)
    assert abs(sensitivities[3]) * standards[3] == pytest.approx(16.6, abs=0.05)
    assert combined_standard(sensitivities, standards) == pytest.approx(32.0, abs=0.5)


def test_h_2_resistance_from_correlated_volts_amperes_and_phase() -> None:
    """R = V / I cos(phi), table H.3 and H.4: R = 127.732 ohm, u(R) = 0.071 ohm."""
    volts, amps, phi = 4.9990, 19.6610e-3, 1.04446
    ohm = volts / amps * math.cos(phi)
    assert ohm == pytest.approx(127.732, abs=0.003)  # the means are printed to five digits
    sensitivities = [ohm / volts, -ohm / amps, -volts / amps * math.sin(phi)]
    standards = [0.0032, 0.0095e-3, 0.00075]
    r_vi, r_vp, r_ip = -0.36, 0.86, -0.65
    correlations = [[1.0, r_vi, r_vp], [r_vi, 1.0, r_ip], [r_vp, r_ip, 1.0]]
    assert combined_standard(sensitivities, standards, correlations) == pytest.approx(
        0.071, abs=0.002
    )
