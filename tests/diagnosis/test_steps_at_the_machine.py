"""What a person is told with each reading: pull windings that may not stay on, the minus clamp."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from circuitcheck.cli.main import main
from circuitcheck.diagnosis.complaint import ComplaintReader
from circuitcheck.diagnosis.diagnosis import Diagnosis
from circuitcheck.diagnosis.opening import Workshop
from circuitcheck.documents.diagnosis.measurement_text import caution_text, measurement_lines
from circuitcheck.model import instrument as i
from circuitcheck.model.reading import Measurement, Situation
from circuitcheck.read.harness_file import read_harness
from circuitcheck.read.library.library_tables import read_library

EXAMPLES = Path(__file__).parents[2] / "examples"
LIBRARY = read_library()
CHIPPER = EXAMPLES / "wood_chipper_pull_hold" / "harness.toml"
LIMIT = 'longest_pull = "1.5 s"'
CAUTION = "Nothing takes the pull winding of YC off. On for 1.5 s at most, or it burns."
ON = "key on, SW1"
COILS = ("YC",)


def opened(path: Path, coil: str) -> Diagnosis:
    shop = Workshop(read_harness(path, LIBRARY), LIBRARY)
    reader = ComplaintReader(shop.full.harness, shop.candidates.places, shop.full.positions)
    return shop.open(reader.read(f"{coil} does not click"))


def chipper(folder: Path, *changes: tuple[str, str]) -> Workshop:
    text = CHIPPER.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = folder / "harness.toml"
    path.write_text(text, encoding="utf-8")
    return Workshop(read_harness(path, LIBRARY), LIBRARY)


def kind_of(measurement: Measurement) -> str:
    return LIBRARY.instrument(measurement.instrument).kind


def session(
    answers: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> str:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setattr("sys.stdin", io.StringIO(answers))
    with pytest.raises(SystemExit):
        main(["diagnose", str(CHIPPER), "--ask"])
    return " ".join(capsys.readouterr().out.split())


def test_the_session_names_the_time_before_a_switch_is_tried_and_with_each_reading(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    said = session("YC does not click\n\nskip\nskip\nskip\nquit\n", monkeypatch, capsys)
    before, *steps = said.split("Next reading !")
    assert CAUTION in before
    assert len(steps) >= 4
    for step in steps:
        assert (CAUTION in step) == (f"Position: {ON}, engine off" in step)
    assert any(CAUTION in step for step in steps)
    assert any(CAUTION not in step for step in steps)


def test_unplugged_the_winding_stands_all(tmp_path: Path) -> None:
    candidates = chipper(tmp_path).candidates
    assert [coil.name for coil in candidates.pulled(Situation(ON))] == ["YC"]
    assert not candidates.pulled(Situation(ON, unplugged=frozenset({"YC"})))
    assert not candidates.pulled(Situation("key on"))


def test_no_meter_is_asked_for_in_less_time_than_it_needs(tmp_path: Path) -> None:
    shop = chipper(tmp_path, (LIMIT, 'longest_pull = "0.5 s"'))
    asked = shop.candidates.all(COILS, [ON])
    held = [m for m in asked if shop.candidates.pulled(m.situation)]
    assert held
    assert {kind_of(m) for m in held} == {i.OBSERVATION}
    # read as before: with the coil unplugged, and with nothing pressed
    others = {(m.situation.position, m.situation.unplugged) for m in asked if m not in held}
    assert {(ON, frozenset({"YC"})), ("key on", frozenset())} <= others


@pytest.mark.parametrize(
    "change",
    [
        (LIMIT, 'longest_pull = "20 min"'),
        ('cut_out = "none"', 'cut_out = "outside timer"\ntimer = ["0.5 s", "1.0 s"]'),
    ],
)
def test_no_limit_where_the_winding_may_stay_on_or_goes_off_by_itself(
    change: tuple[str, str], tmp_path: Path
) -> None:
    candidates = chipper(tmp_path, change).candidates
    assert not candidates.brief_coils
    assert not candidates.pulled(Situation(ON))


def test_fed_directly_a_timer_outside_takes_nothing_off(tmp_path: Path) -> None:
    shop = chipper(
        tmp_path, ('cut_out = "none"', 'cut_out = "outside timer"\ntimer = ["0.5 s", "1.0 s"]')
    )
    fed = Measurement("fed directly", "YC", "", Situation(ON, unplugged=frozenset({"YC"})))
    said = " ".join(caution_text(fed, shop.full.harness, LIBRARY))
    assert "Fed directly, nothing takes the pull winding of YC off. On for 1.5 s at most" in said


def test_the_pull_winding_is_offered_to_an_ohmmeter_unplugged(tmp_path: Path) -> None:
    asked = chipper(tmp_path).candidates.all(COILS, [ON])
    (own,) = [m for m in asked if (m.plus, m.minus) == ("YC.pull", "YC.common")]
    assert kind_of(own) == i.OHMMETER
    assert own.situation.unplugged == {"YC"}


@pytest.mark.parametrize(
    ("example", "coil"), [("orchard_sprayer", "VL"), ("wood_chipper_pull_hold", "YC")]
)
def test_ohms_to_minus_are_read_on_the_clamp_that_was_taken_off(example: str, coil: str) -> None:
    suspects = opened(EXAMPLES / example / "harness.toml", coil).suspects
    found = [m for m in suspects.measurements if kind_of(m) == i.OHMMETER and m.minus == "BAT.-"]
    assert len(found) == 2
    for asked in found:
        assert asked.situation.unplugged == {coil, "BAT"}
        cautions = caution_text(asked, suspects.harness, LIBRARY)
        assert any("key off and the battery's minus clamp off first" in said for said in cautions)
        told = list(measurement_lines(asked, suspects.harness, LIBRARY))
        assert ("Take off", "the battery's minus clamp; back on after the reading") in told
        assert ("Unplug", coil) in told
        assert told[-1] == ("Probe", "the minus clamp taken off")
        # key off and unplugged, the add-on itself shows the same either way
        joined = replace(asked, situation=replace(asked.situation, unplugged=frozenset({coil})))
        shown = suspects.predictions.of(asked)
        assert np.array_equal(shown, suspects.predictions.of(joined))


def test_a_reading_taken_with_the_clamp_off_is_read_from_a_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "taken.toml"
    story = (EXAMPLES / "orchard_sprayer" / "readings" / "shared_ground.toml").read_text("utf-8")
    path.write_text(
        f"""{story}
[[reading]]
position = "key off"
unplugged = ["BAT", "VL"]
instrument = "ohmmeter"
plus = "VL.1"
minus = "BAT.-"
value = "OL"
""",
        encoding="utf-8",
    )
    with pytest.raises(SystemExit) as left:
        main(["diagnose", str(EXAMPLES / "orchard_sprayer" / "harness.toml"), str(path)])
    printed = capsys.readouterr()
    assert left.value.code == 1, printed.err
    assert "Found: GS1 ground high resistance" in printed.out
