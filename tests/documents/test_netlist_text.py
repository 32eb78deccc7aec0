"""The netlist of a position, read and solved by ngspice: every node voltage as the solution has it.

All examples and all good harness files of the tests, nominal and with all values at either end.
"""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from reference_solvers import spice_runs

from circuitcheck import Solution, check_file, read_harness, read_library, solve_harness
from circuitcheck.cli.main import circuitcheck
from circuitcheck.documents.netlist_text import netlist_text, node_names
from circuitcheck.documents.verdict.finding_point import finding_point
from circuitcheck.solve.circuit_point import CONDITIONS, CircuitPoint, chosen_point
from circuitcheck.solve.position_solution import PositionSolution

ROOT = Path(__file__).parents[2]
FILES = {
    path.parent.name if path.name == "harness.toml" else path.stem: path
    for path in sorted(
        [*ROOT.glob("examples/*/harness.toml"), *ROOT.glob("tests/harnesses/good/*.toml")]
    )
}
RELATIVE = 1e-5


@lru_cache(maxsize=40)
def solution(name: str) -> Solution:
    library = read_library()
    return solve_harness(read_harness(FILES[name], library), library)


def simulated(text: str, folder: Path) -> dict[str, float]:
    """Node voltages that ngspice prints for a netlist, node 0 included."""
    ask = ".control\nset numdgt=15\nop\nprint all\nquit\n.endc\n.end\n"
    printed = spice_runs.run_ngspice(text.replace(".op\n.end\n", ask), folder)
    found = {m[1]: float(m[2]) for m in re.finditer(r"^(n\d+) = (\S+)$", printed, re.MULTILINE)}
    assert found, printed[-2000:]
    return {**found, "0": 0.0}


def assert_same_everywhere(point: CircuitPoint, folder: Path) -> None:
    theirs = simulated(netlist_text(point, "Test"), folder)
    ours = point.solution().node_v[:, 0]
    names = node_names(point.solved.network)
    reached = {node for node in range(len(ours)) if not np.isnan(ours[node])}
    assert reached <= set(names)
    for node in reached:
        assert theirs[names[node]] == pytest.approx(ours[node], rel=RELATIVE, abs=1e-7), (
            point.solved.network.node_names[node]
        )


def busiest(name: str) -> list[PositionSolution]:
    """The position with most buttons worked, and the one whose currents differ most from it."""
    live = [s for s in solution(name).positions if s.network.live and s.position.key == "key on"]
    most = max(live, key=lambda s: (len(s.position.pressed), len(s.position.energised_relays)))
    least = min(live, key=lambda s: (len(s.position.pressed), len(s.position.energised_relays)))
    soaked = [s for s in live if s.position == most.position and s.coil_state != most.coil_state]
    return [most, least, soaked[0]]


@pytest.mark.parametrize("condition", CONDITIONS)
@pytest.mark.parametrize("name", FILES)
def test_ngspice_finds_every_node_voltage(name: str, condition: str, tmp_path: Path) -> None:
    for solved in busiest(name):
        point = chosen_point(solved, condition)
        assert_same_everywhere(point, tmp_path)
        if condition == "nominal":
            nodes = solved.ranges.nodes
            exact = point.solution().node_v[:, 0]
            for node, bounded in enumerate(nodes):
                if not np.isnan(exact[node]):
                    assert bounded.range.nominal == pytest.approx(exact[node], rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("name", ["orchard_sprayer", "relay_indicators_12v"])
def test_the_corner_of_a_finding_is_its_value(name: str, tmp_path: Path) -> None:
    verdict = check_file(FILES[name])
    looked_at = 0
    for entry in verdict.entries:
        finding = entry.worst
        probe = finding.working.probe if finding.working is not None else None
        point = finding_point(verdict, finding)
        if point is None or probe is None or probe.quantity != "voltage" or finding.unit != "V":
            continue
        if finding.check in ("coil pull-in", "relay coil"):
            continue  # judged with the winding held as hot as it gets, which is no corner
        theirs = simulated(netlist_text(point, "Test"), tmp_path)
        network = point.solved.network
        names, node_of = node_names(network), network.node_of
        across = theirs[names[node_of[probe.name]]] - theirs[names[node_of[probe.to]]]
        assert abs(across) == pytest.approx(finding.value, rel=RELATIVE, abs=finding.gap + 1e-7)
        looked_at += 1
        if looked_at == 4:
            break
    assert looked_at


def test_names_of_a_user_stay_in_comments() -> None:
    solved = busiest("relay_indicators_12v")[0]
    text = netlist_text(
        chosen_point(solved, "nominal"), "x\n.include /etc/passwd\r\n* \x1b[31m Füße"
    )
    lines = text.splitlines()
    assert lines[0] == "* x?.include /etc/passwd??* ?[31m F??e"
    assert all(ord(c) < 128 for c in text)
    word = re.compile(r"\*|[rvb]c?\d+ (n|0)|\.options |\.op$|\.end$")
    assert all(word.match(line) for line in lines)
    for line in lines:
        if not line.startswith("*"):
            assert not re.search(r"LAMP|K1|BTN|VL", line)
    assert "* b1: lamp LAMP" in lines


def run(*arguments: str):
    return CliRunner().invoke(circuitcheck, ["netlist", *arguments])


def test_command_prints_one_position() -> None:
    file = str(FILES["relay_indicators_12v"])
    printed = run(file, "--position", "key on, BTN", "--condition", "upper")
    assert printed.exit_code == 0, printed.output
    assert printed.output.splitlines()[2] == "* all values at their upper end"
    assert printed.output.endswith(".op\n.end\n")
    solved = solution("relay_indicators_12v").of("key on, BTN", "cold start")
    assert f"dc {solved.supply_v.upper!r}" in printed.output


def test_command_prints_the_corner_of_a_finding() -> None:
    file = str(FILES["orchard_sprayer"])
    verdict = check_file(file)
    number = next(e.number for e in verdict.entries if finding_point(verdict, e.worst) is not None)
    printed = run(file, "--finding", str(number))
    assert printed.exit_code == 0, printed.output
    assert "end of a quantity" in printed.output.splitlines()[2]


def test_command_says_what_positions_there_are() -> None:
    file = str(FILES["orchard_sprayer"])
    refused = run(file, "--position", "key on, up")
    assert refused.exit_code == 2
    assert 'there are "key off"' in refused.output
    assert run(file).exit_code == 2
    assert run(file, "--finding", "999").exit_code == 2
    held = run(file, "--position", "key on", "--holding")
    assert held.exit_code == 2
    assert "no pull winding is cut out" in held.output
