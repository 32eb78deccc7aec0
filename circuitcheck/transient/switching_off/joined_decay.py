"""How long one winding's current lasts beside others that are joined to both of its ends.

Their suppressors lie across all of them; the wires between, a few milliohm, are left out, which
errs on the slow side. Integrated by `freewheel.py`. No winding lasts longer than with its ends
joined, L / R ln(I_0 / I_d): so far it is followed.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from circuitcheck.circuit.netlist import Branch, Network
from circuitcheck.circuit.positions import Position
from circuitcheck.errors import SolveError
from circuitcheck.formulas.suppression import decay_time_s
from circuitcheck.model.tolerance_band import Band
from circuitcheck.transient.switching_off.freewheel import FreeWinding, Junction, freewheel
from circuitcheck.transient.switching_off.suppressor import Law
from circuitcheck.transient.switching_off.switching_off import WindingState

RETURNED, SOURCE, FED = 0, 1, 2
OPEN_OHM = 1e9
LONGER = 1.05


def joined_decay_s(
    state: WindingState, others: Sequence[WindingState], laws: Sequence[Law]
) -> float:
    """Return the time until the current of `state` has fallen to its drop-out [s].

    Raises SolveError where its drop-out is not known, or where no suppressor takes the currents.
    """
    end_a = state.drop_out_a
    if end_a is None:
        raise SolveError("the drop-out is not known")
    if end_a >= state.current_a:
        return 0.0
    laws = _that_count(laws)
    windings = [
        FreeWinding(f"L{k}", FED, RETURNED, one.inductance_h, one.ohm, one.current_a)
        for k, one in enumerate((state, *others))
    ]
    branches = [_branch("feed", "wire", SOURCE, FED, OPEN_OHM)]
    branches += [_branch(w.name, "coil", w.start, w.end, w.ohm) for w in windings]
    branches += [
        _branch(f"R{k}", "suppressor", FED, RETURNED, law.series_ohm)
        for k, law in enumerate(laws) if _is_resistor(law)
    ]  # fmt: skip
    junctions = [
        Junction.of(f"D{k}", RETURNED, FED, law)
        for k, law in enumerate(laws) if not _is_resistor(law)
    ]  # fmt: skip
    network = Network(
        Position("released", "key on", frozenset()), ("returned", "source", "fed"),
        tuple(branches), (), SOURCE, RETURNED, True,
    )  # fmt: skip
    ohms = np.array([branch.contact_ohm.nominal for branch in branches])
    longest_s = decay_time_s(state.inductance_h, state.ohm, state.current_a, end_a)
    found = freewheel(network, ohms, 0.0, windings, junctions, LONGER * longest_s)
    at_s = found.currents["L0"].first_crossing_s(end_a)
    if at_s is None:
        raise SolveError("the current of coupled coils could not be followed to its end")
    return at_s


def _that_count(laws: Sequence[Law]) -> list[Law]:
    """Return resistors, and of constant voltages across the same ends the lowest alone."""
    flat = [law for law in laws if not _is_resistor(law) and law.series_ohm == 0.0]
    others = [law for law in laws if law not in flat]
    return [*others, *sorted(flat, key=lambda law: law.clamp_v)[:1]]


def _is_resistor(law: Law) -> bool:
    return law.clamp_v == 0.0


def _branch(name: str, role: str, start: int, end: int, ohm: float) -> Branch:
    return Branch(
        name, name, role, start, end, Band.exact(0.0), Band.exact(ohm), Band.exact(20.0), ()
    )
