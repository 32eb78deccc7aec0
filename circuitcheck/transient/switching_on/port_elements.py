"""What hangs at the ports of a position: windings, lamps, LEDs and diodes, converters.

Each as a voltage behind a resistance, i = (v - E) / r, that may be switched by a condition:

    winding with inductance    its current is given, L di/dt = v - R i
    winding without            E = 0, r = R
    LED, diode                 E = forward drop, r = slope; off where i would be negative
    lamp                       E = 0, r follows the filament's temperature
    converter output           E = -V0, r = R0, from minus to output: it feeds, and never takes
    converter input            its capacitor behind its own resistance, E = the capacitor's voltage;
                               without one a given current, output power / (efficiency times v)
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from circuitcheck.circuit.netlist import WINDINGS, ConverterBranch, Network
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record
from circuitcheck.solve.bounds.box import LEAST_OHM
from circuitcheck.solve.converters.converter_shares import running_converters
from circuitcheck.solve.curves.active_curves import ActiveCurve, active_curves
from circuitcheck.solve.curves.curves import Lamp, StraightDiode
from circuitcheck.transient.switching_on.corners import Corner
from circuitcheck.transient.switching_on.filament import Filaments
from circuitcheck.transient.switching_on.port_network import Port
from circuitcheck.transient.waveform import FloatArray

BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.intp]


@record
class Elements:
    """What hangs at p ports, arrays (p,) in the order of `ports`.

    inductance_h     0 where the port has none. [H]
    series_ohm       R, r or R0; for lamps a stand-in, their filaments tell. [ohm]
    drop_v           E. [V]
    is_one_way       current only flows from start to end.
    lamps (d,)       numbers of the ports with filaments.
    converters       (input port, output port, converter, input capacitance or None).
    """

    ports: tuple[Port, ...]
    inductance_h: FloatArray
    series_ohm: FloatArray
    drop_v: FloatArray
    is_one_way: BoolArray
    lamps: IntArray
    filaments: Filaments
    converters: tuple[ConverterPort, ...]

    @cached_property
    def windings(self) -> IntArray:
        """Numbers of the ports whose current is a state: windings with inductance."""
        return np.flatnonzero(self.inductance_h > 0.0)

    @property
    def is_linear(self) -> bool:
        """Whether nothing but diodes stands against the closed form."""
        return not self.lamps.size and not self.converters


@record
class ConverterPort:
    """A running converter: the numbers of its ports and its figures at a corner.

    Below `least_v` at its input it gives nothing. `capacitance_f` is None where not known.
    """

    input: int
    output: int
    efficiency: float
    idle_a: float
    least_v: float
    capacitance_f: float | None


def ports_of(network: Network, without: frozenset[str] = frozenset()) -> tuple[Port, ...]:
    """Return the ports of a network; `without` names windings that are switched off inside."""
    windings = [
        Port(b.name, b.owner, "winding", b.start, b.end)
        for b in network.branches
        if b.role in WINDINGS and b.name not in without
    ]
    curves = [
        Port(c.name, c.owner, "lamp" if c.is_lamp else "diode", c.curve.start, c.curve.end)
        for c in active_curves(network)
    ]
    converters = [
        Port(c.name, c.owner, f"converter {side}", *ends)
        for c in (running_converters(network) if network.converters else ())
        for side, ends in (("input", (c.source, c.minus)), ("output", (c.minus, c.output)))
    ]
    return (*windings, *curves, *converters)


def elements_at(
    network: Network,
    ports: Sequence[Port],
    corner: Corner,
    inductances_h: Mapping[str, Band],
    capacitances_f: Mapping[str, Band],
    filament_time_constant_s: float,
) -> Elements:
    """Return what hangs at the ports of a network at a corner.

    `inductances_h` by winding and `capacitances_f` by converter, as far as known.
    """
    count = len(ports)
    found = Elements(
        tuple(ports),
        np.zeros(count),
        np.full(count, LEAST_OHM),
        np.zeros(count),
        np.zeros(count, dtype=bool),
        np.flatnonzero([port.kind == "lamp" for port in ports]),
        _filaments(network, ports, filament_time_constant_s),
        tuple(_converters(network, ports, corner, capacitances_f)),
    )
    curves = {one.name: one for one in active_curves(network)}
    converters = {one.name: one for one in network.converters}
    for number, port in enumerate(ports):
        if port.kind == "winding":
            _winding(found, number, network, corner, inductances_h.get(port.name))
        elif port.kind == "diode":
            _diode(found, number, curves[port.name], corner)
        elif port.kind == "converter output":
            _output(found, number, converters[port.name], corner)
    return found


def _winding(
    found: Elements, number: int, network: Network, corner: Corner, inductance_h: Band | None
) -> None:
    branch = network.branches[network.branch_of[found.ports[number].name]]
    r20, coldest_c = branch.resistance_20c_ohm, branch.ambient_c.lower
    found.series_ohm[number] = corner.winding_ohm(branch.name, r20, coldest_c)
    if inductance_h is not None:
        found.inductance_h[number] = corner.inductance_h(inductance_h)


def _diode(found: Elements, number: int, one: ActiveCurve, corner: Corner) -> None:
    curve = one.curve
    assert isinstance(curve, StraightDiode)
    # A diode stands in the way of other loads, an LED is a load of its own.
    end = corner.in_line if one.role == "diode" else corner.least
    found.series_ohm[number] = end(curve.slope_ohm)
    found.drop_v[number] = end(curve.drop_v)
    found.is_one_way[number] = True


def _output(found: Elements, number: int, one: ConverterBranch, corner: Corner) -> None:
    found.series_ohm[number] = max(corner.in_line(one.output_ohm), LEAST_OHM)
    found.drop_v[number] = -corner.supply_v(one.output_v)
    found.is_one_way[number] = True


def _filaments(network: Network, ports: Sequence[Port], time_constant_s: float) -> Filaments:
    curves = {one.name: one.curve for one in active_curves(network)}
    lamps = [curves[port.name] for port in ports if port.kind == "lamp"]
    rows = np.array(
        [
            (c.rated_v, c.current_a.upper, c.cold_ratio.upper, c.exponent)
            for c in lamps
            if isinstance(c, Lamp)
        ]
    ).reshape(-1, 4)
    volts, amps, ratio, exponent = rows.T
    return Filaments(volts / amps, volts * amps, ratio, exponent, time_constant_s)


def _converters(
    network: Network,
    ports: Sequence[Port],
    corner: Corner,
    capacitances_f: Mapping[str, Band],
) -> list[ConverterPort]:
    place = {(port.name, port.kind): number for number, port in enumerate(ports)}
    found = []
    for one in network.converters:
        given = (place.get((one.name, f"converter {side}")) for side in ("input", "output"))
        source, output = given
        if source is None or output is None:
            continue
        capacitance = capacitances_f.get(one.name)
        found.append(
            ConverterPort(
                source,
                output,
                one.efficiency.lower,
                one.idle_a.upper,
                one.output_v.lower,
                None if capacitance is None else capacitance.upper,
            )
        )
    return found
