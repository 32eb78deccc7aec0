"""Lines of a test sheet with the supply off: coils unplugged, fuses looked at, no short to minus.

    R = R20 (234.5 + T) / (234.5 + 20), beside a resistor across the coil, + the ohmmeter's leads

Copper's temperature as everywhere (`formulas/wire_resistance.py`). Between the fuse and battery
minus the usual range is that of drawn machines, the ohmmeter's error on it, and a tenth.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.formulas.wire_resistance import COPPER_ZERO_C
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.harness import Harness
from circuitcheck.model.instrument import InstrumentRow
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.reading import Measurement, Situation
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.tolerance_band import Band
from circuitcheck.readings.instruments import predicted
from circuitcheck.readings.meter_error import limit_of_error
from circuitcheck.readings.sheet_records import NO_PATH, OHMS, SEEN, YES, SheetLine

DRAWS = 64
ROOM = 0.1
"""Share by which machines may lie beside the drawn ones."""


def fuse_lines(harness: Harness) -> Iterator[SheetLine]:
    """Yield one look at each fuse of the add-on and of the machine before the tap."""
    for name, part in harness.parts.items():
        if isinstance(part, Fuse) or (isinstance(part, SupplyTap) and part.upstream.fuse):
            yield SheetLine(SEEN, name, name, "", "", None, YES)


def coil_lines(harness: Harness, meter: InstrumentRow, air_c: float) -> Iterator[SheetLine]:
    """Yield the resistance of each winding that has two terminals, unplugged, in air of `air_c`."""
    warm = (COPPER_ZERO_C + air_c) / (COPPER_ZERO_C + 20.0)
    for name, ends, at_20c, beside in _windings(harness):
        winding = at_20c.scaled(warm)
        whole = winding if beside is None else _side_by_side(winding, beside)
        yield SheetLine(OHMS, name, *ends, "ohm", _read(whole, meter), coil_state="cold")


def _windings(
    harness: Harness,
) -> Iterator[tuple[str, tuple[str, str], Band, Band | None]]:
    for name, part in harness.parts.items():
        if isinstance(part, SolenoidCoil) and part.body_frame is None:
            yield name, (f"{name}.1", f"{name}.2"), part.resistance_20c_ohm, _across(part)
        elif isinstance(part, Relay) and part.body_frame is None:
            coil = [terminal for terminal in part.terminals if terminal in ("86", "85", "A1", "A2")]
            if len(coil) == 2:
                ends = (f"{name}.{coil[0]}", f"{name}.{coil[1]}")
                yield name, ends, part.resistance_20c_ohm, _across(part)
        elif isinstance(part, PullHoldCoil) and "common" in part.terminals:
            if "hold" in part.terminals and _across(part) is None:
                yield name, (f"{name}.hold", f"{name}.common"), part.hold_20c_ohm, None
            if "pull" in part.terminals:
                yield name, (f"{name}.pull", f"{name}.common"), part.pull_20c_ohm, None


def _across(part: SolenoidCoil | Relay | PullHoldCoil) -> Band | None:
    """Return the resistor inside a coil, None where there is none."""
    return part.suppression.resistance_ohm


def _side_by_side(first: Band, second: Band) -> Band:
    pairs = zip(
        (first.lower, first.nominal, first.upper),
        (second.lower, second.nominal, second.upper),
        strict=True,
    )
    return Band(*(a * b / (a + b) for a, b in pairs))


def _read(whole: Band, meter: InstrumentRow) -> Band:
    lead = meter.lead_ohm or 0.0
    low, high = whole.lower + lead, whole.upper + lead
    return Band(
        max(0.0, low - limit_of_error(meter, low)),
        whole.nominal + lead,
        high + limit_of_error(meter, high),
    )


def path_line(
    full: FullNetwork, meter: InstrumentRow, situation: Situation, plus: str
) -> SheetLine:
    """Return the resistance from a terminal to battery minus, supply off and fuses out."""
    minus = f"{full.harness.battery.name}.-"
    circuits = FaultedCircuits(full.harness, full.library, [], situation, draws=DRAWS, full=full)
    seen = predicted(Measurement(meter.name, plus, minus, situation), circuits)[0]
    if np.isinf(seen).all():
        return SheetLine(OHMS, plus, plus, minus, "ohm", None, NO_PATH)
    low = float(seen.min()) * (1.0 - ROOM)
    finite = seen[np.isfinite(seen)]
    high = float(finite.max()) * (1.0 + ROOM)
    band = Band(
        max(0.0, low - limit_of_error(meter, low)),
        float(np.median(finite)),
        high + limit_of_error(meter, high),
    )
    return SheetLine(OHMS, plus, plus, minus, "ohm", band)


def first_fed(harness: Harness) -> tuple[str, tuple[str, ...]] | None:
    """Return the terminal behind the add-on's first fuse, and what to take out to free it."""
    fuses = [name for name, part in harness.parts.items() if isinstance(part, Fuse)]
    if not fuses:
        return None
    return f"{fuses[0]}.load", tuple(fuses)
