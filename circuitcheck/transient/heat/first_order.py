"""A first-order term fed with the square of a straight piece of current, in closed form.

    tau dx/dt + x = (a + b t)^2
    x(t) = c0 + c1 t + c2 t^2 + (x(0) - c0) exp(-t / tau)
    c2 = b^2, c1 = 2 a b - 2 tau c2, c0 = a^2 - tau c1

From first principles: put into the equation, both sides agree.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.transient.waveform import FloatArray


def after_piece(
    state: FloatArray | float,
    first: FloatArray | float,
    last: FloatArray | float,
    time_s: FloatArray | float,
    time_constants_s: FloatArray,
) -> FloatArray:
    """Return the states of terms (..., k) after a straight piece from `first` to `last`.

    All else is (..., 1) or one value. For a piece short against a term the polynomial would cancel
    digits: its series is used there.
    """
    slope = (last - first) / time_s
    tau = time_constants_s
    decay = np.exp(-time_s / tau)
    square = slope * slope
    linear = 2.0 * first * slope - 2.0 * tau * square
    constant = first * first - tau * linear
    exact = (constant + linear * time_s + square * time_s**2) + (state - constant) * decay
    # To third order in t / tau: what flows in less what leaks, exact to 1e-9 below 1e-3.
    share = time_s / tau
    mean = (first * first + first * last + last * last) / 3.0
    late = (first * first + 2.0 * first * last + 3.0 * last * last) / 12.0
    short = state * decay + share * (mean - share * (mean - late))
    return np.asarray(np.where(share < 1e-3, short, exact))


def along_pieces(
    state: FloatArray, values: FloatArray, times_s: FloatArray, time_constants_s: FloatArray
) -> FloatArray:
    """Return the states (n, k) at the points (n,) of straight pieces, from a state (k,).

    What a piece adds to a term that is empty, and what it leaves of what was there.
    """
    lasts_s = np.diff(times_s)[:, None]
    added = after_piece(0.0, values[:-1, None], values[1:, None], lasts_s, time_constants_s)
    left = np.exp(-lasts_s / time_constants_s)
    states = np.empty((times_s.size, time_constants_s.size))
    states[0] = state
    for k in range(times_s.size - 1):
        states[k + 1] = left[k] * states[k] + added[k]
    return states


def periodic_peaks(
    times_s: FloatArray,
    values: FloatArray,
    period_s: float,
    time_constants_s: FloatArray,
    presses: int | None = None,
) -> FloatArray:
    """Return the states at each point of a press that repeats, (times, terms).

        x_n(t) = x_0(t) + exp(-t / tau) x_0(T) (1 - exp(-(n-1) T / tau)) / (1 - exp(-T / tau))

    x_0 is the press from cold, x_0(T) what is left of it when the next begins; for good where
    `presses` is None. Raises ValueError where the press is longer than its period.
    """
    since = times_s - times_s[0]
    if since[-1] > period_s * (1.0 + 1e-12):
        raise ValueError(f"period_s: got {period_s:g}, shorter than a press of {since[-1]:g} s")
    tau = time_constants_s
    alone = along_pieces(np.zeros(tau.size), values, since, tau)
    left = alone[-1] * np.exp(-np.maximum(0.0, period_s - since[-1]) / tau)
    earlier = np.inf if presses is None else float(presses - 1)
    gathered = -np.expm1(-earlier * period_s / tau) if earlier > 0.0 else np.zeros(tau.size)
    return np.asarray(
        alone + np.exp(-since[:, None] / tau) * left * gathered / -np.expm1(-period_s / tau)
    )
