"""Lamps, LEDs and diodes in networks: ngspice, hand calculation, draws and corners for the bounds.

Lamp values are invented; the exponent 0.55 is that of Wikipedia, "Lamp rerating".
"""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reference_solvers import spice_runs
from reference_solvers.plain_circuit import CurvedCircuit, random_curved_harness

from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.curves.curve_arrays import CurveArrays
from circuitcheck.solve.curves.curve_bounds import BandedCurveNetwork
from circuitcheck.solve.curves.curve_network import CurveNetwork
from circuitcheck.solve.curves.curves import (
    Curve,
    Junction,
    Lamp,
    StraightDiode,
    secant_ohm,
    whole_reach,
)

EXACT = Band.exact
LAMP = Lamp(2, 0, 12.0, Band(0.15, 0.175, 0.2), Band(8.0, 10.0, 14.0))
LED = StraightDiode(2, 3, Band(1.6, 2.0, 2.4), Band(400.0, 470.0, 560.0))
CIRCUITS = 60  # of each kind
KINDS = ("lamp", "LED", "mixed")


def curves_of(circuit: CurvedCircuit) -> list[Curve]:
    lamps: list[Curve] = [
        Lamp(u, v, volts, EXACT(amps), EXACT(ratio)) for u, v, volts, amps, ratio in circuit.lamps
    ]
    return lamps + [Junction(*diode) for diode in circuit.plain.diodes]


def solve(circuit: CurvedCircuit) -> np.ndarray:
    plain, curves = circuit.plain, curves_of(circuit)
    ends = plain.ends
    network = CurveNetwork(
        plain.n_nodes, ends[:, 0], ends[:, 1], 1, 0, [(c.start, c.end) for c in curves]
    )
    found = network.solve(1.0 / plain.ohms, plain.source_v, CurveArrays(curves).nominal())
    return found.node_v[:, 0]


@pytest.mark.parametrize("kind", KINDS)
def test_ngspice_finds_the_same_voltages(kind: str, tmp_path) -> None:
    rng = np.random.default_rng(KINDS.index(kind))
    circuits = [random_curved_harness(kind, rng) for _ in range(CIRCUITS)]
    theirs = spice_runs.curved_node_voltages(circuits, tmp_path)
    assert sum(len(c.lamps) for c in circuits) + sum(len(c.plain.diodes) for c in circuits) > 60
    for circuit, volts in zip(circuits, theirs, strict=True):
        np.testing.assert_allclose(solve(circuit), volts, rtol=1e-6, atol=1e-9)


def test_a_lamp_at_half_its_voltage_by_hand() -> None:
    # 0.175 A at 12 V; at 6 V 0.175 * 0.5**0.55 = 0.175 * 0.683020 = 0.119529 A, so 50.198 ohm
    amps = 0.175 * 0.5**0.55
    assert amps == pytest.approx(0.119529, rel=1e-5)
    network = CurveNetwork(3, [1], [2], 1, 0, [(2, 0)])
    for sign in (1, -1):
        lamp = Lamp(*((2, 0) if sign > 0 else (0, 2)), 12.0, EXACT(0.175), EXACT(10.0))
        network = CurveNetwork(3, [1], [2], 1, 0, [(lamp.start, lamp.end)])
        found = network.solve([amps / 6.0], 12.0, CurveArrays([lamp]).nominal())
        assert found.node_v[2, 0] == pytest.approx(6.0, rel=1e-9)
        assert found.branch_a[1, 0] == pytest.approx(sign * amps, rel=1e-9)


def test_an_unlit_lamp_is_its_cold_filament() -> None:
    # R cold = 12 / 0.175 / 10 = 6.857 ohm behind 6.85 kilohm: 12 mV of 12 V, far below lighting
    cold = 12.0 / 0.175 / 10.0
    network = CurveNetwork(3, [1], [2], 1, 0, [(2, 0)])
    lamp = Lamp(2, 0, 12.0, EXACT(0.175), EXACT(10.0))
    found = network.solve([1.0 / (999.0 * cold)], 12.0, CurveArrays([lamp]).nominal())
    assert found.node_v[2, 0] == pytest.approx(0.012, rel=1e-9)
    assert lamp.lit_from_v == pytest.approx(12.0 * 10.0 ** (-1.0 / 0.45), rel=1e-12)


@given(st.floats(0.0, 30.0), st.floats(0.0, 30.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_a_secant_lies_between_its_ends(one: float, two: float, a: float, b: float) -> None:
    low_v, high_v = sorted((one, two))
    reach = whole_reach([LAMP], high_v)
    reach = type(reach)(reach.least_a, reach.most_a, np.array([low_v]), reach.most_v)
    least, most = secant_ohm([LAMP], reach)
    volts = low_v + a * (high_v - low_v)
    rated_a = 0.15 + b * 0.05
    if volts > 1e-6:
        amps = rated_a * min((volts / 12.0) ** 0.55, 10.0 * volts / 12.0)
        assert least[0] * (1 - 1e-12) <= volts / amps <= most[0] * (1 + 1e-12)


def test_a_lamp_across_a_coil_is_bounded_by_its_corners() -> None:
    # series-parallel: all 2**(3 + 2 + 1) corners of resistances, lamp and source, solved one by one
    network = BandedCurveNetwork(3, [1, 2, 2], [2, 0, 0], 1, 0, [(2, 0)])
    lower, nominal, upper = [0.2, 7.0, 900.0], [0.3, 8.0, 1000.0], [0.6, 9.0, 1100.0]
    source = Band(11.0, 12.5, 14.5)
    found = network.solve_bounds([LAMP], lower, nominal, upper, source, [(2, 0), (1, 2)])
    seen = []
    for ohms in product(*zip(lower, upper, strict=True)):
        for amps, ratio, volts in product((0.15, 0.2), (8.0, 14.0), (11.0, 14.5)):
            lamp = Lamp(2, 0, 12.0, EXACT(amps), EXACT(ratio))
            seen.append(
                network.exact.solve(1.0 / np.array(ohms), volts, CurveArrays([lamp]).nominal())
            )
    across = np.array([one.node_v[2, 0] for one in seen])
    assert found.voltage.method == ("series-parallel",) * 2
    assert found.voltage.lower[0] == pytest.approx(across.min(), rel=1e-9)
    assert found.voltage.upper[0] == pytest.approx(across.max(), rel=1e-9)
    amps = np.array([one.branch_a[:, 0] for one in seen])
    np.testing.assert_allclose(found.current.lower, amps.min(axis=0), rtol=1e-9)
    np.testing.assert_allclose(found.current.upper, amps.max(axis=0), rtol=1e-9)
    assert found.current.gap.max() == 0.0
    # the lamp takes most where it conducts best, the wire is short and the coil weak
    assert found.current.corner_upper[:, 3].tolist() == [-1, 1, 1, -1]
    assert found.current.source_upper_v[3] == 14.5


BRIDGED = (5, [(1, 2), (1, 3), (2, 3), (2, 4), (4, 0), (3, 0)])
PARALLEL = (5, [(1, 2), (2, 3), (2, 4), (4, 0), (3, 0)])


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2**32 - 1), st.sampled_from([BRIDGED, PARALLEL]))
def test_draws_never_leave_the_bounds(seed: int, shape: tuple[int, list[tuple[int, int]]]) -> None:
    rng = np.random.default_rng(seed)
    n, ends = shape
    lamp = Lamp(*map(int, rng.permutation([2, 3])), 6.0, Band(0.1, 0.3, 0.4), Band(5.0, 8.0, 12.0))
    led = StraightDiode(*map(int, rng.permutation([4, 0])), Band(0.5, 0.7, 0.9), Band(0.1, 0.5, 1))
    curves = [lamp, led]
    pairs = [(c.start, c.end) for c in curves]
    network = BandedCurveNetwork(n, [u for u, _ in ends], [v for _, v in ends], 1, 0, pairs)
    nominal = np.exp(rng.uniform(-1, 3, len(ends)))
    lower, upper = nominal / 1.3, nominal * 1.3
    source = Band(3.0, 6.0, 9.0)
    probes = [(p, q) for p in range(n) for q in range(p)]
    found = network.solve_bounds(curves, lower, nominal, upper, source, probes)
    reach = found.reach
    for _ in range(60):
        side = rng.random(len(ends) + 1).round(int(rng.integers(0, 3)))
        ohms = lower + side[:-1] * (upper - lower)
        volts = 3.0 + side[-1] * 6.0
        at = rng.random(4)
        drawn = [
            Lamp(*pairs[0], 6.0, EXACT(0.1 + 0.3 * at[0]), EXACT(5.0 + 7.0 * at[1])),
            StraightDiode(*pairs[1], EXACT(0.5 + 0.4 * at[2]), EXACT(0.1 + 0.9 * at[3])),
        ]
        one = network.exact.solve(1.0 / ohms, volts, CurveArrays(drawn).nominal())
        across = np.array([one.node_v[p, 0] - one.node_v[q, 0] for p, q in probes])
        assert (found.voltage.lower - 1e-9 <= across).all()
        assert (across <= found.voltage.upper + 1e-9).all()
        assert (found.current.lower - 1e-9 <= one.branch_a[:, 0]).all()
        assert (one.branch_a[:, 0] <= found.current.upper + 1e-9).all()
        own = np.abs(one.branch_a[-2:, 0]) * [1.0, one.branch_a[-1, 0] > 1e-9]
        assert (reach.least_a - 1e-9 <= own).all()
        assert (own <= reach.most_a + 1e-9).all()


def test_the_gap_is_measured_from_what_is_reached() -> None:
    n, ends = BRIDGED
    lamp = Lamp(2, 3, 12.0, Band(0.9, 1.0, 1.1), EXACT(10.0))
    network = BandedCurveNetwork(n, [u for u, _ in ends], [v for _, v in ends], 1, 0, [(2, 3)])
    nominal = np.array([0.5, 5.0, 30.0, 0.5, 6.0, 1.0])
    found = network.solve_bounds(
        [lamp], nominal / 1.1, nominal, nominal * 1.1, Band(9.0, 12.0, 15.0), [(2, 3), (4, 0)]
    )
    for k, (p, q) in enumerate([(2, 3), (4, 0)]):
        for ends_, volts, bound in (
            (found.voltage.corner_lower, found.voltage.source_lower_v, found.voltage.lower),
            (found.voltage.corner_upper, found.voltage.source_upper_v, found.voltage.upper),
        ):
            ohms = np.where(ends_[:6, k] > 0, nominal * 1.1, nominal / 1.1)
            amps = 0.9 if ends_[6, k] > 0 else 1.1
            at = Lamp(2, 3, 12.0, EXACT(amps), EXACT(10.0))
            one = network.exact.solve(1.0 / ohms, volts[k], CurveArrays([at]).nominal())
            reached = one.node_v[p, 0] - one.node_v[q, 0]
            assert abs(bound[k] - reached) <= found.voltage.gap[k] * (1 + 1e-9) + 1e-12
        assert 0.0 < found.voltage.gap[k] < 0.2 * found.voltage.upper[k]


def test_a_network_that_swings_settles() -> None:
    # two diodes back to back through small resistances: plain steps switch them to and fro
    rng = np.random.default_rng(5)
    for _ in range(40):
        n = 8
        ends = [(1, 2)] + [tuple(map(int, rng.choice(n, 2, replace=False))) for _ in range(12)]
        ohms = np.exp(rng.uniform(-6, 6, len(ends)))
        curves: list[Curve] = []
        for _ in range(8):
            u, v = map(int, rng.choice(n, 2, replace=False))
            drop = float(rng.uniform(0.0, 3.0))
            curves.append(
                StraightDiode(u, v, EXACT(drop), EXACT(float(np.exp(rng.uniform(-6, 3)))))
            )
        curves.append(Lamp(2, 3, 12.0, EXACT(0.5), EXACT(10.0)))
        pairs = [(c.start, c.end) for c in curves]
        network = CurveNetwork(n, [u for u, _ in ends], [v for _, v in ends], 1, 0, pairs)
        points = CurveArrays(curves).nominal()
        found = network.solve(1.0 / ohms, 12.0, points)
        np.testing.assert_allclose(
            found.branch_a[len(ends) :], points.current(found.branch_v[len(ends) :]),
            rtol=1e-6, atol=1e-9,
        )  # fmt: skip


@pytest.mark.parametrize(
    "make",
    [
        lambda: Lamp(1, 0, 0.0, EXACT(1.0), EXACT(10.0)),
        lambda: Lamp(1, 0, 12.0, EXACT(0.0), EXACT(10.0)),
        lambda: Lamp(1, 0, 12.0, EXACT(1.0), EXACT(0.5)),
        lambda: Lamp(1, 0, 12.0, EXACT(1.0), EXACT(10.0), 1.5),
    ],
)
def test_impossible_lamps_are_refused(make) -> None:
    with pytest.raises(ValueError, match=r"must be above 0|below 1"):
        make()
