"""What takes a coil's energy at switch-off, as one straight law: u = E + r i.

A diode is E alone, a resistor r alone; a Zener pair and a TVS run from breakdown voltage to the
clamping voltage printed at its current. Bands hold every part of the type: `least` makes the coil
slowest to let go, `most` the highest peak.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from circuitcheck.formulas.suppression import clamped_peak_v
from circuitcheck.model.library import Library
from circuitcheck.model.library_part_rows import DiodeRow, SuppressorRow
from circuitcheck.model.solenoid_coil import Suppression
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

HOT_DIODE_V = 0.2
"""A silicon diode loses about 2 mV per kelvin (textbooks; from memory): 0.2 V at 120 degC."""
TVS = "bidirectional TVS"
PAIR = "diode + Zener"
MOST_RESISTOR_SHARE = 8.0
"""Resistor over winding resistance in trade relays: 680 ohm beside 85 ohm (from memory)."""
RESISTOR_TOLERANCE = 1.05
"""A resistor of series E12, 5 % over its value; common practice, no source."""
MOST_SUPPLY_SHARE = 1.5
"""A failed regulator's supply over system voltage (ISO 16750-2: 18 V and 36 V)."""
RESISTORS_OHM = (1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2)
"""Series E12 of IEC 60063."""


@record
class Law:
    """u = `clamp_v` + `series_ohm` i, opposite to the supply. [V], [ohm]"""

    clamp_v: float
    series_ohm: float

    def volts(self, current_a: float) -> float:
        """Return the voltage across coil and suppressor [V]."""
        return clamped_peak_v(current_a, self.clamp_v, self.series_ohm)


@record
class Suppressor:
    """One way to suppress a coil.

    `name` is what the trade calls it. `least`, `usual` and `most` are its law at the ends of its
    band; `most` is None where its clamping voltage is not known. The ratings are None where not
    known: `forward_a` and `reverse_v` of a diode, `power_w` for good in cool air, `pulse_w` and
    `pulse_s` a single pulse, `clamp_a` the current up to which the clamping voltage holds. Up to
    `blocks_v` a Zener pair or TVS takes no current worth counting; `standoff_v` of a TVS is what
    the supply may be.
    """

    kind: str
    name: str
    least: Law
    usual: Law
    most: Law | None
    forward_a: float | None = None
    reverse_v: float | None = None
    power_w: float | None = None
    pulse_w: float | None = None
    pulse_s: float | None = None
    clamp_a: float | None = None
    blocks_v: float | None = None
    standoff_v: float | None = None

    @property
    def pulse_j(self) -> float | None:
        """Energy of the single pulse that it is rated for [J]."""
        if self.pulse_w is None or self.pulse_s is None:
            return None
        return self.pulse_w * self.pulse_s


def fitted(suppression: Suppression, library: Library, part: str = "") -> Suppressor | None:
    """Return the suppressor of a part, None where there is none or what it is is not known.

    `part` names a diode or resistor that is wired across the coil as a part of its own.
    """
    name = f"{suppression.kind} {part}".strip()
    if suppression.kind == "diode":
        return diode(name, library, suppression.forward_a, suppression.reverse_v)
    if suppression.kind == "resistor" and suppression.resistance_ohm is not None:
        return resistor(name, suppression.resistance_ohm, suppression.power_w)
    if suppression.kind in (TVS, PAIR):
        return _clamping(name, suppression, library)
    return None


def choices(
    system_v: float, current_a: float, winding_ohm: float, library: Library
) -> Iterator[Suppressor]:
    """Yield the usual ways to suppress a winding of this current and resistance at 20 degC.

    The smallest library diode that carries the current, the Zener pairs of the system voltage,
    with that diode where their own is too small, its TVS, and the largest resistor, up to what
    trade relays have, whose peak stays below what electronics are tested with and, on top of the
    supply, below what a contact's gap stands.
    """
    rows = sorted(library.diodes.values(), key=lambda row: (row.current_a, row.reverse_v))
    row = next((row for row in rows if row.current_a >= current_a), rows[-1])
    yield diode("diode", library, row.current_a, row.reverse_v)
    pairs = [one for one in library.suppressors.values() if one.system_v == system_v]
    for one in pairs:
        if one.kind == PAIR:
            yield _with_diode(of_row(one, library), row, current_a)
    tested_v = library.limit(f"negative_pulse_{system_v:g}v_v").value
    across_v = library.limit("contact_gap_v").value - MOST_SUPPLY_SHARE * system_v
    peak_ohm = min(tested_v, across_v) / current_a / RESISTOR_TOLERANCE
    at_most_ohm = min(MOST_RESISTOR_SHARE * winding_ohm, peak_ohm)
    ohm = largest_resistor_ohm(at_most_ohm)
    band = Band(ohm / RESISTOR_TOLERANCE, ohm, RESISTOR_TOLERANCE * ohm)
    yield resistor(f"resistor {ohm:g} ohm", band, None)
    for one in pairs:
        if one.kind == TVS:
            yield of_row(one, library)


def diode(
    name: str, library: Library, forward_a: float | None, reverse_v: float | None
) -> Suppressor:
    """Return a bare silicon diode, from hot and just conducting to its limit at full current."""
    lower, usual, upper = _forward_v(library)
    power_w = None if forward_a is None else forward_a * upper
    return Suppressor(
        "diode", name, Law(lower, 0.0), Law(usual, 0.0), Law(upper, 0.0), forward_a, reverse_v,
        power_w,
    )  # fmt: skip


def resistor(name: str, ohm: Band, power_w: float | None) -> Suppressor:
    """Return a resistor."""
    laws = (Law(0.0, ohm.lower), Law(0.0, ohm.nominal), Law(0.0, ohm.upper))
    return Suppressor("resistor", name, *laws, power_w=power_w)


def of_row(row: SuppressorRow, library: Library) -> Suppressor:
    """Return a Zener pair or TVS of the library, under the row's name."""
    suppression = Suppression(
        row.kind, power_w=row.power_w, standoff_v=row.standoff_v, breakdown_v=row.breakdown_v,
        clamp_v=row.clamp_v, clamp_a=row.clamp_a, forward_a=row.forward_a,
    )  # fmt: skip
    return _clamping(row.name, suppression, library)


def _with_diode(pair: Suppressor, row: DiodeRow, current_a: float) -> Suppressor:
    """Return a Zener pair, with a larger diode where its own does not carry the current."""
    if pair.forward_a is None or not pair.forward_a < current_a <= row.current_a:
        return pair
    name = f"{pair.name}, with a {row.current_a:g} A diode"
    return replace(pair, name=name, forward_a=row.current_a, reverse_v=row.reverse_v)


def largest_resistor_ohm(at_most_ohm: float) -> float:
    """Return the largest value of series E12 that is not above a resistance of 0.1 ohm or more."""
    every = [math.pow(10.0, decade) * step for decade in range(-1, 7) for step in RESISTORS_OHM]
    return round(max(value for value in every if value <= max(at_most_ohm, 0.1001)), 6)


def _clamping(name: str, one: Suppression, library: Library) -> Suppressor:
    """Return a Zener pair, which is a diode and its Zener in series, or a TVS."""
    is_pair = one.kind == PAIR
    ahead = _forward_v(library) if is_pair else (0.0, 0.0, 0.0)
    breakdown, most = one.breakdown_v, None
    if breakdown is not None and one.clamp_v is not None and one.clamp_a:
        # the printed clamping voltage of the pair is that of its Zener
        ohm = max(0.0, (one.clamp_v - breakdown.upper) / one.clamp_a)
        most = Law(breakdown.upper + ahead[2], ohm)
    elif one.clamp_v is not None:
        most = Law(one.clamp_v + ahead[2], 0.0)
    # Without its breakdown voltage a TVS is known to hold off its stand-off; a pair nothing.
    held_v = breakdown.lower if breakdown else (one.standoff_v or 0.0)
    least = Law(held_v + ahead[0], 0.0)
    if breakdown is not None:
        usual = Law(breakdown.nominal + ahead[1], most.series_ohm if most else 0.0)
    else:
        usual = Law(one.clamp_v + ahead[1], 0.0) if one.clamp_v is not None else least
    limits = library.limit
    if is_pair:
        # A pair is rated for good; its single pulse is a multiple of that.
        share, time_s = limits("zener_pulse_share").value, limits("zener_pulse_s").value
        steady_w = one.power_w
        pulse_w = None if steady_w is None else share * steady_w
    else:
        time_s = limits("tvs_pulse_s").value
        pulse_w = one.power_w
        steady_w = None if pulse_w is None else limits("tvs_steady_w").value
    return Suppressor(
        one.kind, name, least, usual, most, one.forward_a, one.reverse_v, steady_w, pulse_w,
        time_s, one.clamp_a, held_v or None, None if is_pair else one.standoff_v,
    )  # fmt: skip


def _forward_v(library: Library) -> tuple[float, float, float]:
    """Return least, usual and most forward voltage of the library's silicon diodes [V]."""
    bands = [row.forward_v for row in library.diodes.values()]
    usual = sum(band.nominal for band in bands) / len(bands)
    lower = min(band.lower for band in bands) - HOT_DIODE_V
    return lower, usual, max(band.upper for band in bands)
