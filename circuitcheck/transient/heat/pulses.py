"""Spells in which a current stands above a level, and their I2t."""

from __future__ import annotations

import numpy as np

from circuitcheck.transient.waveform import Waveform


def pulses_above(current: Waveform, above_a: float) -> list[tuple[float, float]]:
    """Return how long each spell above a level lasts, and its I2t [s, A^2 s]."""
    pulses = []
    for start, end in spells_above(current, above_a):
        inside = (current.times_s > start) & (current.times_s < end)
        if end <= start:
            continue
        times = np.concatenate(([start], current.times_s[inside], [end]))
        spell = Waveform(
            current.name, current.unit, times, np.interp(times, current.times_s, current.values)
        )
        pulses.append((end - start, spell.square_integral()))
    return pulses


def pulse_i2t_a2s(current: Waveform, above_a: float) -> float:
    """Return the I2t of those spells in which a current stands above a level [A^2 s]."""
    return sum(i2t_a2s for _, i2t_a2s in pulses_above(current, above_a))


def spells_above(current: Waveform, level: float) -> list[tuple[float, float]]:
    """Return from when to when a current's magnitude stands at or above a level [s]."""
    size = np.abs(current.values)
    above = size >= level * (1.0 - 1e-12)
    spells: list[tuple[float, float]] = []
    start: float | None = float(current.times_s[0]) if above[0] else None
    for k in np.flatnonzero(above[1:] != above[:-1]).tolist():
        share = (level - size[k]) / (size[k + 1] - size[k])
        crossing = float(current.times_s[k] + share * (current.times_s[k + 1] - current.times_s[k]))
        if above[k + 1]:
            start = crossing
        elif start is not None:
            spells.append((start, crossing))
            start = None
    if start is not None:
        spells.append((start, float(current.times_s[-1])))
    return spells
