"""Lamps, LEDs, diodes, resistors, converters: open, shorted, the wrong way round."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.faults.fault import (
    DEAD,
    OPEN,
    REVERSED,
    SHORTED,
    WRONG_VALUE,
    AddedOhm,
    CurveOpen,
    CurveReversed,
    Fault,
    Joined,
    OhmTimes,
)
from circuitcheck.faults.modes.context import (
    SHORTED_DIODE_OHM,
    FaultContext,
    Words,
)
from circuitcheck.model.converter import Converter
from circuitcheck.model.diode import Diode
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.resistor import Resistor

WRONG_BY = (0.1, 10.0)
"""A resistor mistaken for another is mostly off by a decade ring: common practice, no source."""


def lamp_faults(part: IndicatorLamp, context: FaultContext) -> Iterator[Fault]:
    """Yield a lamp burnt out, and its holder shorted."""
    words = Words(f"lamp {part.name}", f"replace lamp {part.name}", f"{part.name} lights")
    yield words.fault(f"{part.name} open", part.name, OPEN, CurveOpen(part.name))
    joined = Joined(f"{part.name}.1", f"{part.name}.2", SHORTED_DIODE_OHM)
    yield words.fault(f"{part.name} shorted", part.name, SHORTED, joined)


def led_faults(part: LedIndicator, context: FaultContext) -> Iterator[Fault]:
    """Yield an LED dead, and one the wrong way round."""
    words = Words(f"LED {part.name}", f"replace {part.name}", f"{part.name} lights")
    lost = [CurveOpen(part.name)]
    if part.plus is None:
        lost.append(CurveOpen(f"{part.name}/other way"))
    yield words.fault(f"{part.name} open", part.name, OPEN, *lost)
    if part.plus is not None:
        turn = Words(f"LED {part.name}", f"turn {part.name} round", f"{part.name} lights")
        yield turn.fault(f"{part.name} reversed", part.name, REVERSED, CurveReversed(part.name))


def diode_faults(part: Diode, context: FaultContext) -> Iterator[Fault]:
    """Yield a diode open, broken down, and the wrong way round."""
    name = part.name
    words = Words(
        f"diode {name}",
        f"replace {name} (ring to {name}.cathode)",
        f"taken out, {name} shows about 0.5 V one way on the diode range and nothing the other",
    )
    yield words.fault(f"{name} open", name, OPEN, CurveOpen(name))
    joined = Joined(f"{name}.anode", f"{name}.cathode", SHORTED_DIODE_OHM)
    yield words.fault(f"{name} shorted", name, SHORTED, joined)
    yield words.fault(f"{name} reversed", name, REVERSED, CurveReversed(name))


def resistor_faults(part: Resistor, context: FaultContext) -> Iterator[Fault]:
    """Yield a resistor open, and others in its place."""
    name, ohm = part.name, part.resistance_ohm.nominal
    words = Words(f"resistor {name}", f"replace {name}", f"{name}, one end off, reads {ohm:g} ohm")
    yield words.fault(f"{name} open", name, OPEN, AddedOhm(name))
    for factor in WRONG_BY:
        severity = f"{ohm * factor:g} ohm"
        yield words.fault(f"{name} wrong value, {severity}", name, WRONG_VALUE,
                          OhmTimes(name, factor), severity=severity)  # fmt: skip


def converter_faults(part: Converter, context: FaultContext) -> Iterator[Fault]:
    """Yield a converter that gives nothing."""
    name, volts = part.name, part.output_v.nominal
    words = Words(
        f"converter {name}",
        f"replace {name}; first see that its input has full voltage",
        f"{volts:g} V at {name}.out with a load on",
    )
    yield words.fault(f"{name} gives nothing", name, DEAD, CurveOpen(name))
