"""Faulted machines in ngspice: true readings from the exported netlist, altered as text.

What a machine is made of is read from the text that `circuitcheck netlist` prints (elements, their
comments, their values at the lower, nominal and upper end). A fault alters those lines; relays,
fuses and cut-outs are settled by running the simulator again. Nothing of `circuitcheck/faults` but
the records of the faults is used. Many circuits stand side by side in one run.

    spice = FaultedSpice(harness, library, folder)
    machine = spice.machine(fault, rng)              # tolerances, battery, pull-in drawn once
    spice.readings([Query(machine, situation, "volt", "VL.1", "VL.2", load_ohm=1e7), ...])

The battery is a voltage behind its internal resistance, so it sags; `posts` reads it. A reading is
NaN where the simulator finds no operating point: a converter that has lost its return.
"""

from __future__ import annotations

import itertools
import math
import re
import subprocess
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from circuitcheck.faults import fault as f
from circuitcheck.model.connector import Connector
from circuitcheck.model.harness import Harness
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.library import Library
from circuitcheck.model.reading import Situation
from reference_solvers.exported_elements import ExportedElements
from reference_solvers.faulted_circuit import FaultedCircuit, Machine, State, law_value
from reference_solvers.faulted_motion import Motion
from reference_solvers.spice_runs import need_ngspice

KINDS = ("volt", "ohm", "amp", "click", "lit", "fuse open", "posts")
OPTIONS = ".options reltol=1e-7 abstol=1e-12 vntol=1e-9 gmin=1e-12 rshunt=1e12 itl1=500"
MOST_ROUNDS = 8
CIRCUITS_AT_ONCE = 250
METER_V, METER_OHM = 1.0, 1000.0


@dataclass(frozen=True)
class Query:
    """One true reading: `kind` of KINDS; points, a branch, coil, indicator or fuse as `plus`."""

    machine: Machine
    situation: Situation
    kind: str
    plus: str = ""
    minus: str = ""
    load_ohm: float = math.inf


class FaultedSpice:
    """Runs of machines made of the elements of one harness; `closed` are contacts by position."""

    def __init__(self, harness: Harness, library: Library, folder: Path) -> None:
        self.harness, self.library, self.folder = harness, library, folder
        self.exported = ExportedElements(harness, library)
        self.motion = Motion(self.exported)
        self.closed = self.exported.closed
        self._states: dict[tuple[int, Situation], State] = {}
        self._kept: dict[int, frozenset[str]] = {}
        self._numbers = itertools.count()

    def machine(self, fault: f.Fault | tuple[f.Fault, ...], rng: np.random.Generator) -> Machine:
        """Draw one machine with a fault (or several, or none as an empty tuple)."""
        faults = (fault,) if isinstance(fault, f.Fault) else tuple(fault)
        ohms = {}
        for name, one in self.exported.elements.items():
            lower, _, upper = one.ohms
            share = rng.random()
            ohms[name] = lower + (upper - lower) * share
            if one.role == "present load":
                ohms[name] = 1.0 / max(share / lower, 1.0 / upper)
        sides = {name: int(rng.integers(0, 3)) for name in self.exported.laws}
        names = ("supply", "inner", *(p for p in self.harness.parts), *self.motion.fuses())
        shares = {name: float(rng.random()) for name in names}
        return Machine(faults, ohms, sides, shares, next(self._numbers))

    def next_number(self) -> int:
        """Return a number that no machine has yet, for one that is altered."""
        return next(self._numbers)

    def nominal_machine(self, fault: f.Fault | tuple[f.Fault, ...]) -> Machine:
        """Return the machine with every value nominal and a battery that does not sag."""
        faults = (fault,) if isinstance(fault, f.Fault) else tuple(fault)
        names = (*self.harness.parts, *self.motion.fuses())
        ohms = {name: one.ohms[1] for name, one in self.exported.elements.items()}
        shares = dict.fromkeys(names, 0.5) | {"supply": 0.5, "inner": -1.0}
        return Machine(
            faults, ohms, dict.fromkeys(self.exported.laws, 1), shares, next(self._numbers)
        )

    # --- readings ---

    def readings(self, queries: Sequence[Query]) -> list[float]:
        """True readings, 1.0 or 0.0 for what is only seen or heard; infinite for no path."""
        self._settle({(q.machine.number, q.situation): q.machine for q in queries})
        out: dict[int, float] = {}
        runs: list[tuple[int, list[str], list[str]]] = []
        for k, query in enumerate(queries):
            if query.kind == "ohm" or (query.kind == "volt" and math.isfinite(query.load_ohm)):
                circuit = self._instrument(query, f"c{len(runs)}")
                runs.append((k, circuit.lines(), circuit.ask(self._points(query))))
            else:
                out[k] = self._from_state(query)
        for (k, _, _), volts in zip(runs, self._run([r[1:] for r in runs]), strict=True):
            out[k] = self._of_run(queries[k], volts)
        return [out[k] for k in range(len(queries))]

    def _points(self, query: Query) -> tuple[str, str]:
        owner = {p.partition(".")[0] for p in (query.plus, query.minus)}
        if query.kind == "ohm" and len(owner) == 1 and owner <= query.situation.unplugged:
            part = self.harness.parts.get(next(iter(owner)))
            if part is not None and not isinstance(part, Connector):
                return f"{query.plus}/part", f"{query.minus}/part"
        return query.plus, query.minus

    def _instrument(self, query: Query, prefix: str) -> FaultedCircuit:
        state = self._states[query.machine.number, query.situation]
        circuit = FaultedCircuit(
            self.exported, query.machine, query.situation, state, prefix, query.kind != "ohm"
        )
        plus, minus = (circuit.node(p) for p in self._points(query))
        if query.kind == "volt":
            circuit.extra.append(f"r{prefix}meter {plus} {minus} {query.load_ohm!r}")
        else:
            circuit.extra.append(f"v{prefix}meter {prefix}meter {minus} dc {METER_V}")
            circuit.extra.append(f"r{prefix}meter {prefix}meter {plus} {METER_OHM}")
        return circuit

    def _of_run(self, query: Query, volts: list[float]) -> float:
        across = volts[0] - volts[1]
        if query.kind == "volt":
            return across
        amps = (METER_V - across) / METER_OHM
        return across / amps if amps > 1e-8 else math.inf

    def _from_state(self, query: Query) -> float:
        state = self._states[query.machine.number, query.situation]
        machine, name = query.machine, query.plus
        if query.kind == "volt":
            return state.volts[f"v {query.plus}"] - state.volts[f"v {query.minus}"]
        if query.kind == "posts":
            return state.volts[f"v {self.exported.source}"]
        if query.kind == "amp":
            return state.volts.get(f"i {name}", 0.0)
        if query.kind == "click":
            return float(self.motion.moves(machine, state, name))
        if query.kind == "fuse open":
            gone = any(isinstance(c, f.AddedOhm) and c.branch == name and math.isinf(c.ohm)
                       for c in f.changes_of(machine.faults))  # fmt: skip
            return float(gone or name in state.opened)
        if query.kind == "lit":
            return float(self._lit(state, name))
        raise ValueError(f"{query.kind} is none of {KINDS}")

    def _lit(self, state: State, name: str) -> bool:
        part = self.harness.parts[name]
        if isinstance(part, IndicatorLamp):
            across = state.volts.get(f"v {name}.1", 0.0) - state.volts.get(f"v {name}.2", 0.0)
            share = self.library.limit("lamp_glow_fraction").value
            return abs(across) >= share * part.rated_v and state.volts.get(f"i {name}", 0.0) != 0.0
        assert isinstance(part, LedIndicator)
        amps = max(state.volts.get(f"i {n}", 0.0) for n in (name, f"{name}/other way"))
        return amps >= self.library.limit("led_least_current_a").value

    def keep_fuses(self, machine: Machine, *situations: Situation) -> None:
        """From now on the fuses that some situations have opened stay open in all others."""
        opened = frozenset().union(
            *(self._states[machine.number, situation].opened for situation in situations)
        )
        before = self._kept.get(machine.number, frozenset())
        if not opened <= before:
            self._kept[machine.number] = before | opened
            for key in [k for k in self._states if k[0] == machine.number]:
                del self._states[key]

    # --- how relays, cut-outs and fuses settle ---

    def _settle(self, wanted: dict[tuple[int, Situation], Machine]) -> None:
        waiting = {key: one for key, one in wanted.items() if key not in self._states}
        for key, machine in waiting.items():
            stuck = {c.relay for c in f.changes_of(machine.faults)
                     if isinstance(c, f.RelayStuck) and c.operated}  # fmt: skip
            opened = self._kept.get(machine.number, frozenset())
            self._states[key] = State(operated=frozenset(stuck), opened=opened)
        for _ in range(MOST_ROUNDS):
            if not waiting:
                return
            circuits, order = [], list(waiting.items())
            for k, (key, machine) in enumerate(order):
                circuit = FaultedCircuit(
                    self.exported, machine, key[1], self._states[key], f"c{k}", True
                )
                circuits.append((circuit.lines(), circuit.ask_all()))
            found = self._run(circuits)
            again = {}
            for (key, machine), circuit_volts, k in zip(order, found, range(len(order)),
                                                        strict=True):  # fmt: skip
                state = self._states[key]
                self._take(machine, key[1], state, circuit_volts, f"c{k}")
                new = self.motion.next_state(machine, state)
                if (new.operated, new.cut_out, new.opened) != (
                    state.operated, state.cut_out, state.opened):  # fmt: skip
                    self._states[key], again[key] = new, machine
            waiting = again
        # still restless: a relay chatters; it is left as it stands
        for key, machine in waiting.items():
            circuit = FaultedCircuit(self.exported, machine, key[1], self._states[key], "c0", True)
            found = self._run([(circuit.lines(), circuit.ask_all())])
            self._take(machine, key[1], self._states[key], found[0], "c0")

    def _take(self, machine: Machine, situation: Situation, state: State, volts: list[float],
              prefix: str) -> None:  # fmt: skip
        circuit = FaultedCircuit(self.exported, machine, situation, state, prefix, True)
        circuit.lines()
        state.volts = {}
        for name, value in zip(circuit.names(), volts, strict=True):
            state.volts[f"v {name}"] = value
        for name, (one, other, ohm) in circuit.resistors.items():
            state.volts[f"i {name}"] = (
                state.volts[f"v {one}"] - state.volts[f"v {other}"]) / ohm  # fmt: skip
        for name, (one, other, law) in circuit.currents.items():
            across = state.volts[f"v {one}"] - state.volts[f"v {other}"]
            state.volts[f"i {name}"] = law_value(law, across)

    def _run(self, circuits: Sequence[tuple[list[str], list[str]]]) -> list[list[float]]:
        """Node voltages asked for, per circuit."""
        out: list[list[float]] = []
        for first in range(0, len(circuits), CIRCUITS_AT_ONCE):
            out += self._run_some(circuits[first : first + CIRCUITS_AT_ONCE])
        return out

    def _run_some(self, circuits: Sequence[tuple[list[str], list[str]]]) -> list[list[float]]:
        names = sorted({name for _, asked in circuits for name in asked if name != "0"})
        volts = self._spice([line for lines, _ in circuits for line in lines], names)
        if volts is None:
            if len(circuits) == 1:
                return [[math.nan] * len(circuits[0][1])]
            half = len(circuits) // 2
            return [*self._run_some(circuits[:half]), *self._run_some(circuits[half:])]
        return [[volts[name] for name in asked] for _, asked in circuits]

    def _spice(self, lines: Iterable[str], names: Sequence[str]) -> dict[str, float] | None:
        deck, raw = self.folder / "machines.cir", self.folder / "machines.raw"
        raw.unlink(missing_ok=True)
        text = ["* machines", *lines, OPTIONS, ".op", ".end", ""]
        deck.write_text("\n".join(text))
        subprocess.run([need_ngspice(), "-b", "-r", str(raw), str(deck)], capture_output=True,
                       timeout=300, check=False)  # fmt: skip
        if not raw.exists():
            return None
        head, _, body = raw.read_bytes().partition(b"Binary:\n")
        found = re.findall(rb"^\t\d+\t(\S+)\t", head, re.MULTILINE)
        values = np.frombuffer(body, dtype=float)
        if b"No. Points: 1" not in head or values.size < len(found):
            return None
        table = {name.decode(): float(v) for name, v in zip(found, values, strict=False)}
        if not np.isfinite(values).all() or not values.any():
            return None
        return {"0": 0.0} | {name: table[f"v({name})"] for name in names}
