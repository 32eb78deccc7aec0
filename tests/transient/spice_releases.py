"""Coils switched off, many circuits in one run of ngspice with junction diodes and Zener pairs.

Even circuits open each coil's own switch, odd ones the feed ahead of all, so that coils without a
suppressor push their current through those of their neighbours.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
from random_circuits import OPEN_OHM, SWITCH_OHM, CoilCircuit
from reference_solvers.spice_runs import run_ngspice
from spice_transients import START_S, _read_raw

SATURATION_A, BREAKDOWN_V, AT_A = 1e-14, 24.0, 1e-3
DIODE_OHM, ZENER_OHM = 0.05, 0.5
MODELS = (
    f".model dj D(IS={SATURATION_A} N=1 RS={DIODE_OHM} CJO=0 TT=0)",
    f".model dz D(IS={SATURATION_A} N=1 RS={ZENER_OHM} CJO=0 TT=0 BV={BREAKDOWN_V} IBV={AT_A})",
    f".model opening SW(VT=0.5 VH=0.1 RON={SWITCH_OHM!r} ROFF={OPEN_OHM!r})",
)


def opens_feed(number: int) -> bool:
    return number % 2 == 1


def released_circuit(circuit: CoilCircuit, number: int) -> CoilCircuit:
    """Return the circuit with a suppressor where its current would else find no path."""
    coils = list(circuit.coils)
    bare = [i for i, c in enumerate(coils) if c.suppressor == "none"]
    if opens_feed(number):
        bare = [0] if len(bare) == len(coils) else []
    else:
        bare = [i for i in bare if not coils[i].is_held]
    for i in bare:
        coils[i] = replace(coils[i], suppressor="diode" if i % 2 else "Zener")
    return replace(circuit, coils=tuple(coils))


def release_lines(circuit: CoilCircuit, number: int) -> list[str]:
    def name(node: int) -> str:
        return "0" if node == 0 else f"n{number}x{node}"

    lines = [f"V{number} {name(1)} 0 dc {circuit.source_v!r}"]
    for i, (u, v, ohm) in enumerate(circuit.resistors):
        start = name(u)
        if i == 0 and opens_feed(number):
            lines.append(f"SF{number} {start} f{number} ctl 0 opening")
            start = f"f{number}"
        lines.append(f"R{number}x{i} {start} {name(v)} {ohm!r}")
    for i, coil in enumerate(circuit.coils):
        tag, start, end = f"{number}x{i}", name(coil.start), name(coil.end)
        lines.append(f"RW{tag} {start} m{tag} {coil.ohm!r}")
        lines.append(f"L{tag} m{tag} {end} {coil.henry!r}")
        ends = f"{name(coil.switch_from)} {name(coil.switch_to)}"
        if coil.is_held or opens_feed(number):
            lines.append(f"RS{tag} {ends} {SWITCH_OHM!r}")
        else:
            lines.append(f"S{tag} {ends} ctl 0 opening")
        if coil.suppressor == "diode":
            lines.append(f"D{tag} {end} {start} dj")
        elif coil.suppressor == "Zener":
            lines += [f"D{tag} {end} z{tag} dj", f"DZ{tag} {start} z{tag} dz"]
    return lines


def run_releases(
    circuits: list[CoilCircuit], wanted: list[str], end_s: float, folder: Path
) -> dict[str, np.ndarray]:
    """Return `time` counted from the opening, and each wanted vector, of all circuits."""
    step = end_s / 1000.0
    raw = folder / "release.raw"
    text = [
        "* coils switched off",
        ".options reltol=1e-4 abstol=1e-9 vntol=1e-7 gmin=1e-12",
        f"Vctl ctl 0 pulse(1 0 {START_S} 1e-9 1e-9 1 2)",
        *MODELS,
        *(line for number, one in enumerate(circuits) for line in release_lines(one, number)),
        ".control", f"save {' '.join(wanted)}",
        f"tran {step} {START_S + end_s} {0.9 * START_S} {step}", "set filetype=binary",
        f"write {raw}", "quit", ".endc", ".end", "",
    ]  # fmt: skip
    printed = run_ngspice("\n".join(text), folder)
    assert raw.exists(), printed[-2000:]
    found = _read_raw(raw)
    found["time"] = found["time"] - START_S
    return found
