"""The test sheet: its bands hold what a general circuit simulator gives; order; cautions."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pytest
from reference_solvers.spice_runs import run_ngspice

from circuitcheck import read_harness, read_library
from circuitcheck.circuit.netlist import HOLDING, PULLING
from circuitcheck.documents.netlist_text import netlist_text, node_names
from circuitcheck.documents.plain_text import columns
from circuitcheck.documents.test_sheet.sheet_files import HEADINGS, sheet_csv, sheet_json
from circuitcheck.documents.test_sheet.sheet_text import sheet_text
from circuitcheck.model.tolerance_band import Band
from circuitcheck.readings import sheet_records as r
from circuitcheck.readings.sheet_bands import ENGINE_OFF, RUNNING, solved_with
from circuitcheck.readings.sheet_plan import expected_readings
from circuitcheck.readings.sheet_records import ReadingSheet, SheetLine, SheetStep
from circuitcheck.solve.circuit_point import CONDITIONS, chosen_point
from circuitcheck.solve.solution import COLD_START, HEAT_SOAKED

EXAMPLES = Path(__file__).parents[2] / "examples"
LIBRARY = read_library()
FOLDERS = sorted(p.name for p in EXAMPLES.iterdir() if (p / "harness.toml").is_file())
GOOD = Path(__file__).parents[1] / "harnesses" / "good"
OTHERS = ("pull_hold_low_side_12v", "relay_indicators_12v", "trailer_converter_24v")
"""Harnesses with what no example has: windings that are cut out, LEDs, diodes, a converter."""
SHEETS: dict[tuple[str, bool], ReadingSheet] = {}


def sheet_of(folder: str, every: bool = False) -> ReadingSheet:
    if (folder, every) not in SHEETS:
        path = GOOD / f"{folder}.toml" if folder in OTHERS else EXAMPLES / folder / "harness.toml"
        harness = read_harness(path, LIBRARY)
        SHEETS[folder, every] = expected_readings(harness, LIBRARY, every=every)
    return SHEETS[folder, every]


def simulated(point, folder: Path) -> dict[str, float]:
    """Return the voltage of each terminal to battery minus, by ngspice on the exported netlist."""
    names = node_names(point.solved.network)
    asked = [name for name in names.values() if name != "0"]
    prints = "\n".join(f"print v({name})" for name in asked)
    text = netlist_text(point, "sheet").replace(
        ".op\n", f".control\nset numdgt=9\nop\n{prints}\n.endc\n"
    )
    printed = dict(re.findall(r"^v\((n\d+)\) = (\S+)", run_ngspice(text, folder), re.MULTILINE))
    volts = {name: float(printed[name]) for name in asked} | {"0": 0.0}
    of = point.solved.network.node_names
    return {of[node]: volts[name] for node, name in names.items()}


def value_of(line: SheetLine, point, volts: dict[str, float]) -> float | None:
    if line.kind in (r.VOLTS, r.DROP):
        ends = (line.plus, line.minus)
        return None if not set(ends) <= set(volts) else volts[ends[0]] - volts[ends[1]]
    network = point.solved.network
    number = network.branch_of[line.plus]
    branch = network.branches[number]
    across = volts[network.node_names[branch.start]] - volts[network.node_names[branch.end]]
    return abs(across) / float(point.resistance_ohm[number])


@pytest.mark.parametrize("folder", [*FOLDERS, *OTHERS])
def test_every_band_holds_what_ngspice_gives(folder: str, tmp_path: Path) -> None:
    sheet, held = sheet_of(folder), 0
    solutions = {
        engine: solved_with(sheet.harness, LIBRARY, engine) for engine in (ENGINE_OFF, RUNNING)
    }
    for step in sheet.steps:
        if step.stage in (r.WIRED, r.CRANKING):
            continue
        solution = solutions[step.engine]
        for state in (COLD_START, HEAT_SOAKED) if step.engine == RUNNING else (COLD_START,):
            try:
                solved = solution.of(step.position, state, HOLDING)
            except KeyError:
                solved = solution.of(step.position, state, PULLING)
            if state == HEAT_SOAKED and step.pulled:  # never on for long enough to soak
                continue
            for condition in CONDITIONS:
                point = chosen_point(solved, condition)
                volts = simulated(point, tmp_path)
                for line in step.lines:
                    is_other = line.coil_state == ("warm" if state == COLD_START else "cold")
                    if line.expected is None or line.kind == r.SEEN or is_other:
                        continue
                    found = value_of(line, point, volts)
                    if found is not None:
                        band = line.expected
                        assert band.lower <= found <= band.upper, (step.position, line, condition)
                        held += 1
    assert held > 3 * sheet.count / 2


@pytest.mark.parametrize("folder", FOLDERS)
def test_bands_are_no_wider_than_the_meter_makes_them(folder: str) -> None:
    """A band that holds anything proves nothing: volts across a coil within a quarter of supply."""
    for step in sheet_of(folder).steps:
        if step.stage in (r.PRESSED, r.KEY_ON):
            for line in step.lines:
                if line.kind == r.VOLTS and line.expected is not None:
                    width = line.expected.upper - line.expected.lower
                    assert width < 0.25 * sheet_of(folder).harness.system_v, line


@pytest.mark.parametrize("folder", FOLDERS)
def test_the_order_is_that_of_a_person_who_takes_care(folder: str) -> None:
    sheet = sheet_of(folder)
    stages = [r.STAGES.index(step.stage) for step in sheet.steps]
    assert stages == sorted(stages)
    for stage in (r.PRESSED, r.LOADED_DROP, r.RUNNING):
        positions = [step.position for step in sheet.steps if step.stage == stage]
        assert len(positions) == len(set(positions)), "no position is gone back to"
    for step in sheet.steps:
        if step.stage == r.WIRED:
            assert step.position.startswith("key off")
            assert all(line.unit in ("", "ohm") for line in step.lines)
        else:
            assert all(line.unit != "ohm" for line in step.lines), "no ohmmeter on a live circuit"
    coils = {line.of for step in sheet.steps for line in step.lines if line.answer == r.YES}
    assert {coil.name for coil in sheet.harness.coils} <= coils, "every coil is asked to click"


def test_which_clicks_and_which_stays_silent() -> None:
    steps = {s.position: s for s in sheet_of("orchard_sprayer").steps if s.stage == r.PRESSED}
    assert list(steps) == ["key on, left", "key on, right"]
    for position, clicks in (("key on, left", "VL"), ("key on, right", "VR")):
        seen = {line.of: line.answer for line in steps[position].lines if line.kind == r.SEEN}
        assert seen == {name: r.YES if name == clicks else r.NO for name in ("VL", "VR")}


def test_coil_resistance_unplugged_by_hand() -> None:
    """9 ohm +/- 10 % at 20 degC in air of 30 degC: x 264.5 / 254.5; leads 0.2; 0.8 % + 5 digits."""
    harness = sheet_of("orchard_sprayer").harness
    sheet = expected_readings(harness, LIBRARY, air_c=30.0)
    line = next(x for step in sheet.steps for x in step.lines if x.kind == r.OHMS and x.of == "VL")
    low, high = (9.0 * share * 264.5 / 254.5 + 0.2 for share in (0.9, 1.1))
    error = [0.008 * ohm + 5 * 0.1 + 0.5 * 0.2 for ohm in (low, high)]
    assert line.expected is not None
    assert line.expected.lower == pytest.approx(low - error[0], rel=2e-3)
    assert line.expected.upper == pytest.approx(high + error[1], rel=2e-3)


def test_the_way_to_minus_with_the_supply_off_is_the_coil_that_is_switched_on() -> None:
    steps = [s for s in sheet_of("orchard_sprayer").steps if s.stage == r.WIRED]
    rest, left = steps[1].lines[0], steps[2].lines[0]
    assert (rest.plus, rest.minus, rest.answer) == ("F1.load", "BAT.-", r.NO_PATH)
    assert left.expected is not None
    assert left.expected.lower < 9.0 < left.expected.upper


def test_drops_add_up_to_what_the_coil_lacks() -> None:
    """Kirchhoff: the stretches of one way and the coil share the supply, nominal values."""
    sheet = sheet_of("orchard_sprayer")
    steps = {s.stage: s for s in sheet.steps if s.position == "key on, left"}
    drops = sum(line.expected.nominal for line in steps[r.LOADED_DROP].lines)
    across = next(x for x in steps[r.PRESSED].lines if (x.plus, x.minus) == ("VL.1", "VL.2"))
    posts = next(x for x in steps[r.PRESSED].lines if x.plus == "BAT.+")
    assert drops + across.expected.nominal == pytest.approx(posts.expected.nominal, abs=1e-6)


def test_all_asks_for_more_and_leaves_no_point_out() -> None:
    few, every = sheet_of("orchard_sprayer"), sheet_of("orchard_sprayer", every=True)
    assert every.count > 2 * few.count
    landed = {str(e) for w in few.harness.wires.values() for e in (w.start, w.end)}
    asked = {x.plus for s in every.steps for x in s.lines if s.stage == r.KEY_ON}
    assert landed <= asked | {"BAT.+", "BAT.-"}
    assert "--all" in sheet_text(few)
    assert "--all" not in sheet_text(every)


@pytest.mark.parametrize("width", [40, 80])
@pytest.mark.parametrize("folder", FOLDERS)
def test_no_line_is_wider_than_the_screen(folder: str, width: int) -> None:
    text = sheet_text(sheet_of(folder), width=width)
    assert max(columns(line) for line in text.splitlines()) <= width
    assert text.count("[_______]") == sheet_of(folder).count


def test_cautions_stand_where_each_step_is_asked_for() -> None:
    lines = sheet_text(sheet_of("orchard_sprayer")).splitlines()

    def first(words: str) -> int:
        return next(n for n, line in enumerate(lines) if words in line)

    assert first("SUPPLY OFF") < first("No ohmmeter on a live circuit") < first("VL.1 to VL.2")
    assert first("KEY ON, NOTHING PRESSED") < first("with the engine off first")
    assert first("KEY ON: LEFT") < first("VL shuts off the left boom; hazard: spray")
    assert first("fused lead of 5 A or less") < first("KEY ON: RIGHT")
    assert first("CRANKING") < first("parking brake on")


def test_what_happens_when_a_coil_lets_go_is_said_before_it_is_worked() -> None:
    sheet = sheet_of("mobile_saw_log_clamp")
    coil = sheet.harness.coils[0]
    assert coil.moves.loss != "none"
    text = sheet_text(sheet)
    said = f"When {coil.name} lets go, also unasked: {coil.moves.loss}."
    assert said in text
    assert text.index(said) < text.index(f"{coil.name} clicks", text.index("KEY ON: "))


def test_csv_and_json_have_every_reading() -> None:
    sheet = sheet_of("salt_spreader_relay_lamp")
    rows = list(csv.reader(io.StringIO(sheet_csv(sheet))))
    assert tuple(rows[0]) == HEADINGS
    assert [row[0] for row in rows[1:]] == [str(n) for n in range(1, sheet.count + 1)]
    found = json.loads(sheet_json(sheet))
    readings = [reading for step in found["steps"] for reading in step["readings"]]
    assert [reading["number"] for reading in readings] == list(range(1, sheet.count + 1))
    assert found["count"] == sheet.count


@pytest.mark.parametrize("name", ["=1+1", "+cmd", "-2", "@x", "\t=1", "\u00a0=1"])
def test_a_hostile_name_is_no_formula_and_turns_no_terminal(name: str) -> None:
    sheet = sheet_of("orchard_sprayer")
    line = SheetLine(r.VOLTS, name, f"{name}\x1b[31m", "BAT.-", "V", Band.exact(12.0))
    step = SheetStep(r.PRESSED, f"{name}, left", "off", (name,), (), (line,))
    hostile = ReadingSheet(sheet.harness, (step,), 20.0, False, sheet.instruments)
    row = list(csv.reader(io.StringIO(sheet_csv(hostile))))[1]
    numbers = {HEADINGS.index(h) for h in ("number", "lower", "nominal", "upper")}
    for n, cell in enumerate(row):
        assert n in numbers or not re.match(r"[\s\u00a0]*[=+\-@]", cell), cell
    assert "\x1b" not in sheet_text(hostile)
    assert json.loads(sheet_json(hostile))["count"] == 1
