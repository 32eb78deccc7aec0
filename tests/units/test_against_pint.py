"""Every conversion factor, held against pint's own registry."""

from __future__ import annotations

import pytest

from circuitcheck.units import (
    AREA,
    CAPACITY,
    DIMENSIONS,
    SHARE,
    TEMPERATURE,
    THERMAL_RESISTANCE,
    Dimension,
    quantity,
)

CASES = [(dimension, unit) for dimension in DIMENSIONS for unit in dimension.units]
IN_PINT = {
    "in": "inch", "ft": "foot", "degC/W": "delta_degC/W", "mm2": "mm**2", "mm²": "mm**2",
    "°C": "degC", "°F": "degF", "%": "percent", "Ah": "ampere_hour", "mAh": "milliampere_hour",
    "h": "hour", "min": "minute",
}  # fmt: skip
SI_IN_PINT = {
    TEMPERATURE.si: "degC", AREA.si: "mm**2", SHARE.si: "dimensionless", CAPACITY.si: "ampere_hour",
    THERMAL_RESISTANCE.si: "K/W",
}  # fmt: skip


@pytest.mark.parametrize(("dimension", "unit"), CASES, ids=[f"{d.name}, {u}" for d, u in CASES])
def test_unit_is_what_pint_says(dimension: Dimension, unit: str) -> None:
    import pint

    registry = pint.get_application_registry()
    name = unit.replace("Ω", "ohm").replace("Ω", "ohm")
    given = registry.Quantity(37.5, IN_PINT.get(name, name))
    expected = given.to(SI_IN_PINT.get(dimension.si, dimension.si)).magnitude
    assert quantity(f"37.5 {unit}", dimension) == pytest.approx(expected, rel=1e-12)
