"""Power of a branch: the worked example, and dense scans over own resistance and all corners."""

from __future__ import annotations

import numpy as np
import pytest
from reference_solvers.plain_circuit import random_harness

from circuitcheck.model.tolerance_band import Band
from circuitcheck.solve.bounds import bound_search
from circuitcheck.solve.bounds.bounds import Network, solve_bounds, solve_corner
from circuitcheck.solve.bounds.power_bounds import bound_powers

TWELVE = Band.exact(12.0)


def test_power_peaks_inside_the_band() -> None:
    # 12 V behind 1 ohm: 32.0 W at 0.5 and at 2 ohm, 36.0 W at 1 ohm (maximum power transfer)
    network = Network(3, [1, 2], [2, 0], 1, 0)
    result = solve_bounds(network, [1, 0.5], [1, 1], [1, 2], TWELVE, [])
    power = bound_powers(network, result, TWELVE, [1])
    assert power.upper[0] == pytest.approx(36.0, rel=1e-14)
    assert power.lower[0] == pytest.approx(32.0, rel=1e-14)
    assert power.own_upper_ohm[0] == pytest.approx(1.0, rel=1e-14)
    assert power.gap[0] == 0.0
    assert power.band(0).nominal == pytest.approx(36.0, rel=1e-14)


def scanned(network: Network, rows: tuple, branch: int, source: Band) -> tuple[float, float]:
    """Least and most power over all corners of the others and 400 own resistances."""
    lower, _, upper = rows
    others = [i for i in range(lower.size) if i != branch]
    corner = (np.arange(2 ** len(others))[None, :] >> np.arange(len(others))[:, None]) & 1
    ohms = np.empty((lower.size, corner.shape[1]))
    ohms[others] = np.where(corner == 1, upper[others][:, None], lower[others][:, None])
    found = []
    for own in np.geomspace(lower[branch], upper[branch], 400):
        ohms[branch] = own
        amps = solve_corner(network, ohms, 1.0).branch_a[branch]
        found += [amps.min() ** 2 * own, amps.max() ** 2 * own]
        if amps.min() < 0 < amps.max():
            found.append(0.0)
    return min(found) * source.lower**2, max(found) * source.upper**2


@pytest.mark.parametrize("limit", [bound_search.CORNER_LIMIT, 0])
def test_power_against_a_dense_scan(limit: int, monkeypatch: pytest.MonkeyPatch) -> None:
    # bridge with a closed middle branch; limit 0 forces branch and bound
    monkeypatch.setattr(bound_search, "CORNER_LIMIT", limit)
    network = Network(5, [1, 2, 2, 3, 4, 3], [2, 3, 4, 0, 0, 4], 1, 0)
    nominal = np.array([0.5, 2.0, 3.0, 4.0, 5.0, 1.0])
    rows = (nominal / 1.5, nominal, nominal * 1.5)
    source = Band(9.0, 12.0, 14.0)
    result = solve_bounds(network, *rows, source, [])
    power = bound_powers(network, result, source, range(6))
    for branch in range(6):
        least, most = scanned(network, rows, branch, source)
        assert power.upper[branch] >= most * (1 - 1e-12)
        assert power.lower[branch] <= least * (1 + 1e-12)
        # a scan of 400 points misses a flat peak by less than 1e-4
        assert power.upper[branch] - power.gap[branch] <= most * (1 + 1e-4)
        if limit:
            assert power.gap[branch] == 0.0
            assert power.lower[branch] == pytest.approx(least, rel=1e-4)


def test_power_in_equals_power_out_at_nominal() -> None:
    circuit = random_harness("bridge", np.random.default_rng(1))
    network = Network(circuit.n_nodes, circuit.ends[:, 0], circuit.ends[:, 1], 1, 0)
    r = circuit.ohms
    result = solve_bounds(network, r, r, r, TWELVE, [])
    power = bound_powers(network, result, TWELVE, range(r.size))
    from_source = sum(
        12.0 * (result.nominal.branch_a[i] if u == 1 else -result.nominal.branch_a[i])
        for i, (u, v) in enumerate(circuit.ends)
        if 1 in (u, v)
    )
    assert power.nominal.sum() == pytest.approx(from_source, rel=1e-12)
    assert power.upper == pytest.approx(power.lower, rel=1e-9)


def test_a_branch_without_bounds_is_refused() -> None:
    network = Network(3, [1, 2], [2, 0], 1, 0)
    result = solve_bounds(network, [1, 1], [1, 1], [1, 1], TWELVE, [], current_branches=[0])
    with pytest.raises(ValueError, match="branch 1"):
        bound_powers(network, result, TWELVE, [1])
