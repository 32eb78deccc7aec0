"""How a current, or the voltage that it loses, is worked out by hand at the corner that makes it.

    one path    I = V_s / (R_1 + R_2 + ...)
    a chain     I = U / (R_1 + R_2 + ...), U between the points where it joins the others
    shared      I = U_1 / (R_1 + ...) + U_2 / (R_2 + ...), the chains that it is made of
    lost        V = (R_a + R_b) * I

With several loads on, the voltage between shared points is a term of its own, solved for this
corner; from there on a pocket calculator does. Shared ground of the checks that judge currents; it
judges nothing itself.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from circuitcheck.checks.finding import Probe, Term, Working
from circuitcheck.checks.workings.operating_point import (
    Chain,
    OperatingPoint,
    fault_point,
    operating_point,
)
from circuitcheck.solve.shorts.fault_network import Fault
from circuitcheck.solve.worst_case import PositionSolution

REDONE_WITHIN = 1e-7
"""Relative; beyond it the corner does not reach the bound, and the rest is a term of its own."""
LONGEST_FORMULA = 300
"""Characters; beyond it the wires and contacts of a chain are added up into one term."""
ENDS = {-1: "lowest", 0: "nominal", 1: "highest"}


@dataclass
class _Sheet:
    """Terms under way, each symbol once."""

    point: OperatingPoint
    merged: bool = False
    source: str = "supply at the battery posts"
    terms: list[Term] = field(default_factory=list)
    symbols: dict[object, str] = field(default_factory=dict)
    counts: Counter[str] = field(default_factory=Counter)

    def current(self, branch: int) -> str:
        """Return the current of a branch as a formula."""
        point = self.point
        if point.current_a[branch] == 0.0:
            return self.add("I_0", 0.0, "A", "no current in this position")
        chain = point.chain(branch)
        formulas = [self._of_chain(part) for part in point.loaded(chain)]
        return formulas[0] if len(formulas) == 1 else f"({' + '.join(formulas)})"

    def resistance(self, branches: Sequence[int]) -> str:
        """Return the resistance of branches in series as a formula."""
        if self.merged and len(branches) > 1:
            total = math.fsum(float(self.point.resistance_ohm[n]) for n in branches)
            names = ", ".join(self.point.network.branches[n].name for n in branches)
            meaning = f"in series: {names}"
            return self._numbered(("in series", tuple(branches)), "R", total, "ohm", meaning)
        symbols = [self._ohm(number) for number in branches]
        return symbols[0] if len(symbols) == 1 else f"({' + '.join(symbols)})"

    def _of_chain(self, chain: Chain) -> str:
        point = self.point
        names = point.network.node_names
        if (chain.first, chain.last) == (point.network.source, point.network.reference):
            volts = self.add("V_s", point.supply_v, "V", self.source)
        else:
            volts = self._numbered(
                ("U", chain.first, chain.last),
                "U",
                chain.drop_v,
                "V",
                f"voltage {names[chain.first]} to {names[chain.last]} in this worst case: "
                "between the points where the path joins others",
            )
        return f"{volts} / {self.resistance(chain.branches)}"

    def _ohm(self, number: int) -> str:
        branch = self.point.network.branches[number]
        ohm = float(self.point.resistance_ohm[number])
        meaning = f"{branch.name}, {ENDS[self.point.ends[number]]}"
        return self._numbered(("R", number), "R", ohm, "ohm", meaning)

    def add(self, symbol: str, value: float, unit: str, meaning: str) -> str:
        """Add a term with a symbol of its own, once; return the symbol."""
        return self._term(symbol, symbol, value, unit, meaning)

    def _numbered(self, key: object, letter: str, value: float, unit: str, meaning: str) -> str:
        if key not in self.symbols:
            self.counts[letter] += 1
            self._term(key, f"{letter}_{self.counts[letter]}", value, unit, meaning)
        return self.symbols[key]

    def _term(self, key: object, symbol: str, value: float, unit: str, meaning: str) -> str:
        if key not in self.symbols:
            self.symbols[key] = symbol
            self.terms.append(Term(symbol, value, unit, meaning))
        return self.symbols[key]

    def working(self, formula: str, value: float, result: Term, probe: Probe | None) -> Working:
        """Return the working, with a term for what the corner leaves open where it does."""
        left = result.value - value
        if abs(left) > REDONE_WITHIN * max(abs(result.value), abs(value)):
            self.add("g", left, result.unit, "by which the bound may stand off (gap)")
            formula = f"{formula} + g"
        return Working(formula, tuple(self.terms), result, probe)


def highest_current_working(solved: PositionSolution, name: str, symbol: str = "I_c") -> Working:
    """Return how the largest current of a branch is worked out."""
    number = solved.network.branch_of[name]
    bounded = solved.ranges.currents[number]
    if not solved.ranges.gaps:
        return _left_out(Term(symbol, bounded.range.largest(), "A", ""))
    side = "upper" if abs(bounded.range.upper) >= abs(bounded.range.lower) else "lower"
    point = operating_point(solved, bounded, side)
    result = Term(symbol, bounded.range.largest(), "A", f"highest current of {name}")
    return _current(point, number, result, Probe("current", name))


def lowest_current_working(solved: PositionSolution, name: str, symbol: str = "I_c") -> Working:
    """Return how the smallest magnitude of a branch's current is worked out."""
    number = solved.network.branch_of[name]
    bounded = solved.ranges.currents[number]
    if not solved.ranges.gaps:
        return _left_out(Term(symbol, bounded.range.smallest(), "A", ""))
    side = "lower" if bounded.range.lower > 0.0 else "upper"
    point = operating_point(solved, bounded, side)
    result = Term(symbol, bounded.range.smallest(), "A", f"lowest current of {name}")
    return _current(point, number, result, Probe("current", name))


def _left_out(result: Term) -> Working:
    """Return a result without its steps: where gaps are left out, nobody reads how it came."""
    return Working(result.symbol, (result,), result)


def _current(point: OperatingPoint, number: int, result: Term, probe: Probe) -> Working:
    sheet = _Sheet(point)
    formula = sheet.current(number)
    if len(formula) > LONGEST_FORMULA:
        sheet = _Sheet(point, merged=True)
        formula = sheet.current(number)
    return sheet.working(formula, abs(float(point.current_a[number])), result, probe)


def strongest_short_working(fault: Fault, branch: str, alternator_a: float) -> Working:
    """Return how the strongest current of a short is worked out: battery's, and alternator's."""
    sheet = _Sheet(fault_point(fault, branch), source="open-circuit voltage of the battery")
    number = fault.network.branch_of[branch]
    formula = sheet.current(number)
    sheet.add("I_a", alternator_a, "A", "what the alternator adds")
    amps = abs(float(sheet.point.current_a[number])) + alternator_a
    result = Term("I_f", fault.largest(branch) + alternator_a, "A", "strongest short")
    return sheet.working(f"{formula} + I_a", amps, result, None)


def lost_working(
    solved: PositionSolution,
    ends: tuple[str, str],
    side: str,
    passed: Sequence[str],
    result: Term,
) -> Working:
    """Return how the voltage between two terminals is lost on the way between them.

    `side` is the end of the range that `result` is, in magnitude; `passed` are the branches and
    diodes that lead from the one terminal to the other, in this order.
    """
    if not solved.ranges.gaps:
        return _left_out(result)
    network = solved.network
    first, last = (network.node_of[end] for end in ends)
    bounded = solved.ranges.between([(first, last)])[0]
    point = operating_point(solved, bounded, side)
    steps = _steps(point, first, passed)
    total = math.fsum(lost_v for _, lost_v in steps)
    sheet = _Sheet(point)
    formula = _lost(sheet, steps, total < 0.0)
    if len(formula) > LONGEST_FORMULA:
        sheet = _Sheet(point, merged=True)
        formula = _lost(sheet, steps, total < 0.0)
    return sheet.working(formula, abs(total), result, Probe("voltage", *ends))


def _steps(
    point: OperatingPoint, first: int, passed: Sequence[str]
) -> list[tuple[int | str, float]]:
    """Return each branch by number, each diode by name, with what is lost on it along the way."""
    network, here = point.network, first
    curves = {curve.name: curve for curve in network.curves}
    steps: list[tuple[int | str, float]] = []
    for name in passed:
        number = network.branch_of.get(name)
        record = curves[name] if number is None else network.branches[number]
        is_along = record.start == here
        here = record.end if is_along else record.start
        if number is None:
            lost_v = float(point.node_v[record.start] - point.node_v[record.end])
        else:
            lost_v = float(point.current_a[number] * point.resistance_ohm[number])
        steps.append((name if number is None else number, lost_v if is_along else -lost_v))
    return steps


def _lost(sheet: _Sheet, steps: Sequence[tuple[int | str, float]], is_turned: bool) -> str:
    """Return the sum of what each chain loses over its share of the branches, rises taken off."""
    point = sheet.point
    groups: dict[tuple[object, bool], list[tuple[int | str, float]]] = {}
    for step, lost_v in steps:
        if isinstance(step, str) or point.current_a[step] == 0.0:
            key: object = step
        else:
            key = point.chain(step).branches
        groups.setdefault((key, (lost_v < 0.0) != is_turned), []).append((step, lost_v))
    formula = ""
    for (_, is_rise), group in groups.items():
        sign = (" - " if is_rise else " + ") if formula else ("-" if is_rise else "")
        first, lost_v = group[0]
        if isinstance(first, str):
            formula += sign + sheet.add(f"V_{len(formula)}", abs(lost_v), "V", f"drop of {first}")
        else:
            numbers = [step for step, _ in group if isinstance(step, int)]
            formula += f"{sign}{sheet.resistance(numbers)} * {sheet.current(first)}"
    return formula
