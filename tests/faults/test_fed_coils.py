"""Faults that closed ways rule out, against solving every fault in every position."""

from __future__ import annotations

from pathlib import Path

import pytest

from circuitcheck import read_harness, read_library
from circuitcheck.checks.movement.movers import movers
from circuitcheck.checks.movement.single_fault_movement import MODES
from circuitcheck.faults.effect_survey import KEY_OFF_WORKS, UNASKED, WRONG_COIL, survey
from circuitcheck.faults.fault import Fault, Joined
from circuitcheck.faults.fault_list import single_faults
from circuitcheck.faults.fed_coils import faults_that_feed
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.faults.unasked_movement import UnaskedMovements

ROOT = Path(__file__).parents[2]
FILES = sorted((ROOT / "examples").glob("*/harness.toml"))
FILES += sorted((ROOT / "tests" / "harnesses" / "good").glob("*.toml"))
MOVES = (UNASKED, WRONG_COIL, KEY_OFF_WORKS)


@pytest.mark.parametrize("file", FILES, ids=lambda file: f"{file.parent.name}/{file.stem}")
def test_the_same_is_found_as_by_solving_everything(file: Path) -> None:
    library = read_library()
    harness = read_harness(file, library)
    coils = [part.name for part in movers(harness)]
    quick = UnaskedMovements(harness, library, MODES, coils)
    faults = [one for one in single_faults(harness, library) if one.mode in MODES]
    every = list(survey(quick.full, faults, quick.positions, heat=False))
    moving = [pair for pair in every if pair[1].kind in (UNASKED, WRONG_COIL)]
    assert [(f.name, e) for f, e in quick.found] == [(f.name, e) for f, e in moving]
    for fault in {fault.name for fault, _ in moving}:
        shown = {effect.position for one, effect in every if one.name == fault}
        assert quick.shows_in(fault) == shown


@pytest.mark.parametrize("file", FILES[::3], ids=lambda file: f"{file.parent.name}/{file.stem}")
def test_no_fault_of_any_mode_moves_what_it_cannot_feed(file: Path) -> None:
    library = read_library()
    harness = read_harness(file, library)
    full = FullNetwork(harness, library)
    coils = [part.name for part in movers(harness)]
    faults = single_faults(harness, library)
    for position in full.positions.values():
        moving = {f.name for f, e in survey(full, faults, [position], heat=False)
                  if e.kind in MOVES}  # fmt: skip
        assert moving <= {f.name for f in faults_that_feed(full, faults, position, coils)}


def test_most_faults_of_the_sprayer_are_ruled_out() -> None:
    """Seven in ten or more, or little is gained by looking."""
    library = read_library()
    harness = read_harness(ROOT / "examples" / "orchard_sprayer" / "harness.toml", library)
    full = FullNetwork(harness, library)
    coils = [part.name for part in movers(harness)]
    faults = single_faults(harness, library)
    fed = [len(faults_that_feed(full, faults, p, coils)) for p in full.positions.values()]
    assert 0 < sum(fed) < 0.3 * len(faults) * len(fed)


def test_what_is_not_known_is_solved() -> None:
    library = read_library()
    harness = read_harness(ROOT / "examples" / "orchard_sprayer" / "harness.toml", library)
    full = FullNetwork(harness, library)
    strange = Fault("strange", "F1", "open", changes=(Joined("F1.line", "nowhere", 0.01),))
    coils = [part.name for part in movers(harness)]
    (rest,) = [p for p in full.positions.values() if p.name == "key off"]
    assert faults_that_feed(full, [strange], rest, coils) == [strange]
