"""What a part is built from besides its own fields."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from circuitcheck.model.conditions import Zone
from circuitcheck.model.library import Library
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.forms.fields import Given
from circuitcheck.read.reading import Place
from circuitcheck.read.zones import ANYWHERE, range_text, union, zone_list
from circuitcheck.record import record

T = TypeVar("T")


@record
class PartContext:
    """System voltage, library, zones, and the zone of the part that is being built."""

    library: Library
    system_v: float
    zones: Mapping[str, Zone]
    battery_name: str
    zone: str
    anywhere: str = ANYWHERE

    def check_zone(self, place: Place, zone: str) -> None:
        """Report a zone that the file does not have."""
        if zone not in self.zones and zone != ANYWHERE:
            place.problem(
                f"there is no [zone.{zone}]", place.hint(zone, self.zones) or zone_list(self.zones)
            )


def contact_band(given: Given, key: str, row_name: str, *, silent: bool = False) -> Band:
    """Return a contact's resistance, new to aged; else that of the library row, recorded.

    `silent` leaves the record out where the key is absent: for what every wire has.
    """
    row = given.place.reading.library.contact(row_name)
    if silent and key not in given.values:
        return row.resistance_ohm
    assumed = f"{range_text(row.resistance_ohm, 'ohm')} (library contact `{row_name}`)"
    return given.settled(key, Band, row.resistance_ohm, assumed)


def from_row(given: Given, key: str, bands: list[Band], unit: str) -> Band:
    """Return a value, else the extremes of library rows; recorded where it is `unknown`."""
    widest = union(bands)
    return given.usual(key, Band, widest, f"{range_text(widest, unit)} (library)")


def plus_terminal(given: Given) -> str | None:
    """Return the terminal that must be positive; None where either may be."""
    polarity = given.values.get("polarity")
    if isinstance(polarity, Given):
        return polarity.optional("plus", str)
    if given.is_unknown("polarity"):
        given.assume("polarity", "either way round")
    return None


def coil_body(given: Given) -> tuple[str | None, Band | None]:
    """Return frame and resistance of a coil grounded through its body; None, None for others."""
    body = given.optional("body", Given)
    if body is None:
        return None, None
    return body.value("frame", str, ""), contact_band(body, "resistance", "frame bond")


def where_given(given: Given, key: str, kind: type[T], said: str) -> T | None:
    """Return a value of the file, else None; recorded only where the file says `unknown`."""
    if given.is_unknown(key):
        given.assume(key, said)
    return given.optional(key, kind)


def else_type(given: Given, key: str, kind: type[T], of_type: T | None) -> T | None:
    """Return a value of the file, else that of the trade type; None, recorded, without either."""
    stated = given.optional(key, kind)
    if stated is not None:
        return stated
    if of_type is not None and not given.is_unknown(key):
        return of_type
    given.assume(key, "not known: not judged")
    return None
