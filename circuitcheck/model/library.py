"""The library as one frozen record: look-ups by name, search in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from typing import Any

from circuitcheck.errors import LibraryError
from circuitcheck.model.instrument import InstrumentRow
from circuitcheck.model.library_diagnosis_rows import EffortRow, FaultPriorRow
from circuitcheck.model.library_look_up import look_up, plain_size
from circuitcheck.model.library_merge import FIELD_OF, merge
from circuitcheck.model.library_part_rows import (
    ContactRatingRow,
    ConverterRow,
    DiodeRow,
    FrameBondRow,
    LampRow,
    LedRow,
    MaterialRow,
    PlatingPairRow,
    PullHoldCoilRow,
    RelayRow,
    SocketCavityRow,
    SocketRow,
    SuppressorRow,
    SwitchRow,
)
from circuitcheck.model.library_rows import (
    GIVEN,
    HOW_KNOWN,
    AmpacityRow,
    BatteryRow,
    CoilRow,
    ConductorRow,
    ContactRow,
    FactorRow,
    FuseOpeningBand,
    FuseRow,
    InsulationRow,
    LimitRow,
    Row,
    Source,
    SupplyRow,
    UserRows,
)
from circuitcheck.model.library_search import SearchHit, search_rows
from circuitcheck.model.library_workshop_rows import OutsideDiameterRow, WireEndRow
from circuitcheck.record import record

__all__ = [
    "GIVEN",
    "HOW_KNOWN",
    "AmpacityRow",
    "BatteryRow",
    "CoilRow",
    "ConductorRow",
    "ContactRatingRow",
    "ContactRow",
    "ConverterRow",
    "DiodeRow",
    "FactorRow",
    "FrameBondRow",
    "FuseOpeningBand",
    "FuseRow",
    "InstrumentRow",
    "InsulationRow",
    "LampRow",
    "LedRow",
    "Library",
    "LimitRow",
    "MaterialRow",
    "PlatingPairRow",
    "PullHoldCoilRow",
    "RelayRow",
    "Row",
    "SearchHit",
    "SocketCavityRow",
    "SocketRow",
    "Source",
    "SupplyRow",
    "SuppressorRow",
    "SwitchRow",
    "UserRows",
]


@record
class Library:
    """All tables. Look-ups by name raise LibraryError with the nearest names.

    `replaced` holds table, name and file of each row of a user's own that stands in for one of
    the library.
    """

    sources: Mapping[str, Source]
    conductors: Mapping[str, ConductorRow]
    insulations: Mapping[str, InsulationRow]
    ampacities: tuple[AmpacityRow, ...]
    engine_space_factors: tuple[FactorRow, ...]
    bundle_factors: tuple[FactorRow, ...]
    fuses: Mapping[str, FuseRow]
    fuse_opening_bands: Mapping[str, FuseOpeningBand]
    fuse_rerating: tuple[FactorRow, ...]
    contacts: Mapping[str, ContactRow]
    coils: Mapping[str, CoilRow]
    batteries: Mapping[str, BatteryRow]
    supplies: Mapping[str, SupplyRow]
    limits: Mapping[str, LimitRow]
    contact_ratings: tuple[ContactRatingRow, ...]
    relays: Mapping[str, RelayRow]
    pull_hold_coils: Mapping[str, PullHoldCoilRow]
    converters: Mapping[str, ConverterRow]
    switches: Mapping[str, SwitchRow]
    lamps: Mapping[str, LampRow]
    leds: Mapping[str, LedRow]
    diodes: Mapping[str, DiodeRow]
    suppressors: Mapping[str, SuppressorRow]
    sockets: Mapping[str, SocketRow]
    materials: Mapping[str, MaterialRow]
    frame_bonds: Mapping[str, FrameBondRow]
    plating_pairs: Mapping[str, PlatingPairRow]
    instruments: Mapping[str, InstrumentRow]
    fault_priors: Mapping[str, FaultPriorRow]
    efforts: Mapping[str, EffortRow]
    outside_diameters: Mapping[str, OutsideDiameterRow]
    wire_ends: Mapping[str, WireEndRow]
    replaced: tuple[tuple[str, str, str], ...] = ()

    def conductor(self, name: str) -> ConductorRow:
        """Return the conductor of this size, e.g. `16 AWG` or `1.5 mm2`; `1.50 mm²` is the same."""
        return look_up(self.conductors, plain_size(name), "conductors")

    def insulation(self, name: str) -> InsulationRow:
        """Return the insulation class, e.g. `PVC 105`; `unknown` is the 60 degC row."""
        return look_up(self.insulations, name, "insulation")

    def contact(self, name: str) -> ContactRow:
        """Return the contact family, e.g. `2.8 mm sealed`."""
        return look_up(self.contacts, name, "contacts")

    def coil(self, name: str) -> CoilRow:
        """Return the coil of this trade type, e.g. `medium valve coil, 12 V`."""
        return look_up(self.coils, name, "coils")

    def battery(self, name: str) -> BatteryRow:
        """Return the battery of this trade type, e.g. `12 V flooded, 60 Ah`."""
        return look_up(self.batteries, name, "batteries")

    def limit(self, key: str) -> LimitRow:
        """Return the limit with this key, e.g. `fuse_continuous_share`."""
        return look_up(self.limits, key, "limits")

    def relay(self, name: str) -> RelayRow:
        """Return the relay or contactor, e.g. `mini relay changeover, 12 V`."""
        return look_up(self.relays, name, "relays")

    def pull_hold_coil(self, name: str) -> PullHoldCoilRow:
        """Return the coil of two windings, e.g. `engine stop solenoid, 12 V`."""
        return look_up(self.pull_hold_coils, name, "pull_hold_coils")

    def converter(self, name: str) -> ConverterRow:
        """Return the converter, e.g. `24 V to 12 V, 10 A`."""
        return look_up(self.converters, name, "converters")

    def switch(self, name: str) -> SwitchRow:
        """Return the switch or isolator, e.g. `rocker switch` or `battery isolator`."""
        return look_up(self.switches, name, "switches")

    def lamp(self, name: str) -> LampRow:
        """Return the filament lamp, e.g. `12 V, 5 W`."""
        return look_up(self.lamps, name, "lamps")

    def led(self, name: str) -> LedRow:
        """Return the LED indicator, e.g. `12 V, green`."""
        return look_up(self.leds, name, "leds")

    def diode(self, name: str) -> DiodeRow:
        """Return the diode, e.g. `1 A silicon diode, 1000 V`."""
        return look_up(self.diodes, name, "diodes")

    def suppressor(self, name: str) -> SuppressorRow:
        """Return the suppressor, e.g. `bidirectional TVS 600 W, 12 V`."""
        return look_up(self.suppressors, name, "suppressors")

    def socket(self, name: str) -> SocketRow:
        """Return the trailer socket, e.g. `ISO 1724`."""
        return look_up(self.sockets, name, "sockets")

    def material(self, name: str) -> MaterialRow:
        """Return the conductor material, e.g. `copper` or `copper-clad aluminium`."""
        return look_up(self.materials, name, "materials")

    def frame_bond(self, by: str) -> FrameBondRow:
        """Return the joint between frames: `bolts`, `strap`, `hinge`, `coupling`, `unknown`."""
        return look_up(self.frame_bonds, by, "frame_bonds")

    def plating_pair(self, first: str, second: str) -> PlatingPairRow:
        """Return the pair of two platings, in either order."""
        name, other = f"{first} on {second}", f"{second} on {first}"
        return look_up(
            self.plating_pairs, other if other in self.plating_pairs else name, "plating_pairs"
        )

    def instrument(self, name: str) -> InstrumentRow:
        """Return the instrument or observation, e.g. `digital voltmeter`, `test lamp`, `click`."""
        return look_up(self.instruments, name, "instruments")

    def source(self, key: str) -> Source:
        """Return the source behind a row's key."""
        if key not in self.sources:
            raise LibraryError(f"library/sources.toml has no key {key!r}.")
        return self.sources[key]

    def supply(self, system_v: float, state: str) -> SupplyRow:
        """Return the supply default of a 12 V or 24 V system, e.g. state `engine off`."""
        return look_up(self.supplies, f"{system_v:g} V {state}", "supply")

    def fuse(self, style: str, rating_a: float) -> FuseRow:
        """Return the fuse of this style and rating, e.g. `blade`, 5.0."""
        return look_up(self.fuses, f"{rating_a:g} A {style}", "fuses")

    def fuse_ratings(self, style: str) -> tuple[float, ...]:
        """Return the ratings of one style in A, ascending."""
        self.fuse_opening_band(style)
        return tuple(sorted(row.rating_a for row in self.fuses.values() if row.style == style))

    def fuse_opening_band(self, style: str) -> FuseOpeningBand:
        """Return the opening-time limits of one style."""
        return look_up(self.fuse_opening_bands, style, "fuse_opening_times")

    def next_conductors(self, name: str) -> tuple[ConductorRow, ...]:
        """Return the larger sizes of the same system, ascending in area."""
        given = self.conductor(name)
        larger = (
            row
            for row in self.conductors.values()
            if row.system == given.system and row.area_mm2 > given.area_mm2
        )
        return tuple(sorted(larger, key=lambda row: row.area_mm2))

    def ampacity_row(self, conductor: str, insulation: str) -> AmpacityRow | None:
        """Return the ampacity of a size in the highest listed class not above its insulation.

        None when the size has no such row: the wire is then not judged.
        """
        size, limit_c = self.conductor(conductor).name, self.insulation(insulation).temperature_c
        rows = self._ampacities_by_size.get(size, ())
        fitting = [row for row in rows if row.temperature_c <= limit_c]
        return max(fitting, key=lambda row: row.temperature_c, default=None)

    @cached_property
    def _ampacities_by_size(self) -> dict[str, list[AmpacityRow]]:
        by_size: dict[str, list[AmpacityRow]] = {}
        for row in self.ampacities:
            by_size.setdefault(row.name, []).append(row)
        return by_size

    def engine_space_factor(self, insulation: str) -> FactorRow | None:
        """Return the factor of the highest listed class not above the insulation's, or None."""
        limit_c = self.insulation(insulation).temperature_c
        fitting = [row for row in self.engine_space_factors if row.at <= limit_c]
        return max(fitting, key=lambda row: row.at, default=None)

    def bundle_factor(self, conductors: int) -> FactorRow:
        """Return the factor for this many current-carrying conductors, 1 or more."""
        if conductors < 1:
            raise LibraryError(f"a bundle of {conductors} conductors does not exist")
        return max((r for r in self.bundle_factors if r.at <= conductors), key=lambda r: r.at)

    def tables(self) -> Iterator[tuple[str, tuple[Row, ...]]]:
        """Yield each table's file name without ending, and its rows."""
        for table in FIELD_OF:
            yield table, self.rows(table)
            if table == "sockets":
                yield "socket_cavities", tuple(c for s in self.sockets.values() for c in s.cavities)

    def rows(self, table: str) -> tuple[Row, ...]:
        """Return the rows of one table, by its file name without ending."""
        rows = getattr(self, FIELD_OF[table])
        return tuple(rows.values() if isinstance(rows, Mapping) else rows)

    def with_rows(self, own: UserRows) -> Library:
        """Return the library with the user's own rows; `replaced` names those that stand in."""
        changed: dict[str, Any] = {}
        replaced = dict.fromkeys(self.replaced)
        for table, rows in own.tables.items():
            merged, names = merge(self.rows(table), rows)
            replaced.update(dict.fromkeys((table, name, own.source.key) for name in names))
            named = isinstance(getattr(self, FIELD_OF[table]), Mapping)
            changed[FIELD_OF[table]] = {row.name: row for row in merged} if named else merged
        sources = {**self.sources, own.source.key: own.source}
        return replace(self, sources=sources, replaced=tuple(replaced), **changed)

    def search(self, words: str) -> list[SearchHit]:
        """Return the rows in which every given word occurs; those with all in the name first."""
        return search_rows(self.tables(), words)
