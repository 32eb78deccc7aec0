"""Two filaments, beside one winding or alone: the equations of `glowing.py` written out.

A few plain products in place of loops: the same numbers in a fraction of the time.
"""

from __future__ import annotations

from collections.abc import Callable

from circuitcheck.transient.switching_on.filament import TUNGSTEN_EXPONENT, Filaments
from circuitcheck.transient.waveform import FloatArray


def pair_rates(
    driven: FloatArray, matrix: FloatArray, own_ohm: float, inductance_h: float, pair: Filaments
) -> Callable[[float, FloatArray], tuple[float, float, float]]:
    """Return the rates of (winding current, warmth, warmth) for `driven` (3,), `matrix` (3, 3)."""
    e, e_1, e_2 = driven.tolist()
    (m, m_1, m_2), (b_1, m_11, m_12), (b_2, m_21, m_22) = matrix.tolist()
    whole = m + own_ohm
    r_1, r_2 = pair.lit_ohm.tolist()
    cold_1, cold_2 = pair.cold.tolist()
    q_1, q_2 = pair.power_exponent.tolist()
    slow_1, slow_2 = 1.0 / (q_1 * pair.time_constant_s), 1.0 / (q_2 * pair.time_constant_s)
    # r / (P0 q tau) and y_c^q / (q tau), so that less is left to do at each step
    warms_1, warms_2 = r_1 * slow_1 / pair.lit_w[0].item(), r_2 * slow_2 / pair.lit_w[1].item()
    kept_1, kept_2 = cold_1**q_1 * slow_1, cold_2**q_2 * slow_2
    cross, quick = m_12 * m_21, 1.0 / inductance_h
    driven_1, whole_1, m_1, m_2 = e * quick, whole * quick, m_1 * quick, m_2 * quick

    def rates(_time_s: float, state: FloatArray) -> tuple[float, float, float]:
        amps, y_1, y_2 = state.tolist()
        y_1 = y_1 if y_1 > cold_1 else cold_1
        y_2 = y_2 if y_2 > cold_2 else cold_2
        rise_1, rise_2 = y_1**TUNGSTEN_EXPONENT, y_2**TUNGSTEN_EXPONENT
        v_1, v_2 = e_1 - b_1 * amps, e_2 - b_2 * amps
        a, d = m_11 + r_1 * rise_1, m_22 + r_2 * rise_2
        # Both are above their coupling by a whole filament: no digits are lost here.
        over = 1.0 / (a * d - cross)
        i_1, i_2 = (d * v_1 - m_12 * v_2) * over, (a * v_2 - m_21 * v_1) * over
        return (
            driven_1 - whole_1 * amps - m_1 * i_1 - m_2 * i_2,
            i_1 * i_1 * rise_1 * warms_1 - y_1**q_1 * slow_1 + kept_1,
            i_2 * i_2 * rise_2 * warms_2 - y_2**q_2 * slow_2 + kept_2,
        )

    return rates


def lone_pair_rates(
    driven: FloatArray, matrix: FloatArray, pair: Filaments
) -> Callable[[float, FloatArray], tuple[float, float]]:
    """Return the rates of (warmth, warmth) for `driven` (2,) and `matrix` (2, 2)."""
    e_1, e_2 = driven.tolist()
    (m_11, m_12), (m_21, m_22) = matrix.tolist()
    r_1, r_2 = pair.lit_ohm.tolist()
    cold_1, cold_2 = pair.cold.tolist()
    q_1, q_2 = pair.power_exponent.tolist()
    slow_1, slow_2 = 1.0 / (q_1 * pair.time_constant_s), 1.0 / (q_2 * pair.time_constant_s)
    warms_1, warms_2 = r_1 * slow_1 / pair.lit_w[0].item(), r_2 * slow_2 / pair.lit_w[1].item()
    kept_1, kept_2 = cold_1**q_1 * slow_1, cold_2**q_2 * slow_2
    cross = m_12 * m_21

    def rates(_time_s: float, state: FloatArray) -> tuple[float, float]:
        y_1, y_2 = state.tolist()
        y_1 = y_1 if y_1 > cold_1 else cold_1
        y_2 = y_2 if y_2 > cold_2 else cold_2
        rise_1, rise_2 = y_1**TUNGSTEN_EXPONENT, y_2**TUNGSTEN_EXPONENT
        a, d = m_11 + r_1 * rise_1, m_22 + r_2 * rise_2
        over = 1.0 / (a * d - cross)
        i_1, i_2 = (d * e_1 - m_12 * e_2) * over, (a * e_2 - m_21 * e_1) * over
        return (
            i_1 * i_1 * rise_1 * warms_1 - y_1**q_1 * slow_1 + kept_1,
            i_2 * i_2 * rise_2 * warms_2 - y_2**q_2 * slow_2 + kept_2,
        )

    return rates
