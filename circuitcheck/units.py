"""Quantities as people write them, read by one strict pattern into SI floats and written back.

A quantity is a plain decimal number, at most one space, and a unit of the table below. Nothing
else is accepted: no expression, no NaN, no infinity, no exponent of more than two digits.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

from circuitcheck.record import record

_PLAIN = r"(?:[0-9]{1,12}(?:\.[0-9]{0,12})?|\.[0-9]{1,12})(?:[eE][+-]?[0-9]{1,2})?"
_PATTERN = re.compile(
    rf"(?P<number>[+-]?{_PLAIN})"
    r" ?(?P<unit>[A-Za-z%°ΩΩ][A-Za-zΩΩ²/0-9]{0,7})"
)
_NUMBER = re.compile(r"[+-]?[0-9.,]+(?:[eE][+-]?[0-9]+)?")
LONGEST_QUANTITY = 40


class QuantityError(ValueError):
    """A text is not a quantity of the wanted kind; the message says what would be."""


@record
class Dimension:
    """One kind of quantity: SI value = (number + offset) * factor, by unit.

    `si` is the unit in which the value is kept; `example` shows how it is written.
    """

    name: str
    si: str
    example: str
    units: Mapping[str, tuple[float, float]]

    @property
    def unit_names(self) -> str:
        """Units that may be written, for a message."""
        return ", ".join(unit for unit in self.units if unit.isascii())


def _plain(**factors: float) -> dict[str, tuple[float, float]]:
    return {unit: (factor, 0.0) for unit, factor in factors.items()}


_OHM = {"ohm": 1.0, "mohm": 1e-3, "uohm": 1e-6, "kohm": 1e3, "Mohm": 1e6}
_OHM_SIGNS = {
    f"{prefix}{sign}": _OHM[f"{prefix}ohm"] for prefix in ("", "m", "u", "k", "M") for sign in "ΩΩ"
}

VOLTAGE = Dimension("voltage", "V", "12.6 V", _plain(V=1.0, mV=1e-3, kV=1e3))
CURRENT = Dimension("current", "A", "3.5 A", _plain(A=1.0, mA=1e-3, uA=1e-6, kA=1e3))
RESISTANCE = Dimension("resistance", "ohm", "7.2 ohm", _plain(**_OHM, **_OHM_SIGNS))
LENGTH = Dimension(
    "length", "m", "2.4 m", {**_plain(m=1.0, cm=1e-2, mm=1e-3, ft=0.3048), "in": (0.0254, 0.0)}
)
AREA = Dimension("cross-section", "mm2", "1.5 mm2", {"mm2": (1.0, 0.0), "mm²": (1.0, 0.0)})
TEMPERATURE = Dimension(
    "temperature",
    "degC",
    "60 degC",
    {
        "degC": (1.0, 0.0),
        "°C": (1.0, 0.0),
        "degF": (5.0 / 9.0, -32.0),
        "°F": (5.0 / 9.0, -32.0),
        "K": (1.0, -273.15),
    },
)
TIME = Dimension("time", "s", "20 s", _plain(s=1.0, ms=1e-3, us=1e-6, min=60.0, h=3600.0))
POWER = Dimension("power", "W", "20 W", _plain(W=1.0, mW=1e-3, kW=1e3))
ENERGY = Dimension("energy", "J", "50 mJ", _plain(J=1.0, mJ=1e-3, kJ=1e3))
INDUCTANCE = Dimension("inductance", "H", "40 mH", _plain(H=1.0, mH=1e-3, uH=1e-6))
CAPACITANCE = Dimension("capacitance", "F", "470 uF", _plain(F=1.0, mF=1e-3, uF=1e-6, nF=1e-9))
MASS = Dimension("mass", "kg", "20 g", _plain(kg=1.0, g=1e-3))
FORCE = Dimension("force", "N", "5 N", _plain(N=1.0, kN=1e3))
FREQUENCY = Dimension("frequency", "Hz", "50 Hz", _plain(Hz=1.0, kHz=1e3))
CAPACITY = Dimension("battery capacity", "Ah", "60 Ah", _plain(Ah=1.0, mAh=1e-3))
SHARE = Dimension("share", "%", "10 %", {"%": (1e-2, 0.0)})
THERMAL_RESISTANCE = Dimension(
    "thermal resistance", "K/W", "5 K/W", {"K/W": (1.0, 0.0), "degC/W": (1.0, 0.0)}
)

DIMENSIONS = (
    VOLTAGE,
    CURRENT,
    RESISTANCE,
    LENGTH,
    AREA,
    TEMPERATURE,
    TIME,
    POWER,
    ENERGY,
    INDUCTANCE,
    CAPACITANCE,
    MASS,
    FORCE,
    FREQUENCY,
    CAPACITY,
    SHARE,
    THERMAL_RESISTANCE,
)


def quantity(text: str, dimension: Dimension) -> float:
    """Return a written quantity in the SI unit of its dimension (a share as 0.1 for `10 %`).

    Raises QuantityError when the text is anything but one number and one unit of that dimension.

    >>> quantity("30 cm", LENGTH)
    0.3
    >>> quantity("50 degF", TEMPERATURE)
    10.0
    """
    match = _PATTERN.fullmatch(text) if len(text) <= LONGEST_QUANTITY else None
    if match is None:
        raise QuantityError(_advice(text, dimension))
    unit = match["unit"]
    if unit not in dimension.units:
        others = [other for other in DIMENSIONS if unit in other.units]
        said = f"{unit} is a unit of {others[0].name}" if others else f"no unit is called {unit}"
        raise QuantityError(
            f"{said}; give a {dimension.name} in {dimension.unit_names}, "
            f'for example "{dimension.example}"'
        )
    factor, offset = dimension.units[unit]
    return (float(match["number"]) + offset) * factor


def quantity_pattern(dimension: Dimension, *, signed: bool = True) -> str:
    """Return the regular expression of what `quantity` reads, as JSON Schema writes it.

    Without `signed` a minus sign is left out. Limits of the value are not part of it.
    """
    units = "|".join(re.escape(unit) for unit in dimension.units)
    return f"^{'[+-]?' if signed else '[+]?'}{_PLAIN} ?(?:{units})$"


def _advice(text: str, dimension: Dimension) -> str:
    example = f'for example "{dimension.example}"'
    if len(text) > LONGEST_QUANTITY:
        return f"a quantity has at most {LONGEST_QUANTITY} characters, {example}"
    if _NUMBER.fullmatch(text.strip()):
        return f"the unit is missing; write one of {dimension.unit_names}, {example}"
    if "," in text and _PATTERN.fullmatch(text.replace(",", ".")):
        return f"write the decimal with a point, not a comma, {example}"
    return (
        f"give one number and one unit ({dimension.unit_names}) with at most one space, {example}"
    )


_STEPS: Mapping[str, tuple[tuple[float, str], ...]] = {
    "V": ((1e3, "kV"), (1.0, "V"), (1e-3, "mV")),
    "A": ((1e3, "kA"), (1.0, "A"), (1e-3, "mA"), (1e-6, "uA")),
    "ohm": ((1e6, "Mohm"), (1e3, "kohm"), (1.0, "ohm"), (1e-3, "mohm"), (1e-6, "uohm")),
    "m": ((0.1, "m"), (1e-3, "mm")),
    "s": ((7200.0, "h"), (120.0, "min"), (1.0, "s"), (1e-3, "ms"), (1e-6, "us")),
    "W": ((1e3, "kW"), (1.0, "W"), (1e-3, "mW")),
    "J": ((1e3, "kJ"), (1.0, "J"), (1e-3, "mJ")),
    "H": ((1.0, "H"), (1e-3, "mH"), (1e-6, "uH")),
    "F": ((1.0, "F"), (1e-3, "mF"), (1e-6, "uF"), (1e-9, "nF")),
    "kg": ((1.0, "kg"), (1e-3, "g")),
    "N": ((1e3, "kN"), (1.0, "N")),
    "Hz": ((1e3, "kHz"), (1.0, "Hz")),
    "Ah": ((1.0, "Ah"), (1e-3, "mAh")),
}
_BY_SI = {dimension.si: dimension for dimension in DIMENSIONS}


def text(value: float, unit: str, *, digits: int = 3, signs: bool = False) -> str:
    """Return an SI value as people write it: engineering steps, `digits` significant digits.

    `unit` is the SI unit (V, A, ohm, m, mm2, degC, s, W, J, H, F, kg, N, Hz, Ah, K/W, % for a
    share of 1); any other unit is put behind the plain number. Whole numbers keep all their
    digits. With `signs` the ohm, degree, micro and square signs are used instead of plain
    letters. What comes out for a known unit reads back by `quantity`, to the digits shown.

    >>> text(0.35, "V"), text(0.0072, "ohm"), text(0.1, "%")
    ('350 mV', '7.2 mohm', '10 %')
    """
    shown_unit, scale = unit, 1.0
    if unit == "%":
        scale = 0.01
    elif unit in _STEPS and math.isfinite(value):
        scale, shown_unit = _step(value, unit, digits)
    written = _number(value / scale, digits)
    if signs:
        shown_unit = _with_signs(shown_unit)
    return f"{written} {shown_unit}".strip()


def _step(value: float, unit: str, digits: int) -> tuple[float, str]:
    size = float(f"{abs(value):.{digits - 1}e}")
    for least, name in _STEPS[unit]:
        if size >= least:
            return _BY_SI[unit].units[name][0], name
    # Zero is written in the plain unit, anything else in the smallest step.
    name = unit if size == 0.0 else _STEPS[unit][-1][1]
    return _BY_SI[unit].units[name][0], name


def _number(value: float, digits: int) -> str:
    if not math.isfinite(value):
        return "unlimited" if value > 0 else "not a number"
    rounded = float(f"{value:.{digits - 1}e}")
    if abs(rounded) >= 10**digits:
        return f"{value:.0f}" if abs(value) < 1e12 else f"{value:.{digits - 1}e}"
    if rounded != 0.0 and abs(rounded) < 1e-4:
        return f"{rounded:.{digits - 1}e}"
    return f"{rounded:.10f}".rstrip("0").rstrip(".") if rounded else "0"


def _with_signs(unit: str) -> str:
    unit = unit.replace("ohm", "Ω").replace("degC", "°C").replace("mm2", "mm²")
    return f"µ{unit[1:]}" if unit[:1] == "u" else unit
