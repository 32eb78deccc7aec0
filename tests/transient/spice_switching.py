"""Actions of whole harnesses as netlists for ngspice: contacts that close, coils, filaments.

Filaments are behavioural sources with a thermal node of their own; what was before is found by
ngspice itself. The current of fuse F1 is that of source Vf. Contacts move at START_S.
"""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

from reference_solvers.spice_runs import need_ngspice

from circuitcheck.circuit.netlist import WINDINGS
from circuitcheck.transient.switching_on.corners import Corner
from circuitcheck.transient.switching_on.recording import ACROSS, RECORDED
from circuitcheck.transient.switching_on.stage_circuit import StageCircuit
from circuitcheck.transient.switching_on.switching_on import Switching, SwitchingCircuits

START_S = 1e-3
SWITCH_OHM = 1e-4
INSTANTS_S = (2e-4, 5e-4, 1e-3, 2e-3, 5e-3, 1e-2, 2e-2, 5e-2, 1e-1, 2e-1)
OPTIONS = ".options reltol=1e-5 abstol=1e-9 vntol=1e-7 trtol=1 itl1=2000 method=gear"
LEAST_STEPS = 200


def netlist(circuits: SwitchingCircuits, switching: Switching, number: int) -> list[str]:
    """One action at one corner for ngspice; the fuse's current is that of source Vf."""
    action, corner = switching.action, Corner(switching.corner, circuits.solution.heat)
    before, after = (
        circuits.circuits.at(position, frozenset(), corner)
        for position in (action.before, action.after)
    )
    network = after.network
    posts = f"n{network.source} n{network.reference}"
    lines = [f"* action {number}", f"V1 {posts} dc {float(supply_v(circuits, switching))!r}"]
    lines += [f"V0 n{network.reference} 0 dc 0", f"Vc ctl 0 pulse(0 1 {START_S} 1e-7 1e-7 10 20)"]
    lines.append(f".model closing SW(VT=0.5 VH=0.1 RON={SWITCH_OHM} ROFF=1e8)")
    was = {branch.name for branch in before.network.branches}
    heating_a = circuits.circuits.highest_a(action.after, frozenset(), corner)
    ohms = corner.resistance_ohm(network, heating_a).tolist()
    for k, branch in enumerate(network.branches):
        ends = f"n{branch.start} n{branch.end}"
        if branch.role in WINDINGS:
            continue
        if branch.name in was:
            if branch.name == "F1":
                lines += [f"Vf n{branch.start} f1 dc 0", f"R{k} f1 n{branch.end} {ohms[k]!r}"]
            else:
                lines.append(f"R{k} {ends} {ohms[k]!r}")
        else:
            lines.append(f"S{k} n{branch.start} s{k} ctl 0 closing")
            lines.append(f"R{k} s{k} n{branch.end} {ohms[k] - SWITCH_OHM!r}")
    return [*lines, *port_lines(after)]


def supply_v(circuits: SwitchingCircuits, switching: Switching) -> float:
    corner = Corner(switching.corner, circuits.solution.heat)
    return corner.supply_v(circuits.supply_v(switching.action.after))


def port_lines(circuit: StageCircuit) -> list[str]:
    """Windings, filaments with their heat, LEDs and diodes."""
    elements, lines = circuit.elements, []
    lamps = {int(k): j for j, k in enumerate(elements.lamps)}
    idle = {p.owner for p, a in zip(elements.ports, circuit.steady.current_a, strict=True)
            if p.kind == "winding" and abs(a) < 1e-5}  # fmt: skip
    for k, port in enumerate(elements.ports):
        if port.owner in idle:
            continue  # hangs open: it carries nothing, and ngspice finds no way to begin with it
        ends = f"n{port.start} n{port.end}"
        volts = f"(v(n{port.start})-v(n{port.end}))"
        if port.kind == "winding":
            lines.append(f"RW{k} n{port.start} w{k} {float(elements.series_ohm[k])!r}")
            lines.append(f"L{k} w{k} n{port.end} {max(float(elements.inductance_h[k]), 1e-9)!r}")
        elif port.kind == "diode":
            drop, slope = float(elements.drop_v[k]), float(elements.series_ohm[k])
            lines.append(f"B{k} {ends} i=max({volts}-{drop!r},0)/{slope!r}+1e-9*{volts}")
        elif port.kind == "lamp":
            j, one = lamps[k], elements.filaments
            cold, exponent = float(one.cold[j]), float(one.exponent[j])
            q = 1.2 * (1.0 + exponent) / (1.0 - exponent)
            warmth = f"max(v(y{k}),{cold!r})"
            ohm = f"({float(one.lit_ohm[j])!r}*pow({warmth},1.2))"
            lines.append(f"B{k} {ends} i={volts}/{ohm}")
            power = f"{volts}*{volts}/{ohm}/{float(one.lit_w[j])!r}"
            lines.append(f"BY{k} 0 y{k} i={power}-(pow({warmth},{q!r})-{float(cold**q)!r})")
            lines.append(f"CY{k} y{k} 0 {float(q * one.time_constant_s)!r}")
            lines += [f"RY{k} y{k} yc{k} 1e6", f"VY{k} yc{k} 0 dc {cold!r}"]
    # what hangs open has no voltage of its own
    for node in range(len(circuit.network.node_names)):
        lines.append(f"RG{node} n{node} 0 1e9")
    return lines


def write_circuits(
    found: list[Switching],
    circuits: SwitchingCircuits,
    folder: Path,
    options: str = OPTIONS,
    least_steps: int = LEAST_STEPS,
) -> list[list[str]]:
    """Write one file for each action and return its control lines.

    Saved is what is recorded here: currents of fuses, contacts, windings, lamps and LEDs, and the
    voltages across windings and lamps. No step is longer than the time over `least_steps`.
    """
    scripts = []
    for number, switching in enumerate(found):
        end_s = START_S + max(float(switching.currents["F1"].times_s[-1]), 1.1 * INSTANTS_S[-1])
        path = folder / f"c{number}.cir"
        step_s = end_s / least_steps
        tran = f".tran {step_s!r} {end_s!r} 0 {step_s!r}"
        lines = netlist(circuits, switching, number)
        save = saved(circuits, switching, lines)
        path.write_text("\n".join([*lines, options, tran, save, ".end", ""]))
        scripts.append([f"source {path}", "run"])
        scripts[-1] += [
            f"meas tran p{number}x{k} find i(Vf) at={START_S + at_s!r}"
            for k, at_s in enumerate(INSTANTS_S)
        ]
        scripts[-1].append("destroy all")
    return scripts


def saved(circuits: SwitchingCircuits, switching: Switching, lines: list[str]) -> str:
    """The line that saves what is recorded here, as far as it is in the netlist."""
    corner = Corner(switching.corner, circuits.solution.heat)
    circuit = circuits.circuits.at(switching.action.after, frozenset(), corner)
    written = {line.split()[0] for line in lines}
    wanted = [
        (f"R{k}", f"@r{k}[i]")
        for k, branch in enumerate(circuit.network.branches)
        if branch.role in RECORDED and branch.name != "F1"
    ]
    for k, port in enumerate(circuit.elements.ports):
        wanted += [(f"L{k}", f"@l{k}[i]"), (f"B{k}", f"@b{k}[i]")]
        if port.kind in ACROSS:
            wanted += [(f"RG{node}", f"v(n{node})") for node in (port.start, port.end)]
    names = [name for element, name in wanted if element in written]
    return " ".join([".save i(Vf)", *dict.fromkeys(names)])


def run_spice(scripts: list[list[str]], folder: Path) -> dict[tuple[int, int], float]:
    """Run scripts in one process: currents of the fuse by action and instant. [A]"""
    main = folder / "all.cir"
    control = [line for script in scripts for line in script]
    main.write_text(
        "\n".join(["* all", "R1 a 0 1", ".control", *control, "quit", ".endc", ".end", ""])
    )
    done = subprocess.run(
        [need_ngspice(), "-b", str(main)], capture_output=True, text=True, check=False
    )
    rows = re.findall(r"^p(\d+)x(\d+)\s+=\s+(\S+)", done.stdout, re.MULTILINE)
    if len(rows) != len(scripts) * len(INSTANTS_S):
        raise RuntimeError(done.stdout[-1500:] + done.stderr[-1500:])
    return {(int(n), int(k)): float(value) for n, k, value in rows}
