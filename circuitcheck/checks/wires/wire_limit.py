"""What a wire may carry where it lies: its ampacity with air, engine space and bundle.

    I_z = I_table * f_air * f_bundle * f_metal
    f_air = sqrt((T - T_air) / (T - 30)), at most 1; in an engine space no more than the table's
    f_metal = 1 / sqrt(R / R_copper): the current that heats another metal as much as copper

Shared ground of the checks that hold a current or a fuse against a wire; it judges nothing.
The air is that of the hottest zone on the wire's way. The engine-space factor stands for air of
50 degC: it is not multiplied with the air's own factor, the smaller of the two counts.
"""

from __future__ import annotations

import math

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Term, Working
from circuitcheck.errors import LibraryError
from circuitcheck.formulas.adiabatic import Metal
from circuitcheck.formulas.ampacity import ambient_factor
from circuitcheck.model.library import AmpacityRow, ConductorRow, InsulationRow, MaterialRow
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.record import record
from circuitcheck.units import text

UPSTREAM = "/wire"
COPPER = "copper"
AIR = "sqrt((T - T_air) / (T - 30)), at most 1"
GUESSED_KEYS = ("gauge", "material", "insulation", "upstream.gauge", "upstream.insulation")


@record
class LaidWire:
    """A wire of the add-on, or the machine's own upstream of a tap (`TAP/wire`)."""

    name: str
    conductor: ConductorRow
    insulation: InsulationRow
    route: tuple[str, ...]
    bundled: int
    guesses: tuple[str, ...]
    material: MaterialRow

    @property
    def metal(self) -> Metal:
        """Constants of its conductor for a fault."""
        return Metal(self.material.zero_c, self.material.k_lead)

    @property
    def metal_factor(self) -> float:
        """Factor on an ampacity, which is for copper: 1 / sqrt(highest resistance over copper)."""
        return 1.0 / math.sqrt(self.material.resistance_factor.upper)


@record
class WireLimit:
    """Ampacity of one wire where it lies, and all that it was made from."""

    wire: LaidWire
    ampacity_a: float
    row: AmpacityRow
    air_c: float
    air_factor: float
    engine_factor: float | None
    bundle_factor: float
    sources: tuple[str, ...]

    def conditions(self) -> tuple[str, ...]:
        """Return in words what the ampacity was corrected for."""
        wire, row = self.wire, self.row
        words = [
            f"{wire.name} {wire.conductor.name}, {wire.insulation.name}: "
            f"{text(row.current_a, 'A')} at {row.temperature_c:g} degC in air of "
            f"{row.ambient_c:g} degC",
            f"air {self.air_c:g} degC, the hottest on its way: factor {self.air_factor:.2f}",
        ]
        if self.engine_factor is not None:
            words.append(f"engine space: factor at most {self.engine_factor:.2f}")
        words.append(f"{wire.bundled} in the bundle: factor {self.bundle_factor:.2f}")
        if wire.metal_factor < 1.0:
            words.append(f"{wire.material.name} conductor: factor {wire.metal_factor:.2f}")
        return tuple(words)

    def working(self) -> Working:
        """Return the closed form of the ampacity."""
        table = Term("I_t", self.row.current_a, "A", "ampacity of the table")
        bundle = Term("f_b", self.bundle_factor, "1", "factor for the bundle")
        result = Term("I_z", self.ampacity_a, "A", f"ampacity of {self.wire.name} where it lies")
        air, formula = Term("f_a", self.air_factor, "1", AIR), "I_t * f_a * f_b"
        if self.engine_factor is not None and self.engine_factor <= self.air_factor:
            air = Term("f_e", self.engine_factor, "1", "factor for an engine space")
            formula = "I_t * f_e * f_b"
        factor = self.wire.metal_factor
        if factor == 1.0:
            return Working(formula, (table, air, bundle), result)
        metal = Term("f_m", factor, "1", f"1 / sqrt(R / R_copper) of {self.wire.material.name}")
        return Working(f"{formula} * f_m", (table, air, bundle, metal), result)


def laid_wire(case: Case, name: str) -> LaidWire:
    """Return the wire of this name; `TAP/wire` is the machine's wire upstream of tap TAP.

    Raises LibraryError where the size of the machine's wire is not known.
    """
    wire = case.harness.wires.get(name)
    if wire is not None:
        guesses = _guesses(case, name, wire.cable)
        metal = case.library.material(wire.material)
        return LaidWire(
            name, wire.conductor, wire.insulation, wire.route, wire.bundled, guesses, metal
        )
    tap = case.harness.parts[name.removesuffix(UPSTREAM)]
    assert isinstance(tap, SupplyTap)
    up = tap.upstream
    if up.conductor is None:
        raise LibraryError(f"the size of the machine's wire to {tap.name} is not known: read it")
    guesses, metal = _guesses(case, tap.name), case.library.material(COPPER)
    return LaidWire(name, up.conductor, up.insulation, (up.zone,), 1, guesses, metal)


def wire_limit(case: Case, name: str) -> WireLimit:
    """Return the ampacity of a wire where it lies.

    Raises LibraryError, with what to look up, where the library has no ampacity for it.
    """
    wire, library = laid_wire(case, name), case.library
    row = library.ampacity_row(wire.conductor.name, wire.insulation.name)
    if row is None:
        raise LibraryError(
            f"the library has no ampacity of {wire.conductor.name} with {wire.insulation.name}: "
            "look it up in the wire's data sheet"
        )
    zones = [case.harness.zone_of(zone) for zone in wire.route]
    air_c = max(zone.ambient_c.upper for zone in zones)
    air_factor = min(1.0, ambient_factor(row.temperature_c, air_c, row.ambient_c))
    engine_factor, sources = None, [row.source]
    if any(zone.engine_space for zone in zones):
        engine = library.engine_space_factor(wire.insulation.name)
        if engine is None:
            raise LibraryError(f"no engine-space factor for {wire.insulation.name}: look it up")
        engine_factor = engine.factor
        sources.append(engine.source)
    bundle = library.bundle_factor(wire.bundled)
    sources.append(bundle.source)
    if wire.metal_factor < 1.0:
        sources.append(wire.material.source)
    # The air factor counts for a wire at its own limit; a hot zone leaves it nothing.
    factor = air_factor if engine_factor is None else min(air_factor, engine_factor)
    return WireLimit(
        wire,
        row.current_a * factor * bundle.factor * wire.metal_factor,
        row,
        air_c,
        air_factor,
        engine_factor,
        bundle.factor,
        tuple(dict.fromkeys(sources)),
    )


def _guesses(case: Case, *subjects: str | None) -> tuple[str, ...]:
    return tuple(
        f"{a.subject}, {a.key}: {a.assumed} is only assumed, look at {a.measure}"
        for a in case.harness.assumptions
        if a.subject in subjects and a.key in GUESSED_KEYS
    )
