"""The library folder to one Library: every cell checked, every row with its source."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from functools import cache, partial
from pathlib import Path
from typing import Any, TypeVar, cast

from circuitcheck.errors import LibraryError
from circuitcheck.model import library as m
from circuitcheck.model.library_merge import FIELD_OF
from circuitcheck.read.library import library_diagnosis, library_instruments, library_workshop
from circuitcheck.read.library import library_parts as parts
from circuitcheck.read.library import library_wiring as wiring
from circuitcheck.read.library.library_cells import Cells, read_sources, read_table
from circuitcheck.record import record

R = TypeVar("R", bound=m.Row)
UNNAMED = ("ampacity", "engine_space_factor", "bundle_factor", "fuse_rerating", "contact_ratings")
"""Tables whose rows are looked up by more than a name."""


def library_path() -> Path:
    """Return the folder of the tables: inside an installed package, else beside it."""
    package = Path(__file__).resolve().parents[2]
    installed = package / "library"
    return installed if installed.is_dir() else package.parent / "library"


@cache
def read_library(folder: Path | None = None) -> m.Library:
    """Read and check all tables once; LibraryError names file, line and column of a fault."""
    root = folder if folder is not None else library_path()
    sources = read_sources(root / "sources.toml")
    ratings = read_table(root / "contact_ratings.csv", sources, parts.contact_rating)
    cavities = read_table(root / "socket_cavities.csv", sources, parts.socket_cavity)
    makers = row_makers(ratings, cavities)
    tables = {
        table: joined(table, read_table(root / f"{table}.csv", sources, make))
        for table, make in makers.items()
    }
    fields: dict[str, Any] = {
        field: _by_name(tables[table]) if table not in UNNAMED else tables[table]
        for table, field in FIELD_OF.items()
    }
    library = m.Library(sources=sources, **fields)
    for gap in unmet_references(library):
        raise LibraryError(
            f"library/{gap.table}.csv, {gap.name}, column {gap.column}: {gap.wrong}."
        )
    return library


def row_makers(
    ratings: Sequence[m.ContactRatingRow], cavities: Sequence[m.SocketCavityRow]
) -> dict[str, Callable[[Cells], m.Row]]:
    """Return what makes a row of each table of FIELD_OF from its cells."""
    by_group = _grouped(ratings, lambda row: row.group)
    by_socket = _grouped(cavities, lambda row: row.socket)
    return {
        "conductors": wiring.conductor,
        "insulation": wiring.insulation,
        "ampacity": wiring.ampacity,
        "engine_space_factor": wiring.engine_space_factor,
        "bundle_factor": wiring.bundle_factor,
        "fuses": wiring.fuse,
        "fuse_opening_times": wiring.opening_point,
        "fuse_rerating": wiring.rerating,
        "contacts": wiring.contact,
        "coils": wiring.coil,
        "batteries": wiring.battery,
        "supply": wiring.supply,
        "limits": wiring.limit,
        "contact_ratings": parts.contact_rating,
        "relays": partial(parts.relay, ratings=by_group),
        "pull_hold_coils": parts.pull_hold_coil,
        "converters": parts.converter,
        "switches": partial(parts.switch, ratings=by_group),
        "lamps": parts.lamp,
        "leds": parts.led,
        "diodes": parts.diode,
        "suppressors": parts.suppressor,
        "sockets": partial(parts.socket, cavities=by_socket),
        "materials": parts.material,
        "frame_bonds": parts.frame_bond,
        "plating_pairs": parts.plating_pair,
        "instruments": library_instruments.instrument,
        "fault_priors": library_diagnosis.fault_prior,
        "efforts": library_diagnosis.effort,
        "outside_diameters": library_workshop.outside_diameter,
        "wire_ends": library_workshop.wire_end,
    }


def _grouped(rows: Sequence[R], key: Callable[[R], str]) -> dict[str, tuple[R, ...]]:
    groups: dict[str, tuple[R, ...]] = defaultdict(tuple)
    for row in rows:
        groups[key(row)] += (row,)
    return dict(groups)


def _by_name(rows: Sequence[R]) -> dict[str, R]:
    return {row.name: row for row in rows}


def joined(table: str, rows: Sequence[m.Row]) -> tuple[m.Row, ...]:
    """Return a table as it is kept: the points of an opening time joined by style."""
    if table == "fuse_opening_times":
        return tuple(wiring.opening_bands(cast(Sequence[m.FuseOpeningBand], rows)).values())
    return tuple(rows)


@record
class Gap:
    """One row that names what no other table has."""

    table: str
    name: str
    column: str
    wrong: str


def unmet_references(library: m.Library) -> Iterator[Gap]:
    """Yield every row that names a contact, a style or a size that the library does not have."""
    for fuse in library.fuses.values():
        if fuse.style not in library.fuse_opening_bands:
            yield Gap("fuses", fuse.name, "style", f"no opening times of the style {fuse.style!r}")
        if fuse.clip not in library.contacts:
            yield Gap("fuses", fuse.name, "clip", f"contacts have no row {fuse.clip!r}")
    for socket in library.sockets.values():
        if socket.contact not in library.contacts:
            yield Gap("sockets", socket.name, "contact", f"contacts have no row {socket.contact!r}")
    for row in library.ampacities:
        if row.name not in library.conductors:
            yield Gap("ampacity", row.name, "name", f"conductors have no row {row.name!r}")
    for end in library.wire_ends.values():
        if end.contact not in library.contacts:
            yield Gap("wire_ends", end.name, "contact", f"contacts have no row {end.contact!r}")
    for outside in library.outside_diameters.values():
        if outside.name not in library.conductors:
            wrong = f"conductors have no row {outside.name!r}"
            yield Gap("outside_diameters", outside.name, "name", wrong)
