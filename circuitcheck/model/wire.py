"""Wire: one conductor from one terminal to another."""

from __future__ import annotations

from circuitcheck.model.library import ConductorRow, InsulationRow
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record


@record
class Wire:
    """One conductor; a core of a jacketed cable is a wire too (`cable` names the jacket).

    `gauge` is what the file says; `conductor` the library row assumed for it. `colour` holds one
    or two IEC 60757 codes. `route` lists the zones passed, from the `from` end. `bundled` is how
    many current-carrying wires lie together, this one included. `sheathed` is True inside a
    jacket or conduit all the way. `crimp_ohm` is one crimp; a wire has two. `material` is a row of
    the library's conductor materials; `conductor` already has its resistance. `way` names the
    branches it runs through, from the `from` end; empty where the file leaves it open.
    """

    name: str
    start: Terminal
    end: Terminal
    gauge: str
    conductor: ConductorRow
    length_m: Band
    insulation: InsulationRow
    colour: tuple[str, ...]
    route: tuple[str, ...]
    crimp_ohm: Band
    bundled: int = 1
    cable: str | None = None
    sheathed: bool = False
    material: str = "copper"
    way: tuple[str, ...] = ()
