"""A circuit as bare numbers, and random circuits shaped like harnesses.

Resistances are in the range of the trade: wires and contacts from one to some hundred milliohm,
coils from 4 to 40 ohm. The circuits are invented.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

SOURCE, REFERENCE = 1, 0


@dataclass(frozen=True)
class PlainCircuit:
    """Source of `source_v` between node 1 (+) and node 0; diodes as (anode, cathode, Is, N, Rs)."""

    n_nodes: int
    resistors: list[tuple[int, int, float]]
    diodes: list[tuple[int, int, float, float, float]]
    source_v: float

    @property
    def ends(self) -> np.ndarray:
        return np.array([(u, v) for u, v, _ in self.resistors])

    @property
    def ohms(self) -> np.ndarray:
        return np.array([r for _, _, r in self.resistors])


class _Builder:
    def __init__(self, rng: np.random.Generator):
        self.rng = rng
        self.n = 2
        self.resistors: list[tuple[int, int, float]] = []
        self.diodes: list[tuple[int, int, float, float, float]] = []

    def small(self) -> float:
        return round(float(10 ** self.rng.uniform(-3, -0.5)), 6)

    def coil(self) -> float:
        return round(float(self.rng.uniform(4, 40)), 3)

    def node(self) -> int:
        self.n += 1
        return self.n - 1

    def chain(self, start: int, count: int, end: int | None = None) -> int:
        for step in range(count):
            last = end is not None and step == count - 1
            to = end if last else self.node()
            self.resistors.append((start, to, self.small()))
            start = to
        return start

    def diode(self, anode: int, cathode: int) -> None:
        saturation = float(10 ** self.rng.uniform(-12, -8))
        emission = round(float(self.rng.uniform(1.0, 2.0)), 3)
        series = round(float(self.rng.uniform(0.01, 0.2)), 4)
        self.diodes.append((anode, cathode, saturation, emission, series))


def random_harness(kind: str, rng: np.random.Generator) -> PlainCircuit:
    """One random harness: series, parallel, bridge or diode."""
    build = _Builder(rng)
    bus = build.chain(SOURCE, int(rng.integers(1, 4)))
    back = build.chain(REFERENCE, int(rng.integers(1, 3)))
    loads = 1 if kind == "series" else int(rng.integers(2, 4))
    inner = []
    for number in range(loads):
        top = build.chain(bus, int(rng.integers(1, 3)))
        if kind == "diode" and number == 0:
            fed = build.node()
            build.diode(top, fed)
            top = fed
        bottom = back if rng.random() < 0.5 else build.chain(back, 1)
        build.resistors.append((top, bottom, build.coil()))
        if kind == "diode" and number == 1:
            build.diode(bottom, top)
        inner.append((top, bottom))
    if kind == "bridge":
        # a second earth path and a link between two loads
        build.resistors.append((inner[0][1], REFERENCE, build.small()))
        build.resistors.append((inner[0][0], inner[1][0], build.coil()))
        build.resistors.append((inner[0][0], inner[1][1], build.coil()))
    resistors = [(u, v, r) for u, v, r in build.resistors if u != v]
    return PlainCircuit(build.n, resistors, build.diodes, round(float(rng.uniform(9, 29)), 2))
