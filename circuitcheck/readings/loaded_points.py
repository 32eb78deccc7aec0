"""What a filament between two points settles at, on every faulted circuit at once.

    (Vo - v) / R = i(v),   R = R1 (Vo / V1 - 1)

Vo is the open voltage, V1 that with the filament's hot resistance R1 between the points: for a
circuit of resistances R is its source resistance (Thevenin); where lamps and diodes lie beside, it
holds near the operating point. The left side falls with v, the right rises: one solution.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.model.instrument import Filament
from circuitcheck.readings.meter_error import FloatArray

HALVINGS = 48


def filament_v(circuits: FaultedCircuits, plus: str, minus: str, filament: Filament) -> FloatArray:
    """Return the voltage across a filament put between two points (faults + 1, draws). [V]"""
    hot_ohm = filament.rated_v / filament.current_a.nominal
    open_v = circuits.between_v(plus, minus)
    loaded_v = circuits.between_v(plus, minus, hot_ohm)
    size, loaded = np.abs(open_v), np.abs(loaded_v)
    with np.errstate(divide="ignore", invalid="ignore"):
        source_ohm = hot_ohm * np.maximum(size / loaded - 1.0, 0.0)
    source_ohm = np.where(loaded > 0.0, source_ohm, np.inf)
    low, high = np.zeros(size.shape), size.copy()
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        too_low = (size - middle) > source_ohm * _current(filament, middle)
        low, high = np.where(too_low, middle, low), np.where(too_low, high, middle)
    return np.asarray(np.sign(open_v) * np.where(np.isfinite(source_ohm), low, 0.0))


def _current(filament: Filament, voltage_v: FloatArray) -> FloatArray:
    share = voltage_v / filament.rated_v
    hot = np.power(np.maximum(share, 0.0), filament.exponent)
    amps = np.minimum(filament.cold_ratio.nominal * share, hot)
    # nothing flows at 0 V: an infinite source resistance then gives 0, not nan
    return np.asarray(np.maximum(filament.current_a.nominal * amps, 1e-15))
