"""The exact second opinion: hand-worked networks, odd names, and agreement with the solver."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import pytest

from circuitcheck import SolveError, read_harness, read_library, solve_harness
from circuitcheck.circuit.netlist import Branch, DiodeBranch, Network
from circuitcheck.circuit.positions import Position
from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.exact import exact_current_a, exact_voltage_v, nominal_netlist
from circuitcheck.solve.solution import HEAT_SOAKED

EXAMPLES = Path(__file__).parents[2] / "examples"
ZERO = Band.exact(0.0)
KEY_ON = Position("key on", "key on", frozenset())


@dataclass(frozen=True)
class Solved:
    """The part of a solved position that the exact solver looks at."""

    network: Network
    supply_v: Band
    ohms: dict[str, float]
    position: Position = KEY_ON

    def resistance_ohm(self, branch: str) -> Band:
        return Band.exact(self.ohms[branch])


def network(
    branches: list[tuple[str, str, str, float]],
    *,
    supply_v: float = 12.0,
    diodes: list[tuple[str, str]] = [],  # noqa: B006
) -> Solved:
    """Branches as (name, start, end, ohm); the battery stands between nodes `+` and `-`."""
    nodes = {"+": 0, "-": 1}
    for _, *ends, _ in branches:
        for end in ends:
            nodes.setdefault(end, len(nodes))
    return Solved(
        Network(
            KEY_ON,
            tuple(nodes),
            tuple(
                Branch(name, name, "wire", nodes[a], nodes[b], ZERO, ZERO, ZERO, ())
                for name, a, b, _ in branches
            ),
            tuple(DiodeBranch("d", "d", nodes[a], nodes[b]) for a, b in diodes),
            0,
            1,
            True,
        ),
        Band.exact(supply_v),
        {name: ohm for name, _, _, ohm in branches},
    )


LADDER = [("feed", "+", "A", 0.05), ("load", "A", "-", 24.0), ("wire", "A", "B", 0.1),
          ("coil", "B", "-", 10.0)]  # fmt: skip


def test_ladder_against_hand_worked_fractions():
    # 24 in parallel with 10.1 is 242.4/34.1; V_A = 12 * that / (0.05 + that); V_B = V_A 10/10.1.
    shunt = Fraction(24) * Fraction(101, 10) / Fraction(341, 10)
    v_a = 12 * shunt / (Fraction(1, 20) + shunt)
    solved = network(LADDER)
    assert exact_voltage_v(solved, "A", "-") == v_a
    assert exact_voltage_v(solved, "B", "-") == v_a * Fraction(100, 101)
    assert exact_voltage_v(solved, "-", "A") == -v_a
    assert exact_current_a(solved, "coil") == v_a / Fraction(101, 10)
    assert exact_current_a(solved, "load") == v_a / 24


def test_unbalanced_bridge_against_hand_worked_fractions():
    # Thevenin of the bridge: V_th = 12 (2/3 - 1/3) = 4 V, R_th = 2/3 + 2/3; detector 5 ohm.
    solved = network(
        [("r1", "+", "L", 1.0), ("r2", "L", "-", 2.0), ("r3", "+", "R", 2.0),
         ("r4", "R", "-", 1.0), ("detector", "L", "R", 5.0)]
    )  # fmt: skip
    assert exact_current_a(solved, "detector") == Fraction(4) / (Fraction(4, 3) + 5)


def test_a_branch_without_resistance_joins_its_nodes_and_still_has_a_current():
    solved = network([("feed", "+", "A", 1.0), ("strap", "A", "B", 0.0), ("coil", "B", "-", 3.0)])
    assert exact_voltage_v(solved, "A", "B") == 0
    assert exact_current_a(solved, "strap") == 3
    assert nominal_netlist(solved).component_of("strap") is None


def test_current_shared_by_two_straps_is_refused_not_guessed():
    straps = [("strap", "A", "B", 0.0), ("other", "A", "B", 0.0)]
    solved = network([("feed", "+", "A", 1.0), *straps, ("coil", "B", "-", 3.0)])
    with pytest.raises(SolveError, match="without resistance"):
        exact_current_a(solved, "strap")


def test_a_dead_end_carries_nothing_and_an_island_is_refused():
    ends = [("stub", "A", "E", 2.0), ("island", "I", "J", 2.0)]
    solved = network([*LADDER, *ends])
    assert exact_current_a(solved, "stub") == 0
    assert exact_voltage_v(solved, "A", "E") == 0
    with pytest.raises(SolveError, match="not joined to the battery"):
        exact_current_a(solved, "island")
    with pytest.raises(SolveError, match="not joined to the battery"):
        exact_voltage_v(solved, "I", "-")


def test_a_shorted_battery_is_refused():
    with pytest.raises(SolveError, match="without any resistance"):
        exact_voltage_v(network([("short", "+", "-", 0.0)]), "+", "-")


def test_a_blocking_diode_is_left_out_and_a_conducting_one_refused():
    blocking = network(LADDER, diodes=[("-", "B")])
    assert exact_voltage_v(blocking, "B", "-") == exact_voltage_v(network(LADDER), "B", "-")
    with pytest.raises(SolveError, match="diode conducts"):
        exact_voltage_v(network(LADDER, diodes=[("B", "-")]), "B", "-")


def test_names_of_the_file_never_reach_the_netlist():
    evil = "__import__('os').system('x') {1} \n V9 0 1"
    solved = network([(evil, "+", "A", 1.0), ("coil", "A", "-", 3.0)])
    assert nominal_netlist(solved).text() == "V1 1 0 {12}\nR1 1 2 {1}\nR2 2 0 {3}"
    assert exact_current_a(solved, evil) == 3


@pytest.mark.parametrize("example", sorted(p.name for p in EXAMPLES.iterdir()))
def test_every_example_agrees_with_the_solver_to_rounding(example):
    library = read_library()
    harness = read_harness(EXAMPLES / example / "harness.toml", library)
    live = solve_harness(harness, library).live(HEAT_SOAKED)
    solved = max(live, key=lambda position: len(position.energised()))
    if any(one.is_lamp for one in solved.ranges.active):
        with pytest.raises(SolveError, match="a lamp carries current"):
            exact_current_a(solved, next(iter(harness.wires)))
        return
    for wire in list(harness.wires)[::3]:
        exact = float(exact_current_a(solved, wire))
        assert solved.current_a(wire).nominal == pytest.approx(exact, rel=1e-9, abs=1e-12)


def test_the_exact_solver_is_loaded_only_when_asked():
    script = "import circuitcheck.solve.exact, sys; sys.exit('lcapy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == 0
