"""Transients of many coil circuits in one run of ngspice, read back as numbers.

Each circuit stands beside the others, joined only by node 0, and works out itself what was before
the switches move at START_S. Its switches are voltage-controlled with 1 Gohm when open.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from random_circuits import OPEN_OHM, SWITCH_OHM, CoilCircuit
from reference_solvers.spice_runs import run_ngspice

START_S = 1e-3


def coil_lines(circuit: CoilCircuit, number: int) -> list[str]:
    """Netlist of one circuit, switches closing at START_S; nodes are called n<number>x<node>."""

    def name(node: int) -> str:
        return "0" if node == 0 else f"n{number}x{node}"

    lines = [f"V{number} {name(1)} 0 dc {circuit.source_v!r}"]
    lines += [
        f"R{number}x{i} {name(u)} {name(v)} {ohm!r}"
        for i, (u, v, ohm) in enumerate(circuit.resistors)
    ]
    for i, coil in enumerate(circuit.coils):
        middle = f"m{number}x{i}"
        lines.append(f"RW{number}x{i} {name(coil.start)} {middle} {coil.ohm!r}")
        lines.append(f"L{number}x{i} {middle} {name(coil.end)} {coil.henry!r}")
        ends = f"{name(coil.switch_from)} {name(coil.switch_to)}"
        if coil.is_held:
            lines.append(f"RS{number}x{i} {ends} {SWITCH_OHM!r}")
        else:
            lines.append(f"S{number}x{i} {ends} ctl 0 closing")
    return lines


def run_transients(
    circuits: list[CoilCircuit], wanted: list[str], end_s: float, folder: Path
) -> dict[str, np.ndarray]:
    """Return `time` counted from the action, and each wanted vector, of all circuits in one run."""
    step = end_s / 4000.0
    lines = [line for number, one in enumerate(circuits) for line in coil_lines(one, number)]
    raw = folder / "run.raw"
    text = [
        "* coils behind switches",
        ".options reltol=1e-5 abstol=1e-9 vntol=1e-8 gmin=1e-12",
        f"Vctl ctl 0 pulse(0 1 {START_S} 1e-9 1e-9 1 2)",
        f".model closing SW(VT=0.5 VH=0.1 RON={SWITCH_OHM!r} ROFF={OPEN_OHM!r})",
        *lines,
        ".control",
        f"save {' '.join(wanted)}",
        f"tran {step} {START_S + end_s} 0 {step}",
        "set filetype=binary",
        f"write {raw}",
        "quit",
        ".endc",
        ".end",
        "",
    ]
    printed = run_ngspice("\n".join(text), folder)
    assert raw.exists(), printed[-2000:]
    found = _read_raw(raw)
    found["time"] = found["time"] - START_S
    return found


def _read_raw(path: Path) -> dict[str, np.ndarray]:
    content = path.read_bytes()
    head, _, body = content.partition(b"Binary:\n")
    names = []
    lines = head.decode().splitlines()
    count = next(int(line.split(":")[1]) for line in lines if line.startswith("No. Variables"))
    first = lines.index("Variables:") + 1
    names = [line.split()[1] for line in lines[first : first + count]]
    values = np.frombuffer(body, dtype=np.float64)
    table = values[: values.size // count * count].reshape(-1, count)
    return {name: table[:, k].copy() for k, name in enumerate(names)}
