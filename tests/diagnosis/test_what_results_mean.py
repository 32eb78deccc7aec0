"""What each result of the next reading leaves: every group by a member that fits the result."""

from __future__ import annotations

import io
import json
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from circuitcheck.cli.main import main
from circuitcheck.diagnosis.complaint import ComplaintReader
from circuitcheck.diagnosis.opening import Workshop
from circuitcheck.documents.diagnosis.diagnosis_json import diagnosis_json
from circuitcheck.model.instrument import VOLTMETER
from circuitcheck.read.harness_file import read_harness
from circuitcheck.read.library.library_tables import read_library

ROOT = Path(__file__).parents[2]
LIBRARY = read_library()
SPRAYER = ROOT / "examples" / "orchard_sprayer" / "harness.toml"
SILENT = """format = 1
harness = "harness.toml"
position = "key on, left"

[[reading]]
instrument = "click"
at = "VL"
value = "no"
"""
BATTERY_V = 12.8


@cache
def workshop(example: str) -> Workshop:
    return Workshop(read_harness(ROOT / "examples" / example / "harness.toml", LIBRARY), LIBRARY)


def told(
    folder: Path, capsys: pytest.CaptureFixture[str], *more: str, readings: str = SILENT
) -> str:
    path = folder / "readings.toml"
    path.write_text(readings, encoding="utf-8")
    with pytest.raises(SystemExit):
        main(["diagnose", str(SPRAYER), str(path), *more])
    return capsys.readouterr().out


def test_volts_between_none_and_full_are_a_poor_wire_and_no_open_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Behind an open feed wire the coil pulls the point to battery minus: 0 V, not a few volts.

    Ohm's law: between 0 and full voltage only a resistance in line, about that of the coil.
    """
    asked = json.loads(told(tmp_path, capsys, "--json"))["next_reading"]
    assert (asked["plus"], asked["minus"]) == ("F1.load", "BAT.-")
    none, some, full = asked["results"]
    assert 1.0 < some["lower"] < some["upper"] < 0.9 * BATTERY_V
    assert "W1 high resistance" in some["causes"]
    for result in (none, some):
        assert not {"W1 high resistance", "W1 open"} <= set(result["causes"])
    assert not any(name.endswith((" open", "dead", "blown")) for name in some["causes"])
    assert not any(name.endswith(("dead", "blown")) for name in full["causes"])
    # and so the text and, after the reading, the causes
    assert "V: TAP weak 44 %; W1 high resistance 28 %" in " ".join(told(tmp_path, capsys).split())
    taken = (
        f'{SILENT}\n[[reading]]\ninstrument = "digital voltmeter"\nplus = "F1.load"\n'
        'minus = "BAT.-"\nvalue = "5.0 V"\n'
    )
    after = json.loads(told(tmp_path, capsys, "--json", readings=taken))
    left = {member["name"] for group in after["causes"] for member in group["members"]}
    assert set(some["causes"]) <= left
    assert "W1 open" not in left


def test_the_session_says_the_same(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setattr("sys.stdin", io.StringIO("VL does not click\n\nquit\n"))
    with pytest.raises(SystemExit):
        main(["diagnose", str(SPRAYER), "--ask"])
    said = " ".join(capsys.readouterr().out.split())
    assert "V: TAP weak 44 %; W1 high resistance 28 %" in said


@pytest.mark.parametrize(
    ("example", "complaint"),
    [
        ("orchard_sprayer", "does not click"),
        ("wood_chipper_pull_hold", "works"),
        ("hay_rake_wrong_fuse", "does not click"),
        ("road_sweeper_24v", "works"),
    ],
)
def test_a_group_is_named_by_the_member_that_shows_such_volts_most(
    example: str, complaint: str
) -> None:
    """Weights of causes that show a value in the result, counted anew; the meter's error apart."""
    shop = workshop(example)
    places = shop.candidates.places
    reader = ComplaintReader(shop.full.harness, places, shop.full.positions)
    diagnosis = shop.open(reader.read(f"{next(iter(places))} {complaint}"))
    compared = 0
    for _ in range(4):
        asked = diagnosis.next_reading
        assert asked is not None
        if LIBRARY.instrument(asked.measurement.instrument).kind == VOLTMETER:
            names, of = diagnosis.suspects.labels
            shown = diagnosis.suspects.predictions.of(asked.measurement)
            for result in diagnosis_json(diagnosis)["next_reading"]["results"]:
                inside = (shown >= result["lower"]) & (shown <= result["upper"])
                own = (diagnosis.asked.joint * inside).sum(axis=1)
                weight = dict(zip(names, np.bincount(of, own, len(names)), strict=True))
                for group in diagnosis.asked.groups:
                    for name in set(group.labels) & set(result["causes"]):
                        most = max(weight[label] for label in group.labels)
                        # that nothing is wrong comes first, where the result allows it
                        least = 0.01 if group.is_sound and name == group.name else 0.9
                        assert weight[name] >= least * most, (result, group.labels)
                        compared += len(group.labels) > 1
        diagnosis = diagnosis.with_skipped(asked.measurement)
    assert compared >= 4


def test_nothing_wrong_is_not_what_a_dead_point_means() -> None:
    """A sound circuit has its volts at the coil; a result that rules it out leaves a fault."""
    shop = workshop("road_sweeper_24v")
    places = shop.candidates.places
    reader = ComplaintReader(shop.full.harness, places, shop.full.positions)
    asked = diagnosis_json(shop.open(reader.read(f"{next(iter(places))} works")))["next_reading"]
    sound = "nothing wrong that the file could show"
    first, *_, last = asked["results"]
    assert first["upper"] < 12.0 < last["lower"]
    assert sound not in first["causes"]
    assert sound in last["causes"]
