"""Coupled coils in closed form: laws of energy and scale, symbols, and step-by-step integration."""

from __future__ import annotations

import numpy as np
import pytest
from coil_networks import NO_LAMPS, Reduced, reduced, switched_on
from hypothesis import given, settings
from hypothesis import strategies as st
from random_circuits import CoilCircuit, random_coil_circuit

from circuitcheck.errors import SolveError
from circuitcheck.transient.exact_transient import ExactWinding, exact_currents_a
from circuitcheck.transient.switching_on.following import Following, Moment
from circuitcheck.transient.switching_on.plunger import Plungers
from circuitcheck.transient.switching_on.port_elements import Elements
from circuitcheck.transient.switching_on.port_network import Port, PortValues
from circuitcheck.transient.switching_on.rise import Rise, modes, rise
from circuitcheck.transient.switching_on.steady import steady

SEEDS = st.integers(min_value=0, max_value=10_000)
NONE = np.zeros(0)
NO_PLUNGERS = Plungers(NONE, NONE, NONE, NONE, NONE, NONE, NONE)
NO_MOVERS = np.zeros(0, dtype=np.intp)


def values_of(open_v: list[float], source_ohm: list[list[float]]) -> PortValues:
    p = len(open_v)
    nothing = np.zeros(0)
    return PortValues(np.array(open_v), np.array(source_ohm), nothing, np.zeros((0, p)))


def elements_of(
    henry: list[float], ohm: list[float], drop_v: list[float], one_way: list[bool]
) -> Elements:
    ports = tuple(Port(f"P{k}", f"P{k}", "winding", 0, 0) for k in range(len(henry)))
    return Elements(
        ports, np.array(henry), np.array(ohm), np.array(drop_v), np.array(one_way),
        NO_MOVERS, NO_LAMPS, (),
    )  # fmt: skip


@settings(max_examples=30, deadline=None)
@given(SEEDS)
def test_it_begins_where_it_was_and_ends_settled(seed: int) -> None:
    found, network = switched_on(random_coil_circuit(seed))
    end_s = found.settles_s()
    amps = found.currents_a(np.array([0.0, end_s, 2.0 * end_s]))
    settled = steady(network.values, network.elements).current_a
    size = float(np.abs(settled).max())
    np.testing.assert_allclose(amps[:, 1], settled, atol=3e-4 * size)
    np.testing.assert_allclose(amps[:, 2], settled, atol=1e-7 * size)


@settings(max_examples=30, deadline=None)
@given(SEEDS)
def test_energy_from_the_source_is_heat_or_stored(seed: int) -> None:
    circuit = random_coil_circuit(seed)
    found, network = switched_on(circuit)
    end_s = 0.02
    times = np.linspace(0.0, end_s, 20001)
    amps = found.currents_a(times)
    henry = network.elements.inductance_h
    stored = 0.5 * henry @ (amps[:, -1] ** 2 - amps[:, 0] ** 2)
    values = network.values
    branch_a = values.branch_a[:, None] + values.branch_per_a @ amps
    ohms = np.array([ohm for _, _, ohm in circuit.resistors])
    in_wires = ohms @ branch_a[: len(ohms)] ** 2
    switches = branch_a[len(ohms) : len(ohms) + len(circuit.coils)]
    lost = in_wires + 0.01 * (switches**2).sum(axis=0)
    lost += network.elements.series_ohm @ amps**2
    drawn = circuit.source_v * branch_a[0]
    whole = float(np.sum((drawn[1:] + drawn[:-1]) / 2.0 * np.diff(times)))
    heat = float(np.sum((lost[1:] + lost[:-1]) / 2.0 * np.diff(times)))
    assert whole == pytest.approx(heat + stored, rel=1e-5)


@settings(max_examples=20, deadline=None)
@given(SEEDS, st.floats(0.2, 5.0))
def test_more_inductance_is_the_same_later(seed: int, factor: float) -> None:
    circuit = random_coil_circuit(seed)
    network = reduced(circuit, frozenset(range(len(circuit.coils))))
    slow = scaled(network, factor)
    start = np.zeros(len(circuit.coils))
    times = np.linspace(0.0, 0.03, 50)
    quick = rise(network.values, network.elements, start).currents_a(times)
    late = rise(slow.values, slow.elements, start).currents_a(times * factor)
    np.testing.assert_allclose(late, quick, rtol=1e-9, atol=1e-12)


def scaled(network: Reduced, factor: float) -> Reduced:
    old = network.elements
    return Reduced(
        network.values,
        Elements(
            old.ports, old.inductance_h * factor, old.series_ohm, old.drop_v, old.is_one_way,
            old.lamps, old.filaments, old.converters,
        ),
    )  # fmt: skip


@settings(max_examples=20, deadline=None)
@given(SEEDS)
def test_a_coil_switched_on_pulls_the_others_down(seed: int) -> None:
    circuit = random_coil_circuit(seed)
    found, _ = switched_on(circuit)
    amps = found.currents_a(found.times_s(0.1))
    for i, coil in enumerate(circuit.coils):
        if coil.is_held:
            assert amps[i].max() <= amps[i, 0] * (1.0 + 1e-9)
        else:
            assert amps[i].min() >= -1e-9


def integrated(
    network: Reduced, start_a: np.ndarray, end_s: float
) -> tuple[np.ndarray, np.ndarray]:
    following = Following(network.values, network.elements, NO_PLUNGERS, NO_MOVERS)
    start = Moment(start_a, NONE, NONE, NONE, NONE)
    times, states = following.run(start, end_s)
    return times, np.array([following.currents_a(following.moment(s)) for s in states.T]).T


@pytest.mark.parametrize("seed", range(12))
def test_closed_form_and_integration_agree(seed: int) -> None:
    circuit: CoilCircuit = random_coil_circuit(seed)
    held = frozenset(i for i, coil in enumerate(circuit.coils) if coil.is_held)
    before = reduced(circuit, held)
    start_a = steady(before.values, before.elements).current_a
    after = reduced(circuit, frozenset(range(len(circuit.coils))))
    times, amps = integrated(after, start_a, 0.05)
    exact = rise(after.values, after.elements, start_a).currents_a(times)
    np.testing.assert_allclose(amps, exact, atol=1e-4 * np.abs(exact).max())


@pytest.mark.slow
@pytest.mark.parametrize("seed", [3, 4])
def test_closed_form_and_symbols_agree(seed: int) -> None:
    rng = np.random.default_rng(seed)
    shared, one, two = (float(round(x, 3)) for x in rng.uniform((0.1, 4, 4), (2.0, 20, 20)))
    henry = [float(round(x, 4)) for x in rng.uniform(0.01, 0.1, 2)]
    start = [0.0, 0.4]
    times = np.array([1e-5, 1e-3, 5e-3, 2e-2, 0.1])
    windings = [
        ExactWinding(2, 0, one, henry[0], start[0]),
        ExactWinding(2, 0, two, henry[1], start[1]),
    ]
    exact = exact_currents_a((1, 0, 12.0), [(1, 2, shared)], windings, times)
    matrix = np.array([[shared + one, shared], [shared, shared + two]])
    found = modes(np.array(henry), matrix, np.array([12.0, 12.0]), np.array(start))
    np.testing.assert_allclose(found.at(times), exact, rtol=1e-9)


def test_symbols_are_for_small_circuits() -> None:
    with pytest.raises(SolveError, match="symbols handle 2"):
        exact_currents_a((1, 0, 12.0), [], [ExactWinding(1, 0, 1.0, 1.0)] * 3, np.zeros(1))


def test_a_diode_in_line_takes_its_drop() -> None:
    """i = (V - E) / (R + r) (1 - exp(-t (R + r) / L)), worked by hand."""
    # winding and diode hang in series: between them a node that only the diode feeds
    leak = 1e7
    values = values_of([0.0, 12.0], [[leak, -leak], [-leak, leak]])
    elements = elements_of([0.05, 0.0], [10.0, 0.2], [0.0, 0.7], [False, True])
    found = rise(values, elements, np.zeros(1))
    times = np.array([1e-3, 4e-3, 2e-2])
    expected = (12.0 - 0.7) / 10.2 * (1.0 - np.exp(-times * 10.2 / 0.05))
    np.testing.assert_allclose(found.currents_a(times)[0], expected, rtol=1e-4)


def test_a_diode_stops_when_its_current_is_gone() -> None:
    """A coil cut off with a diode across: no current from t = (L/R) ln((I R + E) / E) on."""
    leak = 1e7
    # the diode's anode is the coil's end: v_diode = -v_coil
    values = values_of([0.0, 0.0], [[leak, -leak], [-leak, leak]])
    elements = elements_of([0.05, 0.0], [10.0, 1e-6], [0.0, 0.7], [False, True])
    found: Rise = rise(values, elements, np.array([1.2]))
    gone_s = 0.05 / 10.0 * np.log((1.2 * 10.0 + 0.7) / 0.7)
    assert found.breaks_s[0] == pytest.approx(gone_s, rel=1e-4)
    after = found.currents_a(np.array([gone_s * 1.01, gone_s * 3.0]))
    np.testing.assert_allclose(after, 0.0, atol=1e-5)
