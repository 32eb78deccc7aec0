"""Bundle diameter against the best packings of equal circles in a circle.

R. L. Graham, B. D. Lubachevsky, K. J. Nurmela, P. R. J. Ostergard, Congruent circles packed in a
circle, Discrete Mathematics 181 (1998) 139-154: radius of the least circle around N unit circles.
N = 1 to 7 have closed forms (1 + 1/sin(pi/N) for 2 to 6, 3 for 7), N = 12 and 19 are recalled.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.formulas.bundle_diameter import bundle_diameter_m

BEST = {
    1: 1.0, **{n: 1.0 + 1.0 / math.sin(math.pi / n) for n in range(2, 7)},
    7: 3.0, 12: 4.0296, 19: 4.8637,
}  # fmt: skip
SOURCE = "circle-packing"
PRINTED = {2: "2", 3: "2.1547", 4: "2.4142", 5: "2.7013", 6: "3"}


def comparisons(library):
    why = (5.0, "laid by hand, not in the best packing")
    return [
        (
            "formula bundle_diameter",
            f"{count} wires",
            printed,
            bundle_diameter_m([1.0] * count),
            *why,
        )
        for count, printed in PRINTED.items()
    ]


LOOSEST = 1.13
"""A bundle laid by hand may be so much thicker than the best packing, no more."""


@pytest.mark.parametrize("count", BEST)
def test_never_below_the_best_packing_and_not_far_above(count: int) -> None:
    wire_m = 0.0024
    ratio = bundle_diameter_m([wire_m] * count) / wire_m / BEST[count]
    assert 1.0 - 1e-9 <= ratio < LOOSEST


WIRES = st.lists(st.floats(0.001, 0.02), min_size=1, max_size=40)


@given(WIRES, st.floats(0.001, 0.02))
def test_one_more_wire_makes_it_no_thinner(wires: list[float], more: float) -> None:
    thinner, thicker = bundle_diameter_m(wires), bundle_diameter_m([*wires, more])
    assert thicker >= thinner * (1.0 - 1e-12)


@given(WIRES)
def test_the_wires_have_room_in_the_circle(wires: list[float]) -> None:
    whole = bundle_diameter_m(wires)
    assert whole**2 >= sum(d * d for d in wires) * (1.0 - 1e-12)
    assert whole >= sum(sorted(wires)[-2:]) * (1.0 - 1e-12) or len(wires) == 1


def test_no_wire_is_refused() -> None:
    with pytest.raises(ValueError, match="needs wires"):
        bundle_diameter_m([])
