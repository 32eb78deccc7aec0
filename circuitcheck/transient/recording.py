"""Waveforms of an action, put together from its stages by the names of parts and wires."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from circuitcheck.transient.stage_circuit import Carried, Followed, StageCircuit
from circuitcheck.transient.waveform import FloatArray, Waveform

JUMP_S = 1e-9
"""A contact closes within this; between two stages quantities may jump."""
RECORDED = ("fuse", "upstream fuse", "switch contact", "relay contact", "key contact")
ACROSS = ("winding", "converter input", "lamp")


class Recording:
    """Collects what each stage gives; `wires` are branches to record besides RECORDED.

    `owners` are the parts that took part, `interrupted` the windings that were cut off.
    """

    def __init__(self, wires: Sequence[str] = ()) -> None:
        self.wires = frozenset(wires)
        self.interrupted: set[str] = set()
        self.owners: set[str] = set()
        self._times: list[FloatArray] = []
        self._currents: list[dict[str, FloatArray]] = []
        self._voltages: list[dict[str, FloatArray]] = []
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
        is_first = np.arange(times.size) == 0
        apart = np.diff(times, append=np.inf) > JUMP_S / 2.0
        rising = is_first | (apart & (followed.times_s > 2.0 * JUMP_S))
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
        ports, network = circuit.elements.ports, circuit.network
        branch_a, port_v = circuit.branch_a(port_a), circuit.port_v(port_a)
        currents = {
            branch.name: branch_a[k]
            for k, branch in enumerate(network.branches)
            if branch.role in RECORDED or branch.name in self.wires
        }
        for k, port in enumerate(ports):
            if port.kind != "converter output":
                currents[port.name] = port_a[k]
            if np.abs(port_a[k]).max() > JUMP_S:
                self.owners.add(port.owner)
        self._times.append(times_s)
        self._currents.append(currents)
        across = {p.name: port_v[k] for k, p in enumerate(ports) if p.kind in ACROSS}
        self._voltages.append(across)
        self._places.append(dict(places))

    def currents(self) -> dict[str, Waveform]:
        """Return the currents recorded, 0 where a contact was open. [A]"""
        return self._joined(self._currents, "A")

    def voltages(self) -> dict[str, Waveform]:
        """Return the voltages across windings, lamps and converter inputs. [V]"""
        return self._joined(self._voltages, "V")

    def places(self) -> dict[str, Waveform]:
        """Return the places of plungers from released. [m]"""
        return self._joined(self._places, "m")

    def _joined(self, parts: Sequence[Mapping[str, FloatArray]], unit: str) -> dict[str, Waveform]:
        times = np.concatenate(self._times)
        names = dict.fromkeys(name for part in parts for name in part)
        zeros = [np.zeros(t.size) for t in self._times]
        return {
            name: Waveform(
                name,
                unit,
                times,
                np.concatenate(
                    [part.get(name, zero) for part, zero in zip(parts, zeros, strict=True)]
                ),
            )
            for name in names
        }
