"""What flows into an empty input capacitor at the moment in which it is switched on.

    I = U / R_T      U the voltage at its terminals with nothing on, R_T the resistance before them

Uncharged it is a short for its first moment, whatever its capacitance: only wires, contacts and
the battery stand before it. The inductance of the wires, a microhenry a metre or so, blunts the
peak and is left out. Source: worked-out.
"""

from __future__ import annotations

from circuitcheck.circuit.positions import Position
from circuitcheck.record import record
from circuitcheck.solve.worst_case import Solution
from circuitcheck.transient.switching_on.corners import STRONGEST, Corner
from circuitcheck.transient.switching_on.switching_on import SwitchingCircuits


@record
class FirstMoment:
    """Voltage with nothing on [V], resistance before it [ohm] and peak [A] at one input."""

    open_v: float
    before_ohm: float

    @property
    def peak_a(self) -> float:
        """Largest current that can flow into it [A]."""
        return self.open_v / self.before_ohm


def first_moment(solution: Solution, position: Position, converter: str) -> FirstMoment | None:
    """Return what flows into a converter's input, cold and on the highest supply.

    None where the converter is not fed in that position.
    """
    corner = Corner(STRONGEST, solution.heat)
    circuit = SwitchingCircuits(solution).circuits.at(position, frozenset(), corner)
    for one in circuit.elements.converters:
        if circuit.elements.ports[one.input].name == converter:
            open_v = float(circuit.values.open_v[one.input])
            return FirstMoment(open_v, float(circuit.values.source_ohm[one.input, one.input]))
    return None
