"""What faults share: one solved network under several lists, one without battery for all fuses."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from circuitcheck.faults import settled_states
from circuitcheck.faults.fault_list import single_faults
from circuitcheck.faults.faulted_circuits import FaultedCircuits
from circuitcheck.faults.full_network import FullNetwork
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.harness import Harness
from circuitcheck.model.reading import Situation
from circuitcheck.read.harness_file import read_harness
from circuitcheck.read.library.library_tables import read_library

ROOT = Path(__file__).parents[2]
LIBRARY = read_library()
EXAMPLES = ("orchard_sprayer", "round_baler_low_side", "salt_spreader_relay_lamp")


@pytest.mark.parametrize("example", EXAMPLES)
def test_a_list_shows_the_same_after_another_one(example: str) -> None:
    harness = read_harness(ROOT / "examples" / example / "harness.toml", LIBRARY)
    faults = single_faults(harness, LIBRARY)
    used, fresh = FullNetwork(harness, LIBRARY), FullNetwork(harness, LIBRARY)
    live = [name for name in used.positions if name.startswith("key on")][1]
    points = [name for name in used.node_names if "." in name]
    probes = [(point, f"{harness.battery.name}.-") for point in points]
    before = FaultedCircuits(harness, LIBRARY, faults[::2], Situation(live), full=used)
    before.between_many_v(probes[::3], 1e7)
    one = FaultedCircuits(harness, LIBRARY, faults[1::2], Situation(live), full=used)
    other = FaultedCircuits(harness, LIBRARY, faults[1::2], Situation(live), full=fresh)
    np.testing.assert_allclose(
        one.between_many_v(probes, 1e7), other.between_many_v(probes, 1e7), rtol=1e-9, atol=1e-9
    )
    np.testing.assert_array_equal(one.blown, other.blown)


@pytest.mark.parametrize("example", EXAMPLES)
def test_ohms_hang_not_on_whether_lost_fuses_are_solved_together(
    example: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    harness = read_harness(ROOT / "examples" / example / "harness.toml", LIBRARY)
    full, faults = FullNetwork(harness, LIBRARY), single_faults(harness, LIBRARY)[:40]
    live = [name for name in full.positions if name.startswith("key on")][1]
    fuse = harness.of_kind(Fuse)[0].name
    # the fuse has opened in every other machine of every third fault
    blown = np.zeros((len(faults) + 1, 32, len(settled_fuses(harness, full))), dtype=bool)
    blown[::3, ::2, settled_fuses(harness, full).index(fuse)] = True
    minus = f"{harness.battery.name}.-"
    asked = [(f"{fuse}.{end}", minus) for end in ("line", "load")]
    asked += [(f"{fuse}.line", f"{fuse}.load")]
    found = []
    for few in (settled_states.FEW_FAULTS, -1):
        monkeypatch.setattr(settled_states, "FEW_FAULTS", few)
        one = FaultedCircuits(harness, LIBRARY, faults, Situation(live), full=full, blown=blown)
        found.append([one.path_ohm(*pair) for pair in asked])
    np.testing.assert_allclose(*found, rtol=1e-6)
    across = found[0][-1]
    assert (across[::3, ::2] > 100.0 * across[::3, 1::2]).any()


def settled_fuses(harness: Harness, full: FullNetwork) -> list[str]:
    return list(FaultedCircuits(harness, LIBRARY, [], Situation("key off"), full=full).fuses)


def test_a_machine_without_its_battery_is_at_rest() -> None:
    harness = read_harness(ROOT / "examples/salt_spreader_relay_lamp/harness.toml", LIBRARY)
    full, faults = FullNetwork(harness, LIBRARY), single_faults(harness, LIBRARY)
    live = [name for name in full.positions if name.startswith("key on")][1]
    off = Situation(live, unplugged=frozenset({harness.battery.name}))
    one = FaultedCircuits(harness, LIBRARY, faults, off, full=full)
    assert not one.blown.any()
    assert not one.restless.any()
    assert np.abs(one.currents_a([b.name for b in full.branches])).max() < 1e-9
