"""The circuit of one switch position as a netlist that a general circuit simulator reads.

Node 0 is battery minus. Names are generated: n1, n2 for nodes, r1, v1, b1 for elements; what they
stand for is only in comments. Lamps and diodes are behavioural sources (`b`), the curves the
solution itself goes by:

    lamp           i = I0 x min(k, max(|x|, 1e-9)^(p - 1)),   x = v / V0
    diode or LED   i = max(v - E, 0) / r + 1e-12 v

Source: netlist form: T. Quarles et al., SPICE3 Version 3f3 User's Manual, UC Berkeley (1993).
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.netlist import ConverterBranch, Network
from circuitcheck.solve.circuit_point import CircuitPoint
from circuitcheck.solve.converters.converter_shares import running_converters
from circuitcheck.solve.curves.active_curves import active_curves
from circuitcheck.solve.curves.curves import LEAK_S, BandedCurve, Lamp

OPTIONS = ".options reltol=1e-9 abstol=1e-14 vntol=1e-11 gmin=1e-12"
LONGEST_COMMENT = 100


def netlist_text(point: CircuitPoint, title: str) -> str:
    """Return the netlist of a position at one point of its conditions.

    What hangs on neither post of the battery is left out and said so.
    """
    network = point.solved.network
    writer = _Writer(point)
    lines = [
        _comment(title),
        _comment(f"position: {network.position.name}; {point.solved.coil_state}"),
        _comment(point.words),
        *writer.lines(),
        OPTIONS,
        ".op",
        ".end",
    ]
    return "\n".join(lines) + "\n"


def node_names(network: Network) -> dict[int, str]:
    """Return the generated name of each node that current can reach."""
    numbers = {network.reference: "0"}
    reached = _reached(network)
    for node in range(len(network.node_names)):
        if node in reached and node != network.reference:
            numbers[node] = f"n{len(numbers)}"
    return numbers


class _Writer:
    def __init__(self, point: CircuitPoint) -> None:
        self.point, self.network = point, point.solved.network
        self.names = node_names(self.network)
        self.left_out: list[str] = []

    def lines(self) -> Iterator[str]:
        network = self.network
        for node, name in self.names.items():
            yield _comment(f"{name}: {network.node_names[node]}")
        source = self.names[network.source]
        yield _comment("v1: supply at the battery posts")
        yield f"v1 {source} 0 dc {_number(self.point.supply_v)}"
        yield from self._resistors()
        yield from self._curves()
        for number, converter in enumerate(running_converters(network), start=1):
            yield from self._converter(number, converter)
        if self.left_out:
            yield _comment(f"joined to nothing, left out: {', '.join(self.left_out)}")

    def _ends(self, start: int, end: int, name: str) -> tuple[str, str] | None:
        if start in self.names and end in self.names:
            return self.names[start], self.names[end]
        self.left_out.append(name)
        return None

    def _resistors(self) -> Iterator[str]:
        ohms = self.point.resistance_ohm.tolist()
        for number, (branch, ohm) in enumerate(zip(self.network.branches, ohms, strict=True), 1):
            ends = self._ends(branch.start, branch.end, branch.name)
            if ends is not None:
                yield _comment(f"r{number}: {branch.role} {branch.name}")
                yield f"r{number} {ends[0]} {ends[1]} {_number(ohm)}"

    def _curves(self) -> Iterator[str]:
        for number, one in enumerate(active_curves(self.network), start=1):
            ends = self._ends(one.curve.start, one.curve.end, one.name)
            if ends is not None:
                yield _comment(f"b{number}: {one.role} {one.name}")
                law = _law(one.curve, self.point.end_of_curve(one.name), _across(*ends))
                yield f"b{number} {ends[0]} {ends[1]} i = {law}"

    def _converter(self, number: int, converter: ConverterBranch) -> Iterator[str]:
        source = self._ends(converter.source, converter.minus, converter.name)
        output = self._ends(converter.output, converter.minus, converter.name)
        if source is None or output is None:
            return
        inner, v, r, b = (f"{letter}c{number}" for letter in "nvrb")
        yield _comment(f"{v}, {r}: output of converter {converter.name}; {b}: its input")
        volts, ohm = self.point.converter_output(converter.name)
        yield f"{v} {inner} {output[1]} dc {_number(volts)}"
        yield f"{r} {inner} {output[0]} {_number(ohm)}"
        taken = f"-i({v}) * {_across(*output)} / {_number(converter.efficiency.nominal)}"
        idle = _number(converter.idle_a.nominal)
        yield f"{b} {source[0]} {source[1]} i = {taken} / max({_across(*source)}, 1) + {idle}"


def _law(curve: BandedCurve, end: int, across: str) -> str:
    row = end + 1
    if isinstance(curve, Lamp):
        amps, ratio = curve.current_a, curve.cold_ratio
        # the end counts as for a resistance: at -1 a lamp conducts best
        rated_a = (amps.upper, amps.nominal, amps.lower)[row]
        cold = (ratio.upper, ratio.nominal, ratio.lower)[row]
        share = f"({across} / {_number(curve.rated_v)})"
        hot = f"pow(max(abs({share}), 1e-9), {_number(curve.exponent - 1.0)})"
        return f"{_number(rated_a)} * {share} * min({_number(cold)}, {hot})"
    drop = (curve.drop_v.lower, curve.drop_v.nominal, curve.drop_v.upper)[row]
    slope = (curve.slope_ohm.lower, curve.slope_ohm.nominal, curve.slope_ohm.upper)[row]
    over = f"max({across} - {_number(drop)}, 0)"
    return f"{over} / {_number(slope)} + {_number(LEAK_S)} * {across}"


def _across(start: str, end: str) -> str:
    terms = [f"v({start})" if start != "0" else "", f"v({end})" if end != "0" else ""]
    if not terms[0]:
        return f"(0 - {terms[1]})" if terms[1] else "0"
    return f"({terms[0]} - {terms[1]})" if terms[1] else terms[0]


def _reached(network: Network) -> set[int]:
    """Return the nodes that hang on a post of the battery, through whatever part."""
    pairs = [(branch.start, branch.end) for branch in network.branches]
    pairs += [(one.curve.start, one.curve.end) for one in active_curves(network)]
    for one in network.converters:
        pairs += [(one.source, one.minus), (one.output, one.minus)]
    beside: dict[int, list[int]] = {}
    for start, end in pairs:
        beside.setdefault(start, []).append(end)
        beside.setdefault(end, []).append(start)
    found, waiting = {network.source, network.reference}, [network.source, network.reference]
    while waiting:
        for there in beside.get(waiting.pop(), ()):
            if there not in found:
                found.add(there)
                waiting.append(there)
    return found


def _number(value: float) -> str:
    return repr(float(value))


def _comment(text: str) -> str:
    """Return one comment line: a name is a user's text, and may hold anything."""
    plain = "".join(c if c.isascii() and c.isprintable() else "?" for c in text)
    return f"* {plain[:LONGEST_COMMENT]}"
