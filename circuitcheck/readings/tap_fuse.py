"""Whether a fuse stands ahead of a tap, and whether the machine's wire stands that fuse.

    I_fuse <= I_z of the machine's wire

Source: iec-60364-4-43, 433.1; how near its source a fuse must be: 33-cfr-183-455, row
fuse_distance_m of library/limits.csv. Not covered: how near its source the machine's fuse is.
"""

from __future__ import annotations

import math

from circuitcheck.model.library import Library
from circuitcheck.model.library_rows import FuseRow
from circuitcheck.model.supply_tap import ELECTRONIC_FUSE
from circuitcheck.model.tap_readings import TapReadings
from circuitcheck.readings.tap_answers import FUSED, NO, UNKNOWN, YES, TapAnswer
from circuitcheck.readings.tap_spare import MACHINE_WIRE, Carrier, Spare
from circuitcheck.units import text

METRES_PER_INCH = 0.0254
FIND_FUSE = "pull the machine's fuses until the tap goes dead, and read that one"


def fused(readings: TapReadings, library: Library, spare: Spare) -> TapAnswer:
    """Answer whether a fuse that the machine's wire stands is ahead of the tap."""
    wire = next((one for one in spare.carriers if one.what == MACHINE_WIRE), None)
    if ELECTRONIC_FUSE in (readings.feeds or ()):
        because = "an electronic fuse opens by its own rules, which are not covered"
        return TapAnswer(FUSED, UNKNOWN, because, "choose another circuit")
    if readings.fuse is None and readings.fuse_known:
        return _none(library, wire)
    if readings.fuse is None:
        return TapAnswer(FUSED, UNKNOWN, "not known which fuse is ahead of it", FIND_FUSE)
    if wire is None:
        because = f"{readings.fuse.name}; what its wire carries is not known"
        measure = "read size and insulation of the machine's wire, and its hottest air"
        return TapAnswer(FUSED, UNKNOWN, because, measure)
    return _suits(readings.fuse, wire)


def _suits(fuse: FuseRow, wire: Carrier) -> TapAnswer:
    because = f"{fuse.name}; {wire.name} carries {text(wire.most_a, 'A')}"
    if fuse.rating_a <= wire.most_a:
        return TapAnswer(FUSED, YES, because)
    if wire.guessed:
        return TapAnswer(FUSED, UNKNOWN, f"{because}, at the worst", wire.guessed)
    return TapAnswer(
        FUSED,
        NO,
        f"{because}: the wire overheats before the fuse opens",
        "fit the fuse that the machine's maker gives for it, or choose another circuit",
        in_short="its fuse is too large for its wire",
    )


def _none(library: Library, wire: Carrier | None) -> TapAnswer:
    inches = library.limit("fuse_distance_m").value / METRES_PER_INCH
    nearest = f"{inches:g} in ({math.floor(1000.0 * METRES_PER_INCH * inches)} mm)"
    size = "of a size that its wire stands,"
    if wire is not None:
        size = f"of at most {text(wire.most_a, 'A')}, what its wire carries,"
        if wire.guessed:
            size += " at the worst,"
    return TapAnswer(
        FUSED,
        NO,
        "no fuse ahead of it: a chafed feed burns before it stops",
        f"choose a circuit behind a fuse; or fit one {size} within {nearest} of where the feed "
        "starts, then prove the tap again with it",
        in_short="no fuse is ahead of it; fit one at its source first",
    )
