"""Operating points by the program ngspice, many circuits in one run.

All circuits stand side by side in one netlist, joined only by node 0. The program is a Debian
package; where it is missing the test is skipped, unless CIRCUITCHECK_NEEDS_NGSPICE is set.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from reference_solvers.plain_circuit import CurvedCircuit, PlainCircuit

OPTIONS = ".options reltol=1e-9 abstol=1e-14 vntol=1e-11 gmin=1e-12 numdgt=15 itl1=2000"


def need_ngspice() -> str:
    """Path of the program; skips or fails the test where there is none."""
    path = shutil.which("ngspice")
    if path is None:
        if os.environ.get("CIRCUITCHECK_NEEDS_NGSPICE"):
            pytest.fail("ngspice is not installed")
        pytest.skip("ngspice is not installed")
    return path


def circuit_lines(circuit: PlainCircuit, number: int) -> list[str]:
    """Netlist lines of one circuit; its nodes are called n<number>x<node>."""

    def name(node: int) -> str:
        return _name(number, node)

    lines = [f"V{number} {name(1)} 0 dc {circuit.source_v}"]
    for i, (u, v, ohm) in enumerate(circuit.resistors):
        lines.append(f"R{number}x{i} {name(u)} {name(v)} {ohm!r}")
    for i, (u, v, saturation, emission, series) in enumerate(circuit.diodes):
        lines.append(f"D{number}x{i} {name(u)} {name(v)} m{number}x{i}")
        lines.append(f".model m{number}x{i} D(IS={saturation!r} N={emission} RS={series})")
    return lines


def run_ngspice(netlist: str, folder: Path) -> str:
    """Run one netlist with its control block and return what it printed."""
    path = folder / "run.cir"
    path.write_text(netlist)
    done = subprocess.run(
        [need_ngspice(), "-b", str(path)], capture_output=True, text=True, timeout=120, check=False
    )
    return done.stdout


def lamp_lines(circuit: CurvedCircuit, number: int) -> list[str]:
    """Lamps as behavioural sources: power law of the hot filament, resistance of the cold one."""
    lines = []
    for i, (u, v, rated_v, amps, ratio) in enumerate(circuit.lamps):
        one, two = (f"v({_name(number, node)})" if node else "0" for node in (u, v))
        # as a conductance that falls with the voltage, so that its slope is finite everywhere
        share = f"({one}-{two})/{rated_v}"
        law = f"{amps!r}*({share})*min({ratio},pow(max(abs({share}),1e-9),-0.45))"
        lines.append(f"B{number}x{i} {_name(number, u)} {_name(number, v)} i={law}")
    return lines


def _name(number: int, node: int) -> str:
    return "0" if node == 0 else f"n{number}x{node}"


def curved_node_voltages(circuits: list[CurvedCircuit], folder: Path) -> list[np.ndarray]:
    """Node voltages of each circuit with lamps, node 0 included."""
    lines = [
        line
        for number, circuit in enumerate(circuits)
        for line in (*circuit_lines(circuit.plain, number), *lamp_lines(circuit, number))
    ]
    return _voltages_of(lines, [circuit.plain for circuit in circuits], folder)


def node_voltages(circuits: list[PlainCircuit], folder: Path) -> list[np.ndarray]:
    """Node voltages of each circuit, node 0 included."""
    lines = [
        line for number, circuit in enumerate(circuits) for line in circuit_lines(circuit, number)
    ]
    return _voltages_of(lines, circuits, folder)


def _voltages_of(parts: list[str], circuits: list[PlainCircuit], folder: Path) -> list[np.ndarray]:
    ask = [".control", "set numdgt=15", "op", "print all", "quit", ".endc", ".end", ""]
    printed = run_ngspice("\n".join(["* many circuits", OPTIONS, *parts, *ask]), folder)
    out = [np.full(circuit.n_nodes, np.nan) for circuit in circuits]
    for found in re.finditer(r"^v?\(?n(\d+)x(\d+)\)? = (\S+)$", printed, re.MULTILINE):
        out[int(found[1])][int(found[2])] = float(found[3])
    for volts in out:
        volts[0] = 0.0
    assert not any(np.isnan(volts).any() for volts in out), printed[-2000:]
    return out
