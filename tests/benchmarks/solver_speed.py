"""Speed of the solver, as ratios measured in one run. Needs ngspice.

    python tests/benchmarks/solver_speed.py
    pytest tests/benchmarks/solver_speed.py

1. linear        one operating point of a 45-part harness in a batch of 10,000, every resistance
                 altered, against ngspice's own loop doing the same (`alter` each, then `op`)
2. heat, diodes  the same with two self-heating coils and two diodes: coil temperature by
                 fixed-point iteration here; in ngspice as a behavioural resistor with a thermal
                 node, one `op` per point
3. growth        compiling and solving the nominal point of 1,000 wires against 100 wires
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from circuitcheck.solve.curves.curve_arrays import CurveArrays
from circuitcheck.solve.curves.curve_network import CurveNetwork
from circuitcheck.solve.curves.curves import Junction
from circuitcheck.solve.elimination.elimination import EliminationPlan

POINTS = 10_000
SPICE_POINTS = 500
AIR_C = 60.0
K_PER_W = 6.0
COILS_OHM = (7.2, 9.1)
SATURATION_A, EMISSION, SERIES_OHM = 1e-10, 1.6, 0.03
LINEAR_LIMIT, HEAT_LIMIT, GROWTH_LIMIT = 100.0, 10.0, 15.0


def harness(feed: int, branch: int, loads: int = 2) -> tuple[np.ndarray, list[int], int]:
    """Chains of wires and contacts: feed, `loads` loads, return. Ends (m, 2), coils, node count.

    Node 1 is the source, node 0 the reference.
    """
    ends: list[tuple[int, int]] = []
    count = 2

    def chain(start: int, length: int) -> int:
        nonlocal count
        for _ in range(length):
            ends.append((start, count))
            start, count = count, count + 1
        return start

    bus, back = chain(1, feed), chain(0, feed)
    coils = []
    for _ in range(loads):
        top, bottom = chain(bus, branch), chain(back, branch)
        coils.append(len(ends))
        ends.append((top, bottom))
    return np.array(ends), coils, count


def nominal_ohms(ends: np.ndarray, coils: list[int]) -> np.ndarray:
    ohms = np.random.default_rng(1).uniform(0.002, 0.08, len(ends))
    ohms[coils] = np.resize(COILS_OHM, len(coils))
    return ohms


def best_of(times: int, call) -> float:
    """Shortest of several runs: the one least disturbed. [s]"""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        call()
        found.append(time.perf_counter() - start)
    return min(found)


def run_spice(parts: list[str], control: list[str]) -> str:
    """Run a netlist of 12 V and `parts` and return what it printed."""
    program = shutil.which("ngspice")
    if program is None:
        raise SystemExit("ngspice is not installed")
    lines = ["* speed", "V1 n1 0 dc 12", *parts, ".options reltol=1e-9 vntol=1e-10"]
    lines += [".control", *control, "quit", ".endc", ".end", ""]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "speed.cir"
        path.write_text("\n".join(lines))
        done = subprocess.run(
            [program, "-b", str(path)], capture_output=True, text=True, check=False
        )
    return done.stdout


def check_same(parts: list[str], volts: np.ndarray) -> None:
    """Both must solve the same circuit: node voltages at the nominal point within 1e-6."""
    printed = run_spice(parts, ["set numdgt=12", "op", "print all"])
    found = re.findall(r"^n(\d+) = (\S+)$", printed, re.MULTILINE)
    assert len(found) > len(volts) // 2, printed[-500:]
    for node, value in found:
        assert abs(float(value) / volts[int(node)] - 1.0) < 1e-6, (node, value, volts[int(node)])


def spice_point_s(parts: list[str]) -> float:
    """Time of one altered operating point in ngspice's own loop. [s]"""
    # every resistance is altered at every point, as in our batch
    plain = [
        (words[0], words[3])
        for words in (part.split() for part in parts)
        if len(words) == 4 and words[0].startswith("r") and not words[0].startswith("rt")
    ]
    alter = [f"alter {name} = {value} * (1 + k * 1e-5)" for name, value in plain]

    def run(points: int) -> float:
        # made before any analysis, the counter lives in the plot that `destroy all` leaves
        loop = ["let k = 0", f"while k < {points}", *alter, "op", "destroy all"]
        start = time.perf_counter()
        printed = run_spice(parts, [*loop, "let k = k + 1", "end"])
        taken = time.perf_counter() - start
        assert printed.count("No. of Data Rows") == points, printed[-500:]
        return taken

    return (min(run(SPICE_POINTS) for _ in range(2)) - run(1)) / (SPICE_POINTS - 1)


def resistor_lines(ends: np.ndarray, ohms: np.ndarray) -> list[str]:
    def name(k: int) -> str:
        return "0" if k == 0 else f"n{k}"

    return [
        f"r{i} {name(u)} {name(v)} {r!r}"
        for i, ((u, v), r) in enumerate(zip(ends.tolist(), ohms.tolist(), strict=True))
    ]


def linear_ratio() -> float:
    ends, coils, count = harness(9, 6)
    assert len(ends) >= 44
    ohms = nominal_ohms(ends, coils)
    plan = EliminationPlan(count, ends[:, 0], ends[:, 1], (1, 0))
    rng = np.random.default_rng(2)
    conductance = 1.0 / (ohms[:, None] * rng.uniform(0.8, 1.2, (len(ends), POINTS)))
    parts = resistor_lines(ends, ohms)
    check_same(parts, plan.solve(1.0 / ohms, 12.0))
    ours = best_of(5, lambda: plan.solve_all(conductance, 12.0)) / POINTS
    return spice_point_s(parts) / ours


def heat_ratio() -> float:
    ends, coils, count = harness(9, 6)
    ohms = nominal_ohms(ends, coils)
    # a steering diode takes the place of the first wire of load 1; load 2 has one across its coil
    steering = coils[0] - 12
    diodes = [
        Junction(int(u), int(v), SATURATION_A, EMISSION, SERIES_OHM)
        for u, v in (ends[steering], ends[coils[1]][::-1])
    ]
    keep = np.arange(len(ends)) != steering
    network = CurveNetwork(
        count, ends[keep, 0], ends[keep, 1], 1, 0, [(d.anode, d.cathode) for d in diodes]
    )
    points = CurveArrays(diodes).nominal()
    series = np.full((2, 1), SERIES_OHM)
    rows = [c - 1 for c in coils]
    rng = np.random.default_rng(2)
    spread = rng.uniform(0.8, 1.2, (int(keep.sum()), POINTS))
    spread[:, 0] = 1.0  # the nominal point, to compare
    cold = ohms[keep][:, None] * spread

    def settle() -> np.ndarray:
        """Node voltages once coil temperatures, resistances and diodes agree."""
        hot, near = cold.copy(), None
        for _ in range(50):
            solution = network.solve(1.0 / hot, 12.0, points, near=near)
            near = solution.branch_v[len(hot) :] - series * solution.branch_a[len(hot) :]
            # R = cold (k + c V^2 / R) for the voltage found; it changes little with R
            k = cold[rows] * (234.5 + AIR_C) / 254.5
            c = cold[rows] * K_PER_W / 254.5
            new = k / 2 + np.sqrt(k**2 / 4 + c * solution.branch_v[rows] ** 2)
            change = np.abs(new / hot[rows] - 1.0).max()
            hot[rows] = new
            if change < 1e-9:
                return solution.node_v
        raise AssertionError("coil temperature did not settle")

    ours = best_of(2, settle) / POINTS
    parts = resistor_lines(ends, ohms)
    hot_lines = []
    for number, coil in enumerate(coils):
        u, v = (f"n{k}" for k in ends[coil])
        law = f"{float(ohms[coil])!r} * (234.5 + {AIR_C} + v(t{number})) / 254.5"
        parts[coil] = f"rc{number} {u} {v} r = '{law}'"
        hot_lines.append(f"bt{number} 0 t{number} i = v({u},{v}) * v({u},{v}) / ({law})")
        hot_lines.append(f"rt{number} t{number} 0 {K_PER_W}")
    for number, diode in enumerate(diodes):
        hot_lines.append(f"d{number} n{diode.anode} n{diode.cathode} dm")
    hot_lines.append(f".model dm d(is={SATURATION_A} n={EMISSION} rs={SERIES_OHM})")
    del parts[steering]
    check_same(parts + hot_lines, settle()[:, 0])
    return spice_point_s(parts + hot_lines) / ours


def growth_ratio() -> float:
    def nominal(loads: int) -> float:
        ends, coils, count = harness(5, 4, loads)
        ohms = nominal_ohms(ends, coils)

        def run() -> None:
            for _ in range(3):  # switch positions, each with a shape of its own
                plan = EliminationPlan(count, ends[:, 0], ends[:, 1], (1, 0))
                plan.solve_all(1.0 / ohms, 12.0)

        return best_of(7, run)

    return nominal(110) / nominal(10)  # 1,000 and 100 branches


def test_linear_point_against_ngspice() -> None:
    assert linear_ratio() >= LINEAR_LIMIT


def test_point_with_heat_and_diodes_against_ngspice() -> None:
    assert heat_ratio() >= HEAT_LIMIT


def test_growth_from_100_to_1000_wires() -> None:
    assert growth_ratio() < GROWTH_LIMIT


def main() -> int:
    linear, heat, growth = linear_ratio(), heat_ratio(), growth_ratio()
    print(
        f"linear point, ngspice / ours:               {linear:7.0f}   at least {LINEAR_LIMIT:.0f}"
    )
    print(f"point with heat and diodes, ngspice / ours: {heat:7.1f}   at least {HEAT_LIMIT:.0f}")
    print(f"nominal solution, 1,000 / 100 wires:        {growth:7.1f}   below {GROWTH_LIMIT:.0f}")
    good = linear >= LINEAR_LIMIT and heat >= HEAT_LIMIT and growth < GROWTH_LIMIT
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
