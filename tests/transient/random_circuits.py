"""Random circuits shaped like add-ons, as bare numbers: a feed shared by coils behind switches.

Source - fuse, wires and contacts - one branch per coil: switch, wires, coil, wires - shared return.
Some coils hang on a second splice further along the feed, some have a resistor beside them. The
circuits are invented; resistances and inductances lie in the range of the trade. The same circuits
serve switching on and switching off: `suppressors` are meant for the latter and block here.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

SOURCE, REFERENCE = 1, 0
SWITCH_OHM, OPEN_OHM = 0.01, 1e9


@dataclass(frozen=True)
class Coil:
    """A winding from `start` to `end`; `switch` is fed by `switch_from` and leads to its line.

    `is_held` says that it is on already and stays on. `suppressor` is `none`, `diode` or `Zener`.
    """

    start: int
    end: int
    ohm: float
    henry: float
    switch_from: int
    switch_to: int
    is_held: bool
    suppressor: str


@dataclass(frozen=True)
class CoilCircuit:
    """Source of `source_v` from node 1 to node 0; `resistors` as (node, node, ohm).

    The first resistor is the fuse: all current passes it.
    """

    n_nodes: int
    source_v: float
    resistors: tuple[tuple[int, int, float], ...]
    coils: tuple[Coil, ...]


def random_coil_circuit(seed: int) -> CoilCircuit:
    """Return circuit number `seed`: two to five coils, at least one of them switched."""
    rng = np.random.default_rng(seed)
    nodes, resistors = [2], []

    def node() -> int:
        nodes[0] += 1
        return nodes[0] - 1

    def small() -> float:
        return float(10 ** rng.uniform(-2.5, -0.3))

    def wire(start: int) -> int:
        end = node()
        resistors.append((start, end, small()))
        return end

    feed = wire(wire(SOURCE))
    splices = [feed, wire(feed)]
    back = node()
    resistors.append((back, REFERENCE, small()))
    returns = [back, wire(back)]
    count = int(rng.integers(2, 6))
    held = [bool(rng.integers(0, 2)) for _ in range(count)]
    held[0] = False
    coils = []
    for is_held in held:
        start_from = splices[int(rng.integers(0, 2))]
        switch_to = node()
        start = wire(switch_to)
        end = node()
        resistors.append((end, returns[int(rng.integers(0, 2))], small()))
        if rng.uniform() < 0.25:  # an indicator with its resistor beside the coil
            resistors.append((start, end, float(rng.uniform(500.0, 2000.0))))
        ohm = float(rng.uniform(3.0, 30.0))
        henry = float(ohm * 10 ** rng.uniform(-2.7, -1.6))
        kind = str(rng.choice(["none", "diode", "Zener"]))
        coils.append(Coil(start, end, ohm, henry, start_from, switch_to, is_held, kind))
    volts = float(rng.choice([12.0, 24.0]) * rng.uniform(0.9, 1.2))
    return CoilCircuit(nodes[0], volts, tuple(resistors), tuple(coils))
