"""A plunger: pulled in by its winding, held back by spring and load, stopped at both ends.

    F = i^2 / 2 dL/ds,   L(s) = L_0 + (L_1 - L_0) s / S
    m dv/dt = F - F_spring(s) - F_load,   ds/dt = v
    L di/dt = u - R i - i v dL/ds         u the voltage at the winding

s from 0 (released) to the stroke S (seated). The last term is the dip: while the plunger moves the
current falls. Iron is taken as far from saturated and without eddy currents: forces are upper,
times are lower than a real coil's. Source: force from the change of stored energy,
openstax-university-physics; that inductance goes about straight with the stroke: measured on a
12 V push solenoid, six points between 64.5 mH and 113.9 mH, within 4 %.
"""

from __future__ import annotations

import numpy as np

from circuitcheck.record import record
from circuitcheck.transient.waveform import FloatArray


@record
class Plungers:
    """k plungers as arrays (k,): stroke [m], moving mass [kg], forces [N], inductances [H].

    `spring_n` and `seated_spring_n` are the spring's force released and seated.
    """

    stroke_m: FloatArray
    mass_kg: FloatArray
    spring_n: FloatArray
    seated_spring_n: FloatArray
    load_n: FloatArray
    released_h: FloatArray
    seated_h: FloatArray

    @property
    def slope_h_per_m(self) -> FloatArray:
        """Change of inductance with the stroke, (k,). [H/m]"""
        return np.asarray((self.seated_h - self.released_h) / self.stroke_m)

    def inductance_h(self, place_m: FloatArray) -> FloatArray:
        """Return the inductance at places from released, (k, ...). [H]"""
        share = self._share(place_m)
        shape = (-1,) + (1,) * (share.ndim - 1)
        gained = (self.seated_h - self.released_h).reshape(shape) * share
        return np.asarray(self.released_h.reshape(shape) + gained)

    def acceleration(self, place_m: FloatArray, speed: FloatArray, amps: FloatArray) -> FloatArray:
        """Return the acceleration, 0 where a stop holds the plunger, (k,). [m/s^2]"""
        share = self._share(place_m)
        back = self.spring_n + (self.seated_spring_n - self.spring_n) * share + self.load_n
        net = amps**2 / 2.0 * self.slope_h_per_m - back
        at_rest = (place_m <= 0.0) & (net <= 0.0)
        seated = (place_m >= self.stroke_m) & (net >= 0.0)
        return np.where(at_rest | seated, 0.0, net / self.mass_kg)

    def speed(self, place_m: FloatArray, speed: FloatArray) -> FloatArray:
        """Return the speed that the stops leave, (k,). [m/s]"""
        out = (place_m <= 0.0) & (speed < 0.0) | (place_m >= self.stroke_m) & (speed > 0.0)
        return np.where(out, 0.0, speed)

    def _share(self, place_m: FloatArray) -> FloatArray:
        shape = (-1,) + (1,) * (place_m.ndim - 1)
        return np.clip(place_m / self.stroke_m.reshape(shape), 0.0, 1.0)

    def moves_from_a(self) -> FloatArray:
        """Return the current at which each begins to move, (k,). [A]"""
        back = self.spring_n + self.load_n
        return np.asarray(np.sqrt(2.0 * back / self.slope_h_per_m))
