"""One faulted machine as netlist lines: its elements, altered by its faults, in one state."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from circuitcheck.faults import fault as f
from circuitcheck.model.connector import Connector
from circuitcheck.model.reading import Situation
from reference_solvers.exported_elements import Element, ExportedElements, Law, across_of


@dataclass(frozen=True)
class Machine:
    """One machine: its fault, and what its tolerances make of it."""

    faults: tuple[f.Fault, ...]
    ohms: dict[str, float]
    sides: dict[str, int]
    shares: dict[str, float]
    number: int


@dataclass
class State:
    operated: frozenset[str] = frozenset()
    cut_out: frozenset[str] = frozenset()
    opened: frozenset[str] = frozenset()
    volts: dict[str, float] = field(default_factory=dict)


class FaultedCircuit:
    """One machine in one situation and state as netlist lines; nodes carry a prefix."""

    def __init__(
        self,
        elements: ExportedElements,
        machine: Machine,
        situation: Situation,
        state: State,
        prefix: str,
        fed: bool,
    ) -> None:
        self.exported, self.machine, self.situation = elements, machine, situation
        self.state, self.prefix, self.fed = state, prefix, fed
        self.extra: list[str] = []
        self._node: dict[str, str] = {elements.reference: "0"}
        self.resistors: dict[str, tuple[str, str, float]] = {}
        self.currents: dict[str, tuple[str, str, str]] = {}
        self.outputs = dict(elements.converters)
        self._assemble()
        self._alter()

    def supply(self) -> tuple[float, float]:
        """Voltage and inner resistance of the battery, charging source included."""
        conditions, share = self.exported.harness.conditions, self.machine.shares["supply"]
        lower, upper = conditions.engine_off_v
        if self.situation.engine == "running":
            lower, upper = conditions.charging_v
        if self.situation.engine == "cranking" or self.situation.position.startswith("cranking"):
            lower, upper = conditions.cranking_v or (0.6 * lower, 0.85 * upper)
        band = self.exported.harness.battery.internal_resistance_ohm
        share_of_inner = self.machine.shares["inner"]
        inner = band.lower + (band.nominal - band.lower) * share_of_inner
        inner = 1e-9 if share_of_inner < 0.0 else inner
        volts = lower + (upper - lower) * share
        for change in f.changes_of(self.machine.faults):
            if isinstance(change, f.SupplyAt):
                volts = min(volts, change.volts)
        return volts, inner

    def node(self, name: str) -> str:
        return self._node.setdefault(name, f"{self.prefix}x{len(self._node)}")

    def names(self) -> list[str]:
        return sorted(self.exported.nodes | set(self._node))

    def ask_all(self) -> list[str]:
        return [self.node(name) for name in self.names()]

    def ask(self, names: Sequence[str]) -> list[str]:
        return [self.node(name) for name in names]

    def _is_on(self, name: str, one: Element) -> bool:
        exported, state = self.exported, self.state
        owner, _, which = name.partition("/")
        if name in state.opened or self._unplugged(name, owner, one):
            return False
        if one.role == "pull winding":
            return owner not in state.cut_out
        if one.role == "relay contact":
            return (which == "make") == (owner in state.operated)
        if one.role in ("switch contact", "key contact"):
            return name in exported.closed[self.situation.position]
        return True

    def _unplugged(self, name: str, owner: str, one: Element) -> bool:
        off = self.situation.unplugged
        part = self.exported.harness.parts.get(owner)
        return (one.role == "wire" and name in off) or (
            isinstance(part, Connector) and owner in off and one.role == "contact")  # fmt: skip

    def _assemble(self) -> None:
        exported, machine = self.exported, self.machine
        for name, one in exported.elements.items():
            if self._is_on(name, one):
                self.resistors[name] = (*self._own_ends(name, one), machine.ohms[name])
        for name, law in exported.laws.items():
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
                one = self.exported.elements[change.branch]
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
        has_battery = self.exported.harness.battery.name not in self.situation.unplugged
        if self.fed and has_battery:
            volts, inner = self.supply()
            out.append(f"v{p}b {p}emf 0 dc {volts!r}")
            out.append(f"r{p}b {p}emf {self.node(self.exported.source)} {inner!r}")
        for k, (one, other, ohm) in enumerate(self.resistors.values()):
            ends = (self.node(one), self.node(other))
            if ends[0] != ends[1]:
                out.append(f"r{p}k{k} {ends[0]} {ends[1]} {ohm!r}")
        for k, (one, other, law) in enumerate(self.currents.values()):
            ends = (self.node(one), self.node(other))
            if ends[0] != ends[1]:
                text = law.replace("ACROSS", across_of(*ends))
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


def law_value(law: str, across: float) -> float:
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
