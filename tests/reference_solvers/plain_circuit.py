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


@dataclass(frozen=True)
class CurvedCircuit:
    """A circuit with filament lamps beside its resistors and diodes.

    `lamps` as (one end, other end, rated voltage, current at it, hot over cold resistance).
    """

    plain: PlainCircuit
    lamps: list[tuple[int, int, float, float, float]]


def random_curved_harness(kind: str, rng: np.random.Generator) -> CurvedCircuit:
    """One random harness with loads of a kind ("lamp", "LED" or "mixed") and relay coils.

    Lamps hang before a coil, after it, across it, or between two loads; an LED is a junction of
    about 2 V behind a resistor; diodes steer into a coil or lie across it.
    """
    build = _Builder(rng)
    lamps: list[tuple[int, int, float, float, float]] = []
    system_v = float(rng.choice([12.0, 24.0]))
    bus = build.chain(SOURCE, int(rng.integers(1, 4)))
    back = build.chain(REFERENCE, int(rng.integers(1, 3)))

    def lamp(u: int, v: int) -> None:
        watts = float(rng.choice([1.2, 2.0, 5.0, 21.0]))
        lamps.append((u, v, system_v, watts / system_v, round(float(rng.uniform(8, 14)), 2)))

    def led(u: int, v: int) -> None:
        inner = build.node()
        build.resistors.append((u, inner, round(float(rng.uniform(300, 1500)), 1)))
        build.diodes.append((inner, v, 1e-18, 2.0, round(float(rng.uniform(1, 10)), 2)))

    def any_of(u: int, v: int) -> None:
        drawn = rng.random()
        if kind == "lamp" or (kind == "mixed" and drawn < 0.4):
            lamp(u, v)
        elif kind == "LED" or drawn < 0.8:
            led(u, v)
        else:
            build.diode(*((v, u) if rng.random() < 0.5 else (u, v)))

    tops = []
    for _ in range(int(rng.integers(2, 5))):
        top = build.chain(bus, int(rng.integers(1, 3)))
        if rng.random() < 0.3:
            fed = build.node()
            any_of(top, fed)
            top = fed
        ohm = build.coil() if rng.random() < 0.5 else round(float(rng.uniform(70, 320)), 1)
        build.resistors.append((top, back, ohm))
        if rng.random() < 0.5:
            any_of(top, back)
        tops.append(top)
    any_of(tops[0], tops[1])
    return CurvedCircuit(
        PlainCircuit(
            build.n,
            [(u, v, r) for u, v, r in build.resistors if u != v],
            build.diodes,
            round(system_v * float(rng.uniform(0.75, 1.2)), 2),
        ),
        lamps,
    )
