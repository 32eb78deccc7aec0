"""Waveforms of an action, put together from its stages by the names of parts and wires."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from functools import cached_property

import numpy as np

from circuitcheck.record import record
from circuitcheck.transient.switching_on.stage_circuit import Carried, Followed, StageCircuit
from circuitcheck.transient.waveform import FloatArray, Waveforms

JUMP_S = 1e-9
"""A contact closes within this; between two stages quantities may jump."""
RECORDED = ("fuse", "upstream fuse", "switch contact", "relay contact", "key contact")
ACROSS = ("winding", "converter input", "lamp")


@record
class Channels:
    """What is recorded of one circuit, all in one product: fixed + per_a i for port currents i.

    Rows are `currents`, then `voltages`, by name; fixed (n,), per_a (n, p).
    """

    currents: tuple[str, ...]
    voltages: tuple[str, ...]
    fixed: FloatArray
    per_a: FloatArray

    def at(self, port_a: FloatArray) -> FloatArray:
        """Return all channels (n, t) for the currents of the ports (p, t)."""
        return np.asarray(self.fixed[:, None] + self.per_a @ port_a)


@record
class Recorded:
    """What every recording of a harness takes: RECORDED, windings and so on, and some `wires`."""

    wires: frozenset[str] = frozenset()
    _found: dict[int, Channels] = field(default_factory=dict)

    def of(self, circuit: StageCircuit) -> Channels:
        """Return the channels of a circuit."""
        if id(circuit) not in self._found:
            self._found[id(circuit)] = self._channels(circuit)
        return self._found[id(circuit)]

    def _channels(self, circuit: StageCircuit) -> Channels:
        ports, values = circuit.elements.ports, circuit.values
        taken = [k for k, port in enumerate(ports) if port.kind != "converter output"]
        across = [k for k, port in enumerate(ports) if port.kind in ACROSS]
        names = [ports[k].name for k in taken]
        branches = {
            branch.name: k
            for k, branch in enumerate(circuit.network.branches)
            if (branch.role in RECORDED or branch.name in self.wires) and branch.name not in names
        }
        rows = list(branches.values())
        return Channels(
            (*branches, *names),
            tuple(ports[k].name for k in across),
            np.concatenate([values.branch_a[rows], np.zeros(len(taken)), values.open_v[across]]),
            np.concatenate(
                [values.branch_per_a[rows], np.eye(len(ports))[taken], -values.source_ohm[across]]
            ),
        )


class Recording:
    """Collects what each stage gives.

    `owners` are the parts that took part, `interrupted` the windings that were cut off.
    """

    def __init__(self, recorded: Recorded) -> None:
        self.recorded = recorded
        self.interrupted: set[str] = set()
        self.owners: set[str] = set()
        self._times: list[FloatArray] = []
        self._channels: list[Channels] = []
        self._values: list[FloatArray] = []
        self._places: list[dict[str, FloatArray]] = []

    def before(self, circuit: StageCircuit, carried: Carried) -> None:
        """Record what was before the action, at 0 s."""
        port_a = circuit.steady.current_a[:, None]
        places = {name: np.array([place]) for name, place in carried.place_m.items()}
        self._note(circuit, np.zeros(1), port_a, places)

    def add(self, circuit: StageCircuit, followed: Followed, start_s: float) -> None:
        """Record a stage that begins at `start_s`."""
        times = start_s + followed.times_s
        times[0] += JUMP_S
        # Times that rounding brings together are one; the last of a stage is kept.
        rising = followed.times_s > 2.0 * JUMP_S
        rising[:-1] &= times[1:] - times[:-1] > JUMP_S / 2.0
        rising[0] = True
        if rising.all():
            self._note(circuit, times, followed.port_a, followed.places_m)
            return
        self._note(
            circuit,
            times[rising],
            followed.port_a[:, rising],
            {name: place[rising] for name, place in followed.places_m.items()},
        )

    def _note(
        self,
        circuit: StageCircuit,
        times_s: FloatArray,
        port_a: FloatArray,
        places: Mapping[str, FloatArray],
    ) -> None:
        channels = self.recorded.of(circuit)
        largest_a = np.abs(port_a).max(axis=1, initial=0.0).tolist()
        self.owners.update(
            port.owner
            for port, amps in zip(circuit.elements.ports, largest_a, strict=True)
            if amps > JUMP_S
        )
        self._times.append(times_s)
        self._channels.append(channels)
        self._values.append(channels.at(port_a))
        self._places.append(dict(places))

    def currents(self) -> Waveforms:
        """Return the currents recorded, 0 where a contact was open. [A]"""
        names = [one.currents for one in self._channels]
        rows = [v[: len(n)] for v, n in zip(self._values, names, strict=True)]
        return self._joined("A", names, rows)

    def voltages(self) -> Waveforms:
        """Return the voltages across windings, lamps and converter inputs. [V]"""
        names = [one.voltages for one in self._channels]
        rows = [v[v.shape[0] - len(n) :] for v, n in zip(self._values, names, strict=True)]
        return self._joined("V", names, rows)

    def places(self) -> Waveforms:
        """Return the places of plungers from released. [m]"""
        if not any(self._places):
            return Waveforms((), "m", self._every_s, np.zeros((0, self._every_s.size)))
        names = [tuple(places) for places in self._places]
        rows = [
            np.array(list(places.values())).reshape(len(places), times.size)
            for places, times in zip(self._places, self._times, strict=True)
        ]
        return self._joined("m", names, rows)

    @cached_property
    def _every_s(self) -> FloatArray:
        return np.concatenate(self._times)

    def _joined(
        self, unit: str, names: Sequence[tuple[str, ...]], rows: Sequence[FloatArray]
    ) -> Waveforms:
        every = {name: k for k, name in enumerate(dict.fromkeys(n for part in names for n in part))}
        times = self._every_s
        values, start = np.zeros((len(every), times.size)), 0
        for part, found in zip(names, rows, strict=True):
            end = start + found.shape[1]
            values[[every[name] for name in part], start:end] = found
            start = end
        return Waveforms(tuple(every), unit, times, values)
