"""The elements of one harness, read from the text that `circuitcheck netlist` prints of it."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field

from circuitcheck.circuit.netlist import HOLDING, PULLING
from circuitcheck.documents.netlist_text import netlist_text
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.solve.circuit_point import CONDITIONS, chosen_point
from circuitcheck.solve.worst_case import solve_harness

SIDES = {"lower": 0, "nominal": 1, "upper": 2}


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


class ExportedElements:
    """Resistors, laws and converters by name, and which contacts each position closes."""

    def __init__(self, harness: Harness, library: Library) -> None:
        self.harness, self.library = harness, library
        self.elements: dict[str, Element] = {}
        self.laws: dict[str, Law] = {}
        self.converters: dict[str, list[str]] = {}
        self.nodes: set[str] = set()
        self.closed: dict[str, set[str]] = {}
        self.source, self.reference = f"{harness.battery.name}.+", f"{harness.battery.name}.-"
        self._read_all()

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
                across = across_of(found[1], found[2])
                law.text[side] = found[3].replace(across, "ACROSS")
        return closed

    def _converter(self, name: str, line: str, label: dict[str, str]) -> None:
        def named(found: re.Match[str]) -> str:
            node = found[0]
            return f"<{label[node]}>" if node in label else node

        self.converters[name].append(re.sub(r"\bn\d+\b|(?<=v\()0(?=\))", named, line))


def across_of(start: str, end: str) -> str:
    terms = [f"v({start})" if start != "0" else "", f"v({end})" if end != "0" else ""]
    if not terms[0]:
        return f"(0 - {terms[1]})" if terms[1] else "0"
    return f"({terms[0]} - {terms[1]})" if terms[1] else terms[0]
