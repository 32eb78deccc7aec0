"""A coil fed straight from the battery: which terminals, what current, and when it is not asked."""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from circuitcheck import read_harness, read_library
from circuitcheck.documents.diagnosis.measurement_text import (
    caution_text,
    measurement_lines,
    taken_text,
)
from circuitcheck.errors import CircuitError
from circuitcheck.faults.fault import AddedOhm, Change, CoilSeized, Fault, OhmTimes
from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.model.harness import Harness
from circuitcheck.model.reading import Measurement, Situation
from circuitcheck.readings.direct_feed import direct_feed
from circuitcheck.readings.instruments import predicted

EXAMPLES = Path(__file__).parents[2] / "examples"
LIBRARY = read_library()


def example(name: str) -> Harness:
    return read_harness(EXAMPLES / name / "harness.toml", LIBRARY)


def clicks(harness: Harness, coil: str, *changes: Change) -> float:
    at = Situation("key off", unplugged=frozenset({coil}))
    fault = Fault("one", coil, "open", changes=changes)
    circuits = FaultedCircuits(harness, LIBRARY, [fault], at, draws=1)
    return float(predicted(Measurement("fed directly", coil, "", at), circuits)[1, 0])


def test_a_pull_and_hold_coil_is_fed_on_both_windings() -> None:
    """1.4 and 15 ohm, both -10 %, on 12.8 V: 12.8 / 1.26 + 12.8 / 13.5 = 11.1 A, by hand."""
    chipper = example("wood_chipper_pull_hold")
    feed = direct_feed(chipper, "YC")
    assert feed.plus == ("YC.pull", "YC.hold")
    assert feed.minus == ("YC.common",)
    volts = chipper.conditions.engine_off_v[1]
    assert feed.most_a == pytest.approx(volts / 1.26 + volts / 13.5)
    assert not feed.is_carried


@pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")
def test_its_current_in_ngspice(tmp_path: Path) -> None:
    feed = direct_feed(example("wood_chipper_pull_hold"), "YC")
    volts = example("wood_chipper_pull_hold").conditions.engine_off_v[1]
    deck = tmp_path / "feed.cir"
    deck.write_text(
        f"fed directly\nV1 p 0 {volts}\nRpull p 0 1.26\nRhold p 0 13.5\n"
        ".op\n.control\nrun\nprint i(v1)\n.endc\n.end\n",
        encoding="utf-8",
    )
    said = subprocess.run(["ngspice", "-b", deck], capture_output=True, text=True, check=False)
    (line,) = [one for one in said.stdout.splitlines() if one.startswith("i(v1)")]
    assert feed.most_a == pytest.approx(-float(line.split("=")[1]), rel=1e-5)


def test_the_pull_winding_decides() -> None:
    """The hold winding alone has 1 / 15 of 1 / 15 + 1 / 1.4 of the ampere-turns: 8.5 %."""
    chipper = example("wood_chipper_pull_hold")
    assert clicks(chipper, "YC", AddedOhm("YC/pull")) == 0.0
    assert clicks(chipper, "YC", AddedOhm("YC/hold")) == 1.0
    assert clicks(chipper, "YC", OhmTimes("YC/pull", 0.4)) == 0.0
    assert clicks(chipper, "YC", CoilSeized("YC")) == 0.0
    assert clicks(chipper, "YC") == 1.0


def test_the_question_names_the_terminals_and_which_is_plus() -> None:
    sprayer = example("orchard_sprayer")
    asked = Measurement("fed directly", "VL", "", Situation("key off"))
    (look,) = [text for word, text in measurement_lines(asked, sprayer, LIBRARY) if word == "Look"]
    assert "plus on VL.1, minus on VL.2" in look
    assert look == taken_text(asked, sprayer, LIBRARY)
    assert any("5 A or less" in one for one in caution_text(asked, sprayer, LIBRARY))
    coil = sprayer.parts["VL"]
    turned = replace(coil, plus="2")
    other = replace(sprayer, parts={**sprayer.parts, "VL": turned})
    assert direct_feed(other, "VL").plus == ("VL.2",)


def test_a_reading_that_a_lead_cannot_carry_is_told_why_not() -> None:
    chipper = example("wood_chipper_pull_hold")
    asked = Measurement("fed directly", "YC", "", Situation("key off"))
    said = " ".join(caution_text(asked, chipper, LIBRARY))
    assert "Do not feed it directly: YC takes up to 11.1 A" in said


def test_a_relay_is_fed_at_its_coil_and_a_fuse_not_at_all() -> None:
    spreader = example("salt_spreader_relay_lamp")
    feed = direct_feed(spreader, "K1")
    assert {*feed.plus, *feed.minus} == {"K1.85", "K1.86"}
    with pytest.raises(CircuitError, match="no coil"):
        direct_feed(spreader, "F1")
