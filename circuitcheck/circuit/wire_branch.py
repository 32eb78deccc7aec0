"""Turn a wire, or the wire upstream of a tap, into a branch."""

from __future__ import annotations

from collections.abc import Callable

from circuitcheck.circuit.netlist import Branch
from circuitcheck.formulas.ampacity import conductor_temperature_c
from circuitcheck.model.battery import Battery
from circuitcheck.model.ground import Frame
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import ConductorRow, InsulationRow, Library
from circuitcheck.model.splice import Splice
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.tolerance_band import Band
from circuitcheck.model.wire import Wire

UNKNOWN_UPSTREAM_OHM = Band(0.0, 0.0, 0.0)


def wire_branch(
    harness: Harness, library: Library, wire: Wire, node: Callable[[object], int]
) -> Branch:
    """Return the branch of one wire: its copper, two crimps, and what it lands on."""
    contact = wire.crimp_ohm.plus(wire.crimp_ohm)
    for end in (wire.start, wire.end):
        contact = contact.plus(_landing_ohm(harness, end))
    return conductor_branch(
        harness,
        library,
        name=wire.name,
        owner=wire.name,
        role="wire",
        ends=(node(wire.start), node(wire.end)),
        conductor=wire.conductor,
        insulation=wire.insulation,
        length_m=wire.length_m,
        route=wire.route,
        bundled=wire.bundled,
        contact_ohm=contact,
        material=wire.material,
    )


def conductor_branch(
    harness: Harness,
    library: Library,
    *,
    name: str,
    owner: str,
    role: str,
    ends: tuple[int, int],
    conductor: ConductorRow | None,
    insulation: InsulationRow,
    length_m: Band,
    route: tuple[str, ...],
    bundled: int,
    contact_ohm: Band,
    material: str = "copper",
) -> Branch:
    """Return the branch of a length of conductor in the zones of its route.

    Air temperature runs from the coldest to the hottest zone passed; every metre is taken to be
    in the worse one. Own heating follows from the size's ampacity: rise = f (T - 30) (I / I30)^2,
    with f the highest resistance of the metal over that of copper, which the ampacity is for.
    """
    zones = [harness.zone_of(zone) for zone in route]
    ambient = Band(
        min(zone.ambient_c.lower for zone in zones),
        sum(zone.ambient_c.nominal for zone in zones) / len(zones),
        max(zone.ambient_c.upper for zone in zones),
    )
    if conductor is None:
        resistance = UNKNOWN_UPSTREAM_OHM
        heating: float | None = None
    else:
        per_m = conductor.resistance_ohm_per_m
        resistance = Band(
            per_m.lower * length_m.lower,
            per_m.nominal * length_m.nominal,
            per_m.upper * length_m.upper,
        )
        heating = _heating_k_per_a2(library, conductor, insulation, bundled)
        if heating is not None:
            heating *= library.material(material).resistance_factor.upper
    return Branch(
        name,
        owner,
        role,
        *ends,
        resistance,
        contact_ohm,
        ambient,
        tuple(route),
        heating_k_per_a2=heating,
        hottest_c=insulation.temperature_c,
    )


def _heating_k_per_a2(
    library: Library, conductor: ConductorRow, insulation: InsulationRow, bundled: int
) -> float | None:
    row = library.ampacity_row(conductor.name, insulation.name)
    if row is None:
        return None
    current_a = row.current_a * library.bundle_factor(bundled).factor
    at_1_a = conductor_temperature_c(
        1.0, current_a, row.temperature_c, row.ambient_c, row.ambient_c
    )
    return at_1_a - row.ambient_c


def _landing_ohm(harness: Harness, end: Terminal) -> Band:
    part = harness.parts[end.part]
    if isinstance(part, Battery):
        return part.post_contact_ohm
    if isinstance(part, SupplyTap):
        return part.contact_ohm
    if isinstance(part, Splice):
        return part.joint_ohm
    if isinstance(part, Frame):
        return part.surface_ohm
    return Band.exact(0.0)
