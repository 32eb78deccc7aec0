"""What the machine's supply does beside its usual range: cranking, jump start, load dump, reversal.

Levels and times are rows of library/limits.csv. Source: iso-16750-2; iso-15003 asks the same of
farm machines (from memory: no table of its values was seen).
"""

from __future__ import annotations

import math

from circuitcheck.formulas.wire_resistance import resistance_at_ohm
from circuitcheck.model.converter import Converter
from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.library import Library
from circuitcheck.record import record

LEAST_SHARE = 0.75
"""Parts rated for less than this share of the system voltage do not hang on it directly."""


def converter_ahead(harness: Harness, part: Part) -> Converter | None:
    """Return the converter that a part lives on, by its own rated voltage; None on the machine's.

    Of several the one of highest output counts.
    """
    rated_v = getattr(part, "rated_v", harness.system_v)
    converters = harness.of_kind(Converter)
    if not converters or rated_v >= LEAST_SHARE * harness.system_v:
        return None
    return max(converters, key=lambda one: one.output_v.upper)


@record
class SupplyEvent:
    """A supply of `supply_v`, without sign, for `time_s` from a source of `source_ohm`."""

    name: str
    supply_v: float
    time_s: float
    source_ohm: float
    source: str


def jump_start(library: Library, system_v: float) -> SupplyEvent | None:
    """Return a start from a battery of twice the voltage; None on 24 V, where there is none."""
    if system_v != 12.0:
        return None
    row, time_s = library.limit("jump_start_12v_v"), library.limit("jump_start_s").value
    return SupplyEvent("jump start", row.value, time_s, 0.0, row.source)


def load_dump(library: Library, system_v: float, *, clamped: bool = True) -> SupplyEvent:
    """Return the load dump of an alternator that clamps it itself (test B), or not (test A)."""
    key = "load_dump_clamped" if clamped else "load_dump"
    row, time_s = library.limit(f"{key}_{system_v:g}v_v"), library.limit("load_dump_s")
    ohm = library.limit(f"load_dump_source_{system_v:g}v_ohm").value
    name = "load dump" if clamped else "load dump without clamp"
    return SupplyEvent(name, row.value, time_s.value, ohm, row.source)


def reversed_battery(library: Library, system_v: float) -> SupplyEvent:
    """Return a battery connected the wrong way round; the voltage is its magnitude."""
    row, time_s = library.limit(f"reversed_{system_v:g}v_v"), library.limit("reversed_s").value
    return SupplyEvent("reversed battery", row.value, time_s, 0.0, row.source)


def cranking_dip_v(library: Library, system_v: float, cranking_lower_v: float) -> float:
    """Return the first dip while cranking [V]: as the standard has it, or the file if lower."""
    return min(library.limit(f"cranking_dip_{system_v:g}v_v").value, cranking_lower_v)


@record
class HeatStep:
    """A winding at `start_c` in air of `ambient_c`, put on `supply_v` for `time_s`.

        T = T_0 + (V^2 / R_0 R_th - (T_0 - T_a)) (1 - exp(-t / tau)),   R_0 at T_0

    An upper bound: the winding's resistance only grows, so its power only falls. Source:
    worked-out, a first-order heat path as in `formulas/coil.py`.
    """

    start_c: float
    ambient_c: float
    resistance_20c_ohm: float
    k_per_w: float
    tau_s: float
    supply_v: float
    time_s: float

    @property
    def start_ohm(self) -> float:
        """Resistance of the winding at the start [ohm]."""
        return resistance_at_ohm(self.resistance_20c_ohm, self.start_c)

    @property
    def end_c(self) -> float:
        """Temperature at the end [degC]; never below the start."""
        power_w = self.supply_v**2 / self.start_ohm
        rise_k = power_w * self.k_per_w - (self.start_c - self.ambient_c)
        return self.start_c + max(0.0, rise_k) * -math.expm1(-self.time_s / self.tau_s)


def filament_life_h(supply_v: float, rated_v: float, time_s: float, exponent: float) -> float:
    """Return the hours at rated voltage that a time at another voltage costs a filament [h].

        t_0 = t (V / V_0)^12

    Source: lamp-rerating (exponent 12 to 16 printed; the lowest counts).
    """
    return time_s / 3600.0 * math.pow(supply_v / rated_v, exponent)


def dump_energy_j(event: SupplyEvent, breakdown_v: float, series_ohm: float) -> float:
    """Return the energy that a load dump drives into a TVS [J]; 0 where it does not conduct.

        I = (V - E) / (R_i + r);  W = (E + r I) I t

    The pulse is taken as square: an upper bound. Source: worked-out.
    """
    over_v = event.supply_v - breakdown_v
    if over_v <= 0.0:
        return 0.0
    amps = over_v / (event.source_ohm + series_ohm)
    return (breakdown_v + series_ohm * amps) * amps * event.time_s
