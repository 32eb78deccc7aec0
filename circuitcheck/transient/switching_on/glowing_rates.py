"""How fast windings and filaments change: the equations of `glowing.py` in plain numbers.

For a handful of states they are quicker than arrays; for two filaments, the commonest, they are
written out, which is quicker again.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from circuitcheck.transient.switching_on.filament import TUNGSTEN_EXPONENT, Filaments
from circuitcheck.transient.switching_on.glowing_pair import lone_pair_rates, pair_rates
from circuitcheck.transient.waveform import FloatArray

Rates = Callable[[float, FloatArray], Sequence[float]]
Number = TypeVar("Number", float, FloatArray)


def glowing_rates(
    driven: FloatArray,
    matrix: FloatArray,
    own_ohm: FloatArray,
    inductance_h: FloatArray,
    one: Filaments,
) -> Rates:
    """Return the rates of windings (w,), then lamps (d,), for `driven` and `matrix` of both.

    `own_ohm` and `inductance_h` (w,) are those of the windings. [ohm, H]
    """
    if len(one.lit_ohm) == 2 and len(own_ohm) == 1:
        return pair_rates(driven, matrix, float(own_ohm[0]), float(inductance_h[0]), one)
    if len(one.lit_ohm) == 2 and not len(own_ohm):
        return lone_pair_rates(driven, matrix, one)
    return any_rates(driven, matrix, own_ohm, inductance_h, one)


def any_rates(
    driven: FloatArray,
    matrix: FloatArray,
    own_ohm: FloatArray,
    inductance_h: FloatArray,
    one: Filaments,
) -> Rates:
    """Return the rates of any number of windings and lamps; see `glowing_rates`."""
    w, d = len(own_ohm), len(one.lit_ohm)
    every, volts_of = matrix.tolist(), driven.tolist()
    own, inverse_h = own_ohm.tolist(), (1.0 / inductance_h).tolist()
    lit_ohm, inverse_w = one.lit_ohm.tolist(), (1.0 / one.lit_w).tolist()
    cold, q = one.cold.tolist(), one.power_exponent.tolist()
    cold_w = [c**k for c, k in zip(cold, q, strict=True)]
    slow = [1.0 / (k * one.time_constant_s) for k in q]
    windings, lamps = range(w), range(d)

    def rates(_time_s: float, state: FloatArray) -> list[float]:
        y = state.tolist()
        amps = y[:w]
        warmth = [max(y[w + j], cold[j]) for j in lamps]
        ohms = [lit_ohm[j] * warmth[j] ** TUNGSTEN_EXPONENT for j in lamps]
        right = [volts_of[w + j] - _dot(every[w + j], amps) for j in lamps]
        rows = [[every[w + j][w + k] + (ohms[j] if j == k else 0.0) for k in lamps] for j in lamps]
        lit_a = solved_rows(rows, right)
        out = []
        for k in windings:
            row = every[k]
            volts = volts_of[k] - _dot(row, amps) - own[k] * amps[k]
            for j in lamps:
                volts -= row[w + j] * lit_a[j]
            out.append(volts * inverse_h[k])
        for j in lamps:
            power = lit_a[j] * lit_a[j] * ohms[j] * inverse_w[j]
            out.append((power - warmth[j] ** q[j] + cold_w[j]) * slow[j])
        return out

    return rates


def _dot(row: Sequence[float], amps: Sequence[float]) -> float:
    return sum(a * b for a, b in zip(row, amps, strict=False))


def solved_rows(rows: list[list[Number]], right: list[Number]) -> list[Number]:
    """Solve a small system of numbers, or of arrays of them, elimination in place.

    Its matrix is diagonally heavy, so that no rows need to change places.
    """
    count = len(right)
    for k in range(count):
        pivot = rows[k]
        for j in range(k + 1, count):
            share = rows[j][k] / pivot[k]
            rows[j] = [a - share * b for a, b in zip(rows[j], pivot, strict=True)]
            right[j] = right[j] - share * right[k]
    for k in reversed(range(count)):
        for j in range(k + 1, count):
            right[k] = right[k] - rows[k][j] * right[j]
        right[k] = right[k] / rows[k][k]
    return right
