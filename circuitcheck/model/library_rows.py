"""One record per library row, each with its source key and how its numbers are known."""

from __future__ import annotations

import math
from collections.abc import Mapping

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

HOW_KNOWN = ("looked-up", "memory", "computed", "common practice")
GIVEN = "given by the user"
"""How the numbers of a row of the user's own file are known."""


@record
class Source:
    """Where numbers of the library come from; `known` says how the source itself was met."""

    key: str
    title: str
    author: str
    edition: str
    where: str
    known: str


@record(kw_only=True)
class Row:
    """What every row carries: name, key of its source, one of HOW_KNOWN or GIVEN, a remark."""

    name: str
    source: str
    how: str
    note: str = ""


@record(kw_only=True)
class ConductorRow(Row):
    """One conductor size; resistance at 20 degC, direct current, of plain or tinned copper."""

    system: str
    area_min_mm2: float
    area_mm2: float
    resistance_ohm_per_m: Band


@record(kw_only=True)
class InsulationRow(Row):
    """One insulation class; `short_circuit_c` is the limit for faults up to 5 s."""

    temperature_c: float
    short_circuit_c: float


@record(kw_only=True)
class AmpacityRow(Row):
    """Current that brings one size to `temperature_c` in air of `ambient_c`; name is the size."""

    temperature_c: float
    ambient_c: float
    current_a: float


@record(kw_only=True)
class FactorRow(Row):
    """One point of a factor table; `at` is the class, the number of conductors or degC."""

    at: float
    factor: float


@record(kw_only=True)
class FuseRow(Row):
    """One fuse; resistance from cold and unloaded to hot at rated current.

    `clip` names the contact of its holder, at each end. `voltage_rating_v` and
    `breaking_capacity_a` are for direct current, None where no source gives them.
    """

    style: str
    rating_a: float
    resistance_ohm: Band
    drop_at_rated_v: float
    melting_i2t_a2s: float | None
    colour: str
    clip: str
    voltage_rating_v: float | None
    breaking_capacity_a: float | None


@record(kw_only=True)
class FuseOpeningBand(Row):
    """Opening-time limits of one style; `max_s` is infinite where opening is not demanded."""

    percents: tuple[float, ...]
    min_s: tuple[float, ...]
    max_s: tuple[float, ...]

    @property
    def holds_percent(self) -> float:
        """Highest listed percent of the rating at which the style does not have to open."""
        return max(p for p, t in zip(self.percents, self.max_s, strict=True) if math.isinf(t))

    @property
    def opens_percent(self) -> float:
        """Lowest listed percent of the rating at which the style is sure to open."""
        return min(p for p, t in zip(self.percents, self.max_s, strict=True) if math.isfinite(t))


@record(kw_only=True)
class ContactRow(Row):
    """One contact family; resistance from new at its best to aged at its limit."""

    kind: str
    sealed: bool | None
    resistance_ohm: Band
    rated_current_a: float | None
    area_min_mm2: float | None
    area_max_mm2: float | None
    plating: str


@record(kw_only=True)
class CoilRow(Row):
    """One trade type of solenoid coil; resistance at 20 degC, fractions of rated voltage."""

    rated_v: float
    resistance_ohm: Band
    thermal_resistance_k_per_w: Band
    thermal_time_constant_s: Band
    inductance_h: Band
    temperature_class_c: float
    duty: float
    pull_in_fraction: float
    highest_voltage_fraction: float
    drop_out_fraction: Band


@record(kw_only=True)
class BatteryRow(Row):
    """One battery; resistance from warm, new and charged to cold and aged."""

    system_v: float
    capacity_ah: float
    open_circuit_v: Band
    resistance_ohm: Band
    cold_cranking_a: float | None
    alternator_a: float


@record(kw_only=True)
class SupplyRow(Row):
    """Default voltage at the battery posts, under load, in one state of the machine."""

    system_v: float
    state: str
    voltage_v: Band


@record(kw_only=True)
class LimitRow(Row):
    """One limit used by a check; name is its key."""

    value: float
    unit: str


@record
class UserRows:
    """Rows of a user's own file, by table; `source` is the file itself."""

    source: Source
    tables: Mapping[str, tuple[Row, ...]]
