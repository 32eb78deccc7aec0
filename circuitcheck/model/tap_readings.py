"""What was measured and read off at a place where an add-on might take its power."""

from __future__ import annotations

from circuitcheck.model.instrument import Filament, InstrumentRow
from circuitcheck.model.library_rows import ConductorRow, FuseRow, InsulationRow
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record


@record
class KnownLoad:
    """What was hung on the tap: a filament, a resistance, or a current read by a clamp.

    Exactly one of the three is given; `current_a` is the reading with its limit of error. A tester
    or voltmeter draws next to nothing: it is no load.
    """

    name: str
    filament: Filament | None = None
    resistance_ohm: Band | None = None
    current_a: Band | None = None
    is_load: bool = True


@record
class TapReadings:
    """Readings at one tap, before any harness file exists; None for what was not measured.

    `open_v` and `loaded_v` are key on, engine off, from the tap to battery minus, without and with
    `load`, on the range of `meter` whose full scale is `range_v` (None: the smallest that shows
    both). `posts_open_v` and `posts_loaded_v` are the battery posts at the same moments; `drop_v`
    is battery plus to tap with the load on, read in one piece.
    `key_off_v` and `cranking_v` are read with the load on. `present_load_a` is read by a clamp,
    `fuse_drop_v` across the machine's fuse, with all its consumers on. `fuse` is None with
    `fuse_known` where there is none. `feeds` are words of `model/supply_tap.py` and others; None
    where nobody looked. `air_c` is the hottest air of fuse and wire; `gauge` and
    `area` are as written, for the lines of a harness file.
    """

    name: str
    system_v: float
    wanted_a: float | None
    feeds: tuple[str, ...] | None
    meter: InstrumentRow
    range_v: float | None = None
    open_v: float | None = None
    loaded_v: float | None = None
    posts_open_v: float | None = None
    posts_loaded_v: float | None = None
    drop_v: float | None = None
    load: KnownLoad | None = None
    key_off_v: float | None = None
    cranking_v: float | None = None
    present_load_a: float | None = None
    clamp: InstrumentRow | None = None
    fuse_drop_v: float | None = None
    fuse: FuseRow | None = None
    fuse_known: bool = False
    conductor: ConductorRow | None = None
    insulation: InsulationRow | None = None
    length_m: float | None = None
    air_c: float | None = None
    engine_space: bool | None = None
    key_contact_a: float | None = None
    gauge: str = ""
    area: str = ""
