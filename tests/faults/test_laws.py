"""What must hold of faulted circuits whatever they are: laws, and answers known by thought."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.errors import CircuitError
from circuitcheck.faults import fault as f
from circuitcheck.faults.fault_list import single_faults
from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.model.harness import Harness
from circuitcheck.model.reading import Situation
from circuitcheck.read.harness_file import read_harness
from circuitcheck.read.library.library_tables import read_library
from circuitcheck.solve.worst_case import solve_harness

ROOT = Path(__file__).parents[2]
LIBRARY = read_library()
EXAMPLES = sorted((ROOT / "examples").glob("*/harness.toml"))
FILES = [*EXAMPLES, *sorted((ROOT / "tests" / "harnesses" / "good").glob("*.toml"))]
IDS = [p.parent.name + " " + p.stem for p in FILES]


@cache
def read(file: Path) -> tuple[Harness, FullNetwork]:
    harness = read_harness(file, LIBRARY)
    return harness, FullNetwork(harness, LIBRARY)


def sprayer() -> tuple[Harness, FullNetwork]:
    return read(ROOT / "examples" / "orchard_sprayer" / "harness.toml")


def circuits(situation: Situation, *faults: object, draws: int = 1) -> FaultedCircuits:
    harness, full = sprayer()
    return FaultedCircuits(harness, LIBRARY, faults, situation, draws, full=full)  # type: ignore[arg-type]


def named(*names: str) -> list[f.Fault]:
    harness, _ = sprayer()
    table = {one.name: one for one in single_faults(harness, LIBRARY)}
    return [table[name] for name in names]


@pytest.mark.parametrize("file", FILES, ids=IDS)
def test_every_fault_has_its_words_and_acts_on_what_is_there(file: Path) -> None:
    harness, full = read(file)
    faults = single_faults(harness, LIBRARY)
    assert len({one.name for one in faults}) == len(faults)
    position = next(name for name in full.positions if name.startswith("key on"))
    # an unknown branch, curve or terminal in any change would raise
    FaultedCircuits(harness, LIBRARY, faults, Situation(position), 1, full=full)
    for one in faults:
        assert one.mode in f.MODES
        assert one.subject in harness.parts or one.subject in harness.wires
        assert one.changes
        assert min(len(one.place), len(one.repair), len(one.proof)) > 5
        assert one.severity == "" or one.cause != one.name


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda p: p.parent.name)
def test_nothing_wrong_is_the_nominal_solution(file: Path) -> None:
    harness, full = read(file)
    solution = solve_harness(harness, LIBRARY, gaps=False)
    minus = f"{harness.battery.name}.-"
    seen = 0
    for solved in solution.positions:
        if solved.coil_state != "cold start" or solved.pull_state != "pulling":
            continue
        at = Situation(solved.position.name, supply_v=solved.supply_v.nominal, coils_warm=False)
        ours = FaultedCircuits(harness, LIBRARY, (), at, 1, full=full)
        if any(ours.cut_out(c.name).any() for c in harness.parts.values()
               if c.kind == "pull and hold coil"):  # fmt: skip
            continue
        for name in solved.network.node_names:
            nominal = solved.voltage_v(name).nominal
            if math.isfinite(nominal):
                assert ours.between_v(name, minus)[0, 0] == pytest.approx(nominal, abs=1e-6)
                seen += 1
    assert seen > 40


def test_closing_never_lowers_and_opening_never_raises_the_current_taken() -> None:
    # Rayleigh's law of monotone resistance; no lamp, LED or diode carries here
    harness, _ = sprayer()
    faults = [
        one for one in single_faults(harness, LIBRARY)
        if not any(isinstance(c, f.EndMoved | f.CurveReversed | f.SupplyAt | f.FuseRated)
                   for c in one.changes)
    ]  # fmt: skip
    closing = (f.Joined, f.AlwaysClosed, f.OhmTimes)
    for position in ("key on", "key on, left", "key on, left + right"):
        ours = circuits(Situation(position), *faults, draws=3)
        taken, opened = ours.current_a("TAP/fuse"), ours.blown.any(axis=2)
        for k, one in enumerate(faults, start=1):
            more = taken[k] - taken[0]
            if all(isinstance(c, closing) for c in one.changes):
                assert (more >= -1e-9)[~opened[k]].all(), one.name
            elif all(isinstance(c, f.AddedOhm) for c in one.changes):
                assert (more <= 1e-9).all(), one.name


@settings(max_examples=30, deadline=None)
@given(st.floats(1e-3, 1e5), st.floats(1.0001, 100.0))
def test_more_resistance_less_current_less_voltage(ohm: float, times: float) -> None:
    pair = [
        f.Fault(str(k), "W5", f.HIGH_RESISTANCE, changes=(f.AddedOhm("W5", x),))
        for k, x in enumerate((ohm, ohm * times))
    ]
    ours = circuits(Situation("key on, left"), *pair)
    amps, volts = ours.current_a("VL")[:, 0], ours.between_v("VL.1", "VL.2")[:, 0]
    assert amps[0] > amps[1] > amps[2] > 0.0
    assert volts[0] > volts[1] > volts[2] > 0.0
    # Ohm's law over the wire: its own resistance, and what has been added to it
    across = ours.between_v("X1.receptacle.1", "VL.1")[:, 0]
    seen = across / amps - across[0] / amps[0]
    assert seen[1:] == pytest.approx([ohm, ohm * times], rel=1e-6)


def test_the_order_of_two_faults_does_not_matter() -> None:
    one, other = named("W5 high resistance, 3 ohm", "GRIP contact right welded")
    ours = circuits(Situation("key on, left"), (one, other), (other, one), draws=4)
    for name in ("VL", "VR", "F1", "TAP/fuse"):
        amps = ours.current_a(name)
        np.testing.assert_allclose(amps[1], amps[2], rtol=1e-12)


def test_a_machine_is_the_same_in_every_situation() -> None:
    on = circuits(Situation("key on, left"), draws=16)
    off = circuits(Situation("key off", unplugged=frozenset({"X1"})), draws=16)
    names = [b.name for b in on.full.branches]
    for name in ("F1", "GRIP/left", "X1/2"):
        k = names.index(name)
        assert (on.draws.resistance_ohm[k] == off.draws.resistance_ohm[k]).all()
        spread = on.draws.resistance_ohm[k]
        band = on.full.branches[k].contact_ohm
        assert band.lower <= spread.min() < spread.max() <= band.upper
    assert np.unique(on.draws.resistance_ohm[names.index("GRIP/left")]).size == 16


def test_supply_is_what_the_situation_says() -> None:
    low = named("BAT low, 9 V")
    assert circuits(Situation("key on"), *low).supply_v[:, 0] == pytest.approx([12.35, 9.0])
    running = circuits(Situation("key on", engine="running"), draws=8).supply_v
    assert 13.2 <= running.min() < running.max() <= 14.9
    # somebody has just read the posts: they do not stand at 9 V
    read_just_now = circuits(Situation("key on", supply_v=12.5), *low, draws=8).supply_v
    assert np.abs(read_just_now - 12.5).max() <= 0.005 * 12.5 + 1e-9


def test_unplugged_connector_and_part() -> None:
    apart = circuits(Situation("key on, left", unplugged=frozenset({"X1"})))
    assert apart.between_v("X1.plug.1", "BAT.-", 1e7)[0, 0] == pytest.approx(12.3, abs=0.05)
    assert apart.between_v("X1.receptacle.1", "BAT.-", 1e7)[0, 0] == pytest.approx(0.0, abs=1e-3)
    assert not apart.coil_on("VL").any()
    taken_off = circuits(Situation("key off", unplugged=frozenset({"VL"}), coils_warm=False),
                         *named("VL winding open"))  # fmt: skip
    winding = next(b for b in taken_off.full.branches if b.name == "VL").resistance_20c_ohm
    own = taken_off.path_ohm("VL.1", "VL.2")
    assert own[0, 0] == pytest.approx(winding.nominal, rel=0.02)
    # with the winding open only the suppressor is left, ring at 1: 1 V behind 1 kohm leaves 0.3 mA
    # at its 0.7 V the one way
    assert own[1, 0] == math.inf
    assert taken_off.path_ohm("VL.2", "VL.1")[1, 0] == pytest.approx(2340.0, rel=0.2)


def test_a_blown_fuse_stays_blown() -> None:
    short = named("W3 short to frame")
    pressed = circuits(Situation("key on, left"), *short)
    assert pressed.fuse_open("F1")[:, 0].tolist() == [False, True]
    harness, full = sprayer()
    at_rest = Situation("key on")
    again = FaultedCircuits(harness, LIBRARY, short, at_rest, 1, full=full, blown=pressed.blown)
    assert again.between_v("GRIP.feed", "BAT.-", 1e7)[:, 0] == pytest.approx([12.3, 0.0], abs=0.05)
    fresh = FaultedCircuits(harness, LIBRARY, short, at_rest, 1, full=full)
    assert fresh.between_v("GRIP.feed", "BAT.-", 1e7)[:, 0] == pytest.approx([12.3, 12.3], abs=0.05)


def test_a_seized_coil_carries_its_current_and_does_not_click() -> None:
    ours = circuits(Situation("key on, left"), *named("VL seized"), draws=8)
    amps = ours.current_a("VL")
    np.testing.assert_array_equal(amps[0], amps[1])
    assert ours.coil_on("VL").all(axis=1).tolist() == [True, False]


def test_plugs_interchanged_click_the_other_coil() -> None:
    ours = circuits(Situation("key on, left"), *named("plugs of VL and VR interchanged"))
    assert ours.coil_on("VL")[:, 0].tolist() == [True, False]
    assert ours.coil_on("VR")[:, 0].tolist() == [False, True]


@pytest.mark.parametrize(
    ("situation", "ask"),
    [(Situation("key on, middle"), lambda c: c.supply_v),
     (Situation("key on", unplugged=frozenset({"X9"})), lambda c: c.supply_v),
     (Situation("key on"), lambda c: c.between_v("VL.1", "VL.9")),
     (Situation("key on"), lambda c: c.between_v("VL.1", "VL.2", 0.0)),
     (Situation("key on"), lambda c: c.current_a("W99")),
     (Situation("key on"), lambda c: c.fuse_open("W1")),
     (Situation("key on"), lambda c: c.coil_on("F1"))],
)  # fmt: skip
def test_what_is_not_there_is_named(situation: Situation, ask: object) -> None:
    with pytest.raises(CircuitError):
        ask(circuits(situation))  # type: ignore[operator]
