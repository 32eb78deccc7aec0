"""Rings on studs and posts (ABYC E-11, from memory: four on a stud), wires in splices."""

import pytest

from circuitcheck.checks.finding import FAIL, PASS
from circuitcheck.checks.wires.terminal_stack import CHECK, NUMBER, ORDER, SPLICE

STUD = """
[part.FR]
kind = "frame"
zone = "bench"
bonds = [{ to = "BAT.-", by = "bolts" }]
[part.GS]
kind = "ground stud"
zone = "bench"
frame = "FR"
rings = %d
"""


def stack(on_parts, sizes, rings=4):
    wires = "".join(
        f'[wire.G{number}]\nfrom = "MINUS"\nto = "GS"\ngauge = "{size}"\nlength = "1 m"\n'
        for number, size in enumerate(sizes, start=1)
    )
    return on_parts(CHECK, {}, [], more=STUD % rings + wires)


@pytest.mark.parametrize(("count", "result"), [(1, PASS), (4, PASS), (5, FAIL)])
def test_four_rings_on_a_stud(on_parts, count, result):
    found = stack(on_parts, ["16 AWG"] * count, rings=10)[f"GS: {NUMBER}"]
    assert (found.value, found.limit, found.result) == (count, 4.0, result)


@pytest.mark.parametrize(("count", "result"), [(2, PASS), (3, FAIL)])
def test_a_short_stud_takes_fewer(on_parts, count, result):
    found = stack(on_parts, ["16 AWG"] * count, rings=2)[f"GS: {NUMBER}"]
    assert (found.limit, found.result) == (2.0, result)


@pytest.mark.parametrize(
    ("sizes", "result"),
    [
        (["8 AWG", "14 AWG", "16 AWG"], PASS),
        (["16 AWG", "16 AWG"], PASS),
        (["16 AWG", "14 AWG"], FAIL),
    ],
)
def test_the_biggest_ring_nearest_the_frame(on_parts, sizes, result):
    found = stack(on_parts, sizes)[f"GS: {ORDER}"]
    assert found.result == result


def test_the_better_order_is_named(on_parts):
    found = stack(on_parts, ["16 AWG", "8 AWG", "14 AWG"])[f"GS: {ORDER}"]
    assert "From the frame outward: G2, G3, G1." in found.reason


def test_one_ring_has_no_order(on_parts):
    assert f"GS: {ORDER}" not in stack(on_parts, ["16 AWG"])


@pytest.mark.parametrize(("count", "result"), [(2, PASS), (5, PASS), (6, FAIL)])
def test_wires_in_a_splice(on_parts, count, result):
    coils = {f"V{number}": "coil" for number in range(1, count)}
    wires = [end for name in coils for end in (f"PLUS {name}.1", f"{name}.2 MINUS")]
    found = on_parts(CHECK, coils, wires)[f"PLUS: {SPLICE}"]
    assert (found.value, found.limit, found.result) == (count, 5.0, result)


def test_rings_on_a_battery_post(on_parts):
    coils = {f"V{number}": "coil" for number in range(1, 5)}
    wires = [end for name in coils for end in (f"PLUS {name}.1", f"{name}.2 BAT.-")]
    found = on_parts(CHECK, coils, wires)
    assert found[f"BAT.-: {NUMBER}"].result == FAIL  # the return of the bench and four more
    assert f"BAT.+: {NUMBER}" not in found  # no wire of the file lands there
