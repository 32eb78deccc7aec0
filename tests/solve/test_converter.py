"""A 24 V to 12 V converter: by hand, ngspice with behavioural sources, and draws for the bounds.

The shared return couples both sides: what the 12 V side draws runs back through the same frame.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reference_solvers import spice_runs

from circuitcheck.circuit.netlist import Branch, ConverterBranch, Network
from circuitcheck.circuit.positions import Position
from circuitcheck.errors import SolveError
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.bounds.bounds import Network as Shape
from circuitcheck.solve.bounds.box import open_box
from circuitcheck.solve.converters.converter_bounds import ConverterBounds
from circuitcheck.solve.curves.curves import Lamp
from circuitcheck.solve.network_ranges import NetworkRanges
from circuitcheck.solve.nominal_point import nominal_point

EXACT = Band.exact
AIR = Band.exact(20.0)
KEY_ON = Position("key on", "key on", frozenset())
NODES = ("BAT.+", "BAT.-", "in", "out", "minus", "load+", "load-", "valve")
ENDS = (
    ("feed", 0, 2, "wire"),
    ("out wire", 3, 5, "wire"),
    ("coil", 5, 6, "coil"),
    ("return", 6, 4, "wire"),
    ("minus wire", 4, 1, "wire"),
    ("valve feed", 0, 7, "wire"),
    ("valve coil", 7, 4, "coil"),
)


def network(ohms: list[Band], converter: ConverterBranch, bridge: Band | None = None) -> Network:
    """Converter from a supply, a load on its output, a second valve on the shared return."""
    ends = ENDS if bridge is None else (*ENDS, ("bridge", 6, 1, "bond"))
    given = ohms if bridge is None else [*ohms, bridge]
    branches = tuple(
        Branch(name, name, role, a, b, EXACT(0.0), ohm, AIR, ("cab",))
        for (name, a, b, role), ohm in zip(ends, given, strict=True)
    )
    return Network(KEY_ON, NODES, branches, (), 0, 1, True, (), (converter,))


def converter(volts: Band, ohm: Band, efficiency: Band, idle: Band) -> ConverterBranch:
    return ConverterBranch("C", "C", 2, 3, 4, volts, ohm, 10.0, efficiency, idle)


PLAIN = converter(EXACT(13.0), EXACT(0.05), EXACT(0.9), EXACT(0.02))
OHMS = [EXACT(r) for r in (0.1, 0.2, 6.0, 0.1, 0.05, 0.1, 24.0)]


def shape(circuit: Network) -> Shape:
    return Shape(len(circuit.node_names), circuit.starts, circuit.ends, 0, 1)


def test_a_converter_by_hand() -> None:
    # without the second valve's share: i_out = 13 / (0.05 + 0.2 + 6.0 + 0.1) = 2.0472 A;
    # v_out = 13 - 0.05 * 2.0472 = 12.8976 V, so 26.404 W out, 29.338 W in
    out_a = 13.0 / 6.35
    watts = (13.0 - 0.05 * out_a) * out_a / 0.9
    # the input stands at 24 V less its feed and the common return: i_in = w / v + 0.02, and
    # v = 24 - 0.1 i_in - 0.05 (i_in + i_valve), i_valve = (24 - 0.05 (i_in + i_valve)) / 24.1
    in_a = 1.2
    for _ in range(50):
        valve_a = (24.0 - 0.05 * in_a) / 24.15
        volts = 24.0 - 0.1 * in_a - 0.05 * (in_a + valve_a)
        in_a = watts / volts + 0.02
    circuit = network(OHMS, PLAIN)
    found = nominal_point(circuit, shape(circuit), open_box(circuit), 24.0)
    assert found.branch_a[2] == pytest.approx(out_a, rel=1e-9)
    assert found.branch_a[0] == pytest.approx(in_a, rel=1e-9)
    assert found.branch_a[6] == pytest.approx(valve_a, rel=1e-9)
    # what the output gives runs back to minus; only what the input and the valve take goes on
    assert found.branch_a[3] == pytest.approx(out_a, rel=1e-9)
    assert found.branch_a[4] == pytest.approx(in_a + valve_a, rel=1e-9)


def spice(circuit: Network, ohms: np.ndarray, volts: float, one: ConverterBranch, tmp_path):
    name = {k: "0" if k == 1 else f"n{k}" for k in range(len(circuit.node_names))}
    lines = ["* converter", f"v1 {name[0]} 0 dc {volts}"]
    lines += [
        f"r{i} {name[b.start]} {name[b.end]} {r!r}"
        for i, (b, r) in enumerate(zip(circuit.branches, ohms.tolist(), strict=True))
    ]
    lines += [
        f"vo nx {name[4]} dc {one.output_v.nominal}",
        f"ro nx {name[3]} {one.output_ohm.nominal}",
        f"bi {name[2]} {name[4]} i = -i(vo)*v({name[3]},{name[4]})/{one.efficiency.nominal}"
        f"/v({name[2]},{name[4]}) + {one.idle_a.nominal}",
        spice_runs.OPTIONS,
        f".nodeset v({name[2]})={volts}",
    ]
    ask = [".control", "set numdgt=15", "op", "print all", "quit", ".endc", ".end", ""]
    printed = spice_runs.run_ngspice("\n".join([*lines, *ask]), tmp_path)
    found = {}
    for line in printed.splitlines():
        parts = line.split(" = ")
        if len(parts) == 2 and parts[0].strip().startswith("n"):
            found[parts[0].strip()] = float(parts[1])
    return np.array([0.0 if k == 1 else found[name[k]] for k in range(len(circuit.node_names))])


def test_ngspice_finds_the_same(tmp_path) -> None:
    rng = np.random.default_rng(4)
    for _ in range(25):
        ohms = np.array([rng.uniform(0.01, 0.3) for _ in ENDS])
        ohms[[2, 6]] = rng.uniform(3.0, 30.0, 2)
        bridge = None if rng.random() < 0.5 else EXACT(float(rng.uniform(0.01, 0.5)))
        one = converter(
            EXACT(round(float(rng.uniform(12.5, 14.0)), 3)),
            EXACT(round(float(rng.uniform(0.01, 0.2)), 3)),
            EXACT(round(float(rng.uniform(0.75, 0.95)), 3)),
            EXACT(round(float(rng.uniform(0.0, 0.1)), 3)),
        )
        circuit = network([EXACT(float(r)) for r in ohms], one, bridge)
        every = np.append(ohms, bridge.nominal) if bridge is not None else ohms
        volts = round(float(rng.uniform(20.0, 29.0)), 2)
        ours = nominal_point(circuit, shape(circuit), open_box(circuit), volts).node_v
        theirs = spice(circuit, every, volts, one, tmp_path)
        np.testing.assert_allclose(ours, theirs, rtol=1e-6, atol=1e-9)


def wide(ohm: float, share: float) -> Band:
    return Band(ohm / (1 + share), ohm, ohm * (1 + share))


@settings(max_examples=8, deadline=None)
@given(st.integers(0, 2**32 - 1), st.booleans())
def test_draws_never_leave_the_bounds(seed: int, has_bridge: bool) -> None:
    rng = np.random.default_rng(seed)
    bands = [wide(float(b.nominal * rng.uniform(0.7, 1.4)), 0.15) for b in OHMS]
    bridge = wide(float(rng.uniform(0.01, 0.5)), 0.5) if has_bridge else None
    one = converter(Band(12.6, 13.0, 13.4), Band(0.02, 0.05, 0.08), Band(0.8, 0.9, 0.95),
                    Band(0.0, 0.02, 0.05))  # fmt: skip
    circuit = network(bands, one, bridge)
    supply = Band(22.0, 25.0, 29.0)
    ranges = NetworkRanges(circuit, shape(circuit), open_box(circuit), supply)
    amps = [b.range for b in ranges.currents]
    nodes, power = [b.range for b in ranges.nodes], ranges.powers
    for _ in range(40):

        def drawn(band: Band) -> Band:
            side = rng.random() if rng.random() < 0.5 else float(rng.integers(0, 2))
            return EXACT(band.lower + side * (band.upper - band.lower))

        point = ConverterBranch("C", "C", 2, 3, 4, drawn(one.output_v), drawn(one.output_ohm),
                                10.0, drawn(one.efficiency), drawn(one.idle_a))  # fmt: skip
        ohms = [drawn(b.contact_ohm) for b in circuit.branches]
        exact = network(ohms[:7], point, ohms[7] if has_bridge else None)
        found = nominal_point(exact, shape(exact), open_box(exact), drawn(supply).nominal)
        for k, amp in enumerate(found.branch_a):
            assert amps[k].lower - 1e-9 <= amp <= amps[k].upper + 1e-9, circuit.branches[k].name
            watt = amp * found.branch_v[k]
            assert power[k].lower - 1e-9 <= watt <= power[k].upper + 1e-9
        for k, volt in enumerate(found.node_v):
            assert nodes[k].lower - 1e-9 <= volt <= nodes[k].upper + 1e-9, circuit.node_names[k]
    # the bounds of what the output feeds are tight: its own side decides them
    assert amps[2].gap <= 0.1 * amps[2].upper
    assert all(r.gap >= 0.0 and r.method == "enclosure" for r in amps)


def test_a_lamp_on_the_output_is_bounded_too() -> None:
    circuit = network(OHMS, PLAIN)
    lamp = Lamp(5, 6, 12.0, Band(0.3, 0.4, 0.5), EXACT(10.0))
    box = open_box(circuit)
    bounds = ConverterBounds(circuit, circuit.converters, [lamp], box.resistance_ohm, EXACT(24.0))
    found = bounds.solve([(5, 6)], None)
    # nearly 12.6 V across it: 0.3 to 0.5 A times (12.6 / 12) ** 0.55
    assert 0.95 * 0.3 < found.current.lower[7] < 0.3 * (12.6 / 12.0) ** 0.55
    assert 0.5 < found.current.upper[7] < 1.1 * 0.5 * (12.8 / 12.0) ** 0.55
    assert found.current.lower[7] <= found.current.nominal[7] <= found.current.upper[7]


def test_without_supply_a_converter_gives_nothing() -> None:
    circuit = network(OHMS, PLAIN)
    cut = Network(
        KEY_ON, NODES, circuit.branches[1:], (), 0, 1, True, (), circuit.converters
    )  # no feed
    ranges = NetworkRanges(cut, shape(cut), open_box(cut), EXACT(24.0))
    assert ranges.converters == ()
    assert ranges.currents[cut.branch_of["coil"]].range.upper == 0.0


def test_a_supply_too_weak_is_refused() -> None:
    ohms = [EXACT(30.0), *OHMS[1:]]
    circuit = network(ohms, PLAIN)
    with pytest.raises(SolveError, match="converter"):
        nominal_point(circuit, shape(circuit), open_box(circuit), 24.0)
    ranges = NetworkRanges(circuit, shape(circuit), open_box(circuit), Band(20.0, 24.0, 28.0))
    with pytest.raises(SolveError, match="converter"):
        ranges.currents  # noqa: B018
