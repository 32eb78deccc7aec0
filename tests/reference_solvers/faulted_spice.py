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
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from circuitcheck.circuit.netlist import HOLDING, PULLING
from circuitcheck.documents.netlist_text import netlist_text
from circuitcheck.faults import fault as f
from circuitcheck.model.connector import Connector
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.harness import Harness
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.library import Library
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.reading import Situation
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.solve.circuit_point import CONDITIONS, chosen_point
from circuitcheck.solve.worst_case import solve_harness
from reference_solvers.spice_runs import need_ngspice

KINDS = ("volt", "ohm", "amp", "click", "lit", "fuse open", "posts")
SIDES = {"lower": 0, "nominal": 1, "upper": 2}
OPTIONS = ".options reltol=1e-7 abstol=1e-12 vntol=1e-9 gmin=1e-12 rshunt=1e12 itl1=500"
MOST_ROUNDS = 8
CIRCUITS_AT_ONCE = 250
METER_V, METER_OHM = 1.0, 1000.0
HOT_SHARE = 0.85
COPPER_ZERO_C = 234.5


@dataclass
class Element:
    """A resistor by its branch's name: role, ends, and ohms at lower, nominal and upper end."""

    role: str
    ends: tuple[str, str]
    ohms: list[float] = field(default_factory=lambda: [math.nan] * 3)


@dataclass
class Law:
    """A behavioural source: its ends, and the text of its current at the three ends of its band."""

    role: str
    ends: tuple[str, str]
    text: list[str] = field(default_factory=lambda: [""] * 3)


@dataclass(frozen=True)
class Machine:
    """One machine: its fault, and what its tolerances make of it."""

    faults: tuple[f.Fault, ...]
    ohms: dict[str, float]
    sides: dict[str, int]
    shares: dict[str, float]
    number: int


@dataclass(frozen=True)
class Query:
    """One true reading: `kind` of KINDS; points, a branch, coil, indicator or fuse as `plus`."""

    machine: Machine
    situation: Situation
    kind: str
    plus: str = ""
    minus: str = ""
    load_ohm: float = math.inf


@dataclass
class _State:
    operated: frozenset[str] = frozenset()
    cut_out: frozenset[str] = frozenset()
    opened: frozenset[str] = frozenset()
    volts: dict[str, float] = field(default_factory=dict)


class FaultedSpice:
    """The elements of one harness, read from its netlists, and runs of machines made of them."""

    def __init__(self, harness: Harness, library: Library, folder: Path) -> None:
        self.harness, self.library, self.folder = harness, library, folder
        self.elements: dict[str, Element] = {}
        self.laws: dict[str, Law] = {}
        self.converters: dict[str, list[str]] = {}
        self.nodes: set[str] = set()
        self.closed: dict[str, set[str]] = {}
        self.source, self.reference = f"{harness.battery.name}.+", f"{harness.battery.name}.-"
        self._states: dict[tuple[int, Situation], _State] = {}
        self._kept: dict[int, frozenset[str]] = {}
        self._numbers = itertools.count()
        self._read_all()

    # --- reading the exported text ---

    def _read_all(self) -> None:
        solution = solve_harness(self.harness, self.library, gaps=False)
        for solved in solution.positions:
            if solved.coil_state != "cold start" or solved.pull_state not in (PULLING, HOLDING):
                continue
            for condition in CONDITIONS:
                text = netlist_text(chosen_point(solved, condition), "a machine")
                closed = self._read(text, SIDES[condition])
                self.closed.setdefault(solved.position.name, set()).update(closed)

    def _read(self, text: str, side: int) -> set[str]:
        label, closed, comment = {}, set(), ("", "")
        inner: dict[str, str] = {}
        for line in text.splitlines():
            if found := re.match(r"\* (0|n\d+): (.*)", line):
                label[found[1]] = found[2]
                self.nodes.add(found[2])
            elif found := re.match(
                r"\* (?:[rb]\d+): (upstream fuse|upstream wire|fuse|key contact|"
                r"present load|switch contact|relay contact|relay coil|contact|"
                r"bond|coil|pull winding|hold winding|wire|resistor|"
                r"line resistor|suppressor|lamp|LED|diode) (.*)",
                line,
            ):
                comment = (found[1], found[2])
            elif found := re.match(r"\* v\w+, r\w+: output of converter (\S+);", line):
                inner = {"name": found[1]}
                if side == 1:
                    self.converters[found[1]] = []
            elif re.match(r"[vrb]c\d+ ", line):
                if side == 1:
                    self._converter(inner["name"], line, label)
            elif found := re.match(r"r\d+ (\S+) (\S+) (\S+)", line):
                ends = (label[found[1]], label[found[2]])
                one = self.elements.setdefault(comment[1], Element(comment[0], ends))
                one.ohms[side] = float(found[3])
                closed.add(comment[1])
            elif found := re.match(r"b\d+ (\S+) (\S+) i = (.*)", line):
                ends = (label[found[1]], label[found[2]])
                law = self.laws.setdefault(comment[1], Law(comment[0], ends))
                across = _across(found[1], found[2])
                law.text[side] = found[3].replace(across, "ACROSS")
        return closed

    def _converter(self, name: str, line: str, label: dict[str, str]) -> None:
        def named(found: re.Match[str]) -> str:
            node = found[0]
            return f"<{label[node]}>" if node in label else node

        self.converters[name].append(re.sub(r"\bn\d+\b|(?<=v\()0(?=\))", named, line))

    # --- machines ---

    def machine(self, fault: f.Fault | tuple[f.Fault, ...], rng: np.random.Generator) -> Machine:
        """Draw one machine with a fault (or several, or none as an empty tuple)."""
        faults = (fault,) if isinstance(fault, f.Fault) else tuple(fault)
        ohms = {}
        for name, one in self.elements.items():
            lower, _, upper = one.ohms
            share = rng.random()
            ohms[name] = lower + (upper - lower) * share
            if one.role == "present load":
                ohms[name] = 1.0 / max(share / lower, 1.0 / upper)
        sides = {name: int(rng.integers(0, 3)) for name in self.laws}
        names = ("supply", "inner", *(p for p in self.harness.parts), *self._fuses())
        shares = {name: float(rng.random()) for name in names}
        return Machine(faults, ohms, sides, shares, next(self._numbers))

    def nominal_machine(self, fault: f.Fault | tuple[f.Fault, ...]) -> Machine:
        """Return the machine with every value nominal and a battery that does not sag."""
        faults = (fault,) if isinstance(fault, f.Fault) else tuple(fault)
        names = (*self.harness.parts, *self._fuses())
        ohms = {name: one.ohms[1] for name, one in self.elements.items()}
        shares = dict.fromkeys(names, 0.5) | {"supply": 0.5, "inner": -1.0}
        return Machine(faults, ohms, dict.fromkeys(self.laws, 1), shares, next(self._numbers))

    def _fuses(self) -> dict[str, float]:
        out = {p.name: p.row.rating_a for p in self.harness.of_kind(Fuse)}
        for tap in self.harness.of_kind(SupplyTap):
            if tap.upstream.fuse is not None:
                out[f"{tap.name}/fuse"] = tap.upstream.fuse.rating_a
        return out

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

    def _instrument(self, query: Query, prefix: str) -> _Circuit:
        state = self._states[query.machine.number, query.situation]
        circuit = self._circuit(query.machine, query.situation, state, prefix,
                                fed=query.kind != "ohm")  # fmt: skip
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
            return state.volts[f"v {self.source}"]
        if query.kind == "amp":
            return state.volts.get(f"i {name}", 0.0)
        if query.kind == "click":
            return float(self._moves(machine, state, name))
        if query.kind == "fuse open":
            gone = any(isinstance(c, f.AddedOhm) and c.branch == name and math.isinf(c.ohm)
                       for c in f.changes_of(machine.faults))  # fmt: skip
            return float(gone or name in state.opened)
        if query.kind == "lit":
            return float(self._lit(state, name))
        raise ValueError(f"{query.kind} is none of {KINDS}")

    def _lit(self, state: _State, name: str) -> bool:
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
            self._states[key] = _State(operated=frozenset(stuck), opened=opened)
        for _ in range(MOST_ROUNDS):
            if not waiting:
                return
            circuits, order = [], list(waiting.items())
            for k, (key, machine) in enumerate(order):
                circuit = self._circuit(machine, key[1], self._states[key], f"c{k}", fed=True)
                circuits.append((circuit.lines(), circuit.ask_all()))
            found = self._run(circuits)
            again = {}
            for (key, machine), circuit_volts, k in zip(order, found, range(len(order)),
                                                        strict=True):  # fmt: skip
                state = self._states[key]
                self._take(machine, key[1], state, circuit_volts, f"c{k}")
                new = self._next(machine, state)
                if (new.operated, new.cut_out, new.opened) != (
                    state.operated, state.cut_out, state.opened):  # fmt: skip
                    self._states[key], again[key] = new, machine
            waiting = again
        # still restless: a relay chatters; it is left as it stands
        for key, machine in waiting.items():
            circuit = self._circuit(machine, key[1], self._states[key], "c0", fed=True)
            found = self._run([(circuit.lines(), circuit.ask_all())])
            self._take(machine, key[1], self._states[key], found[0], "c0")

    def _take(self, machine: Machine, situation: Situation, state: _State, volts: list[float],
              prefix: str) -> None:  # fmt: skip
        circuit = self._circuit(machine, situation, state, prefix, fed=True)
        circuit.lines()
        state.volts = {}
        for name, value in zip(circuit.names(), volts, strict=True):
            state.volts[f"v {name}"] = value
        for name, (one, other, ohm) in circuit.resistors.items():
            state.volts[f"i {name}"] = (
                state.volts[f"v {one}"] - state.volts[f"v {other}"]) / ohm  # fmt: skip
        for name, (one, other, law) in circuit.currents.items():
            across = state.volts[f"v {one}"] - state.volts[f"v {other}"]
            state.volts[f"i {name}"] = _law_value(law, across)

    def _next(self, machine: Machine, state: _State) -> _State:
        changes = f.changes_of(machine.faults)
        ratings = self._fuses() | {c.fuse: c.rating_a for c in changes
                                   if isinstance(c, f.FuseRated)}  # fmt: skip
        load = {
            name: abs(state.volts.get(f"i {name}", 0.0))
            / (ratings[name] * (1.1 + 0.25 * machine.shares[name]))
            for name in ratings if name not in state.opened
        }  # fmt: skip
        worst = max(load, key=lambda name: load[name], default=None)
        if worst is not None and load[worst] > 1.0:
            return _State(state.operated, state.cut_out, state.opened | {worst})
        stuck = {c.relay: c.operated for c in changes if isinstance(c, f.RelayStuck)}
        operated = {r.name for r in self.harness.of_kind(Relay)
                    if stuck.get(r.name, self._relay_on(machine, state, r))}  # fmt: skip
        coils = [c.name for c in self.harness.of_kind(PullHoldCoil) if c.cuts_out]
        cut = {name for name in coils if stuck.get(name, self._moves(machine, state, name))}
        return _State(frozenset(operated), frozenset(cut), state.opened)

    def _relay_on(self, machine: Machine, state: _State, relay: Relay) -> bool:
        turns = self._turns(machine, relay.name)
        amps = abs(state.volts.get(f"i {relay.name}", 0.0)) * turns
        # its winding as drawn, at the temperature that pull-in is stated for
        ohm = self._ohm_20c(machine, relay.name) * (COPPER_ZERO_C + relay.coil_at_c) / 254.5
        pull, drop = relay.pull_in_v, relay.drop_out_v
        pull = 0.7 * relay.rated_v if pull is None else pull
        drop = 0.1 * relay.rated_v if drop is None else drop
        share = 0.75 + 0.25 * machine.shares[relay.name]
        return amps * ohm >= (drop if relay.name in state.operated else share * pull)

    def _ohm_20c(self, machine: Machine, branch: str) -> float:
        """Winding at 20 degC by where its draw lies in its band, air and tolerance together."""
        part = self.harness.parts[branch.partition("/")[0]]
        band = (part.resistance_20c_ohm if isinstance(part, SolenoidCoil | Relay) else
                part.hold_20c_ohm if branch.endswith("/hold") else part.pull_20c_ohm)  # fmt: skip
        lower, _, upper = self.elements[branch].ohms
        share = (machine.ohms[branch] - lower) / (upper - lower) if upper > lower else 0.5
        return band.lower + share * (band.upper - band.lower)

    def _turns(self, machine: Machine, branch: str) -> float:
        return math.prod(c.factor for c in f.changes_of(machine.faults)
                         if isinstance(c, f.OhmTimes) and c.branch == branch)  # fmt: skip

    def _moves(self, machine: Machine, state: _State, name: str) -> bool:
        """Whether a coil moves its plunger, or a relay its contacts."""
        part = self.harness.parts[name]
        if any(isinstance(c, f.CoilSeized) and c.coil == name
               for c in f.changes_of(machine.faults)):  # fmt: skip
            return False
        if isinstance(part, Relay):
            stuck = any(isinstance(c, f.RelayStuck) and c.relay == name
                        for c in f.changes_of(machine.faults))  # fmt: skip
            return not stuck and self._relay_on(machine, state, part)
        share = 0.75 + 0.25 * machine.shares[name]
        asked = HOT_SHARE if part.pull_in_fraction is None else part.pull_in_fraction
        if isinstance(part, SolenoidCoil):
            amps = abs(state.volts.get(f"i {name}", 0.0)) * self._turns(machine, name)
            hot = self._hot_ohm(part, self._ohm_20c(machine, name))
            return amps >= share * asked * part.rated_v / hot
        windings = (f"{name}/hold", f"{name}/pull")
        amps = sum(abs(state.volts.get(f"i {w}", 0.0)) * self._turns(machine, w) for w in windings)
        hold20, pull20 = (self._ohm_20c(machine, w) for w in windings)
        hold = self._hot_ohm(part, hold20)
        if name in state.cut_out:
            drop = 0.1 if part.drop_out_fraction is None else part.drop_out_fraction.upper
            return amps >= drop * part.rated_v / hold
        pull = pull20 * hold / hold20
        return amps >= share * asked * part.rated_v * (1.0 / hold + 1.0 / pull)

    def _hot_ohm(self, part: SolenoidCoil | PullHoldCoil, ohm_20c: float) -> float:
        """Steady winding on rated voltage, by turns: power heats, heat adds ohms."""
        heat, ohm = part.thermal_resistance_k_per_w, ohm_20c
        for _ in range(60):
            rise = 60.0
            if heat is not None:
                duty = 1.0 if part.duty is None else part.duty
                rise = heat.nominal * duty * part.rated_v**2 / ohm
            ohm = ohm_20c * (COPPER_ZERO_C + part.rated_ambient_c + rise) / 254.5
        return ohm

    # --- circuits as text ---

    def _circuit(self, machine: Machine, situation: Situation, state: _State, prefix: str, *,
                 fed: bool) -> _Circuit:  # fmt: skip
        return _Circuit(self, machine, situation, state, prefix, fed)

    def supply(self, machine: Machine, situation: Situation) -> tuple[float, float]:
        """Voltage and inner resistance of the battery, charging source included."""
        conditions, share = self.harness.conditions, machine.shares["supply"]
        lower, upper = conditions.engine_off_v
        if situation.engine == "running":
            lower, upper = conditions.charging_v
        if situation.engine == "cranking" or situation.position.startswith("cranking"):
            lower, upper = conditions.cranking_v or (0.6 * lower, 0.85 * upper)
        band = self.harness.battery.internal_resistance_ohm
        share_of_inner = machine.shares["inner"]
        inner = band.lower + (band.nominal - band.lower) * share_of_inner
        inner = 1e-9 if share_of_inner < 0.0 else inner
        volts = lower + (upper - lower) * share
        for change in f.changes_of(machine.faults):
            if isinstance(change, f.SupplyAt):
                volts = min(volts, change.volts)
        return volts, inner

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


class _Circuit:
    """One machine in one situation and state as netlist lines; nodes carry a prefix."""

    def __init__(self, spice: FaultedSpice, machine: Machine, situation: Situation, state: _State,
                 prefix: str, fed: bool) -> None:  # fmt: skip
        self.spice, self.machine, self.situation = spice, machine, situation
        self.state, self.prefix, self.fed = state, prefix, fed
        self.extra: list[str] = []
        self._node: dict[str, str] = {spice.reference: "0"}
        self.resistors: dict[str, tuple[str, str, float]] = {}
        self.currents: dict[str, tuple[str, str, str]] = {}
        self.outputs = dict(spice.converters)
        self._assemble()
        self._alter()

    def node(self, name: str) -> str:
        return self._node.setdefault(name, f"{self.prefix}x{len(self._node)}")

    def names(self) -> list[str]:
        return sorted(self.spice.nodes | set(self._node))

    def ask_all(self) -> list[str]:
        return [self.node(name) for name in self.names()]

    def ask(self, names: Sequence[str]) -> list[str]:
        return [self.node(name) for name in names]

    def _is_on(self, name: str, one: Element) -> bool:
        spice, state = self.spice, self.state
        owner, _, which = name.partition("/")
        if name in state.opened or self._unplugged(name, owner, one):
            return False
        if one.role == "pull winding":
            return owner not in state.cut_out
        if one.role == "relay contact":
            return (which == "make") == (owner in state.operated)
        if one.role in ("switch contact", "key contact"):
            return name in spice.closed[self.situation.position]
        return True

    def _unplugged(self, name: str, owner: str, one: Element) -> bool:
        off = self.situation.unplugged
        part = self.spice.harness.parts.get(owner)
        return (one.role == "wire" and name in off) or (
            isinstance(part, Connector) and owner in off and one.role == "contact")  # fmt: skip

    def _assemble(self) -> None:
        spice, machine = self.spice, self.machine
        for name, one in spice.elements.items():
            if self._is_on(name, one):
                self.resistors[name] = (*self._own_ends(name, one), machine.ohms[name])
        for name, law in spice.laws.items():
            self.currents[name] = (*self._own_ends(name, law), law.text[machine.sides[name]])

    def _own_ends(self, name: str, one: Element | Law) -> tuple[str, str]:
        """Ends of an element; those of a part that is taken off are the part's own."""
        owner = name.partition("/")[0]
        if owner not in self.situation.unplugged or one.role == "wire":
            return one.ends
        return tuple(f"{end}/part" if end.partition(".")[0] == owner else end
                     for end in one.ends)  # type: ignore[return-value]  # fmt: skip

    def _alter(self) -> None:
        moved: dict[str, list[str]] = {}
        for change in f.changes_of(self.machine.faults):
            name = getattr(change, "branch", getattr(change, "fuse", None))
            if isinstance(change, f.EndMoved) and name in self.resistors:
                ends = moved.setdefault(name, list(self.resistors[name][:2]))
                ends[list(self.resistors[name][:2]).index(change.at)] = change.to
            elif isinstance(change, f.AlwaysClosed):
                one = self.spice.elements[change.branch]
                self.resistors[change.branch] = (*one.ends, self.machine.ohms[change.branch])
            elif isinstance(change, f.Joined):
                called = f"joined{len(self.resistors)}"
                self.resistors[called] = (change.first, change.second, change.ohm)
            elif isinstance(change, f.CurveOpen):
                self.currents.pop(change.curve, None)
                self.outputs.pop(change.curve, None)
            elif isinstance(change, f.CurveReversed) and change.curve in self.currents:
                one, other, law = self.currents[change.curve]
                self.currents[change.curve] = (other, one, law)
            elif name in self.resistors:
                self._change_ohm(name, change)
        for name, ends in moved.items():
            if name in self.resistors:
                self.resistors[name] = (ends[0], ends[1], self.resistors[name][2])

    def _change_ohm(self, name: str, change: object) -> None:
        one, other, ohm = self.resistors[name]
        if isinstance(change, f.AddedOhm):
            ohm += change.ohm
        elif isinstance(change, f.OhmTimes):
            ohm *= change.factor
        elif isinstance(change, f.FuseRated):
            ohm = change.element_ohm.nominal
        if math.isinf(ohm):
            del self.resistors[name]
        else:
            self.resistors[name] = (one, other, ohm)

    def lines(self) -> list[str]:
        """Return the netlist lines."""
        out, p = [], self.prefix
        has_battery = self.spice.harness.battery.name not in self.situation.unplugged
        if self.fed and has_battery:
            volts, inner = self.spice.supply(self.machine, self.situation)
            out.append(f"v{p}b {p}emf 0 dc {volts!r}")
            out.append(f"r{p}b {p}emf {self.node(self.spice.source)} {inner!r}")
        for k, (one, other, ohm) in enumerate(self.resistors.values()):
            ends = (self.node(one), self.node(other))
            if ends[0] != ends[1]:
                out.append(f"r{p}k{k} {ends[0]} {ends[1]} {ohm!r}")
        for k, (one, other, law) in enumerate(self.currents.values()):
            ends = (self.node(one), self.node(other))
            if ends[0] != ends[1]:
                text = law.replace("ACROSS", _across(*ends))
                out.append(f"b{p}k{k} {ends[0]} {ends[1]} i = {text}")
        outputs = self.outputs if self.fed and has_battery else {}
        for k, text in enumerate(outputs.values()):
            out += self._converter_lines(text, k)
        known = [self.node(name) for name in self.names()]
        # a node that nothing leads to must still be one that the simulator knows
        out += [f"r{p}g{k} {name} 0 1e12" for k, name in enumerate(known) if name != "0"]
        return [*out, *self.extra]

    def _converter_lines(self, text: list[str], k: int) -> list[str]:
        lines = []
        for line in text:
            named = re.sub(r"<([^>]*)>", lambda found: self.node(found[1]), line)
            for letter in "nvrb":
                named = re.sub(rf"\b{letter}c(\d+)\b", rf"{letter}{self.prefix}k{k}c\1", named)
            lines.append(named)
        return lines


def _across(start: str, end: str) -> str:
    terms = [f"v({start})" if start != "0" else "", f"v({end})" if end != "0" else ""]
    if not terms[0]:
        return f"(0 - {terms[1]})" if terms[1] else "0"
    return f"({terms[0]} - {terms[1]})" if terms[1] else terms[0]


def _law_value(law: str, across: float) -> float:
    """Value of a law of the netlist at a voltage across it."""
    if "pow" in law:
        numbers = [float(x) for x in re.findall(r"(?<![\w.])(\d[\d.]*(?:e[-+]?\d+)?)", law)]
        amps, rated_v, cold, least, power = (*numbers[:3], *numbers[-2:])
        share = across / rated_v
        return amps * share * min(cold, max(abs(share), least) ** -power)
    found = re.match(r"max\(ACROSS - (\S+), 0\) / (\S+) \+ (\S+) \* ACROSS", law)
    assert found is not None, law
    drop, slope, leak = (float(found[k]) for k in (1, 2, 3))
    return max(across - drop, 0.0) / slope + leak * across
