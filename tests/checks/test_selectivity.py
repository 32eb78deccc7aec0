"""Fuses in series: ratings 2 to 1 (common practice), the opening bands beside it."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.fuses.selectivity import CHECK


def ratings(machine, own):
    return {"upstream": {"fuse": f'"{machine} A blade"'}, "F1": {"rating": f'"{own} A"'}}


@pytest.mark.parametrize(
    ("machine", "own", "result"),
    [
        (15, 5, PASS),
        (15, 7.5, PASS),  # just inside
        (15, 10, NOT_JUDGED),  # just outside: both may open
        (10, 10, FAIL),
        (7.5, 10, FAIL),
    ],
)
def test_by_the_ratio_of_ratings(judge, machine, own, result):
    finding = judge(CHECK, **ratings(machine, own))["F1"]
    assert finding.result == result
    assert finding.value == pytest.approx(machine / own)
    assert finding.limit == 2.0


def test_overlap_is_said_not_passed_in_silence(judge):
    finding = judge(CHECK, **ratings(15, 10))["F1"]
    assert "both fuses may open" in finding.reason


def test_what_the_bands_alone_prove(judge):
    # Machine's 40 A fuse at 45 degC is worth 38.86 A, less 3.5 A of present load. Just above
    # 110 % (39.2 A) it holds 0.75 s, and a 3 A fuse, worth 3.19 A, has cleared long before:
    # above 600 % by constant I2t, (6 * 3.19)^2 * 0.1 / I^2 = 0.024 s at 39.2 A. At 135 %, 160 %,
    # 200 % and 350 % it holds 0.25, 0.15, 0.04 and 0.02 s, and 36.6 A2s take 0.015, 0.011, 0.007
    # and 0.002 s. Above 600 % of 38.86 A = 233 A nothing is listed.
    finding = judge(CHECK, **ratings(40, 3))["F1"]
    assert finding.result == PASS
    assert "prove it up to 230 A" in " ".join(finding.conditions)


def test_where_bands_overlap_early(judge):
    # 15 A at 45 degC is worth 14.57 A; 110 % less 3.5 A of present load is 12.5 A. There a 7.5 A
    # fuse, worth 7.98 A, takes up to 60 s; the machine's is sure to hold 0.75 s.
    finding = judge(CHECK, **ratings(15, 7.5))["F1"]
    assert "prove it up to 12.5 A" in " ".join(finding.conditions)


def test_shorts_behind_the_fuse_are_said(judge, case_of):
    finding = judge(CHECK)["F1"]
    shorts = case_of().shorts
    weakest = min(shorts.at_far_end(wire).weakest_a for wire in ("W2", "W3", "W4", "W5", "W6"))
    assert f"{weakest:.3g} A" in " ".join(finding.conditions)


def test_unknown_machine_fuse_is_not_judged(judge):
    finding = judge(CHECK, upstream={"fuse": '"unknown"'})["F1"]
    assert finding.result == NOT_JUDGED
    assert "pull fuses" in finding.reason


def test_no_tap_no_finding(judge):
    assert not judge(CHECK, without=("TAP", "upstream"), W1={"from": '"BAT.+"'})


MAIN = """
[part.MF]
kind = "fuse"
zone = "cab"
rating = "%s A"
style = "blade"

[wire.WM]
from = "BAT.+"
to = "MF.line"
gauge = "8 AWG"
insulation = "XLPE 125"
length = "0.15 m"
route = ["cab"]
bundled = 1
"""


def of_pairs(judge, main, machine, own):
    changes = ratings(machine, own)
    changes["upstream"]["from"] = '"MF.load"'
    found = judge(CHECK, more=MAIN % main, **changes)
    return {key.partition(": ")[2]: finding for key, finding in found.items() if ": " in key}


def test_every_level_up_to_the_battery(judge):
    # 40 A main, 15 A of the tap, 5 A of the add-on: 2.67, 3 and 8 to 1
    found = of_pairs(judge, 40, 15, 5)
    shown = {
        quantity.partition("(")[2].rstrip(")"): (finding.subject, finding.value, finding.result)
        for quantity, finding in found.items()
    }
    assert shown == {
        "the machine's before TAP over F1": ("F1", 3.0, PASS),
        "MF over F1": ("F1", 8.0, PASS),
        "MF over the machine's before TAP": ("TAP", pytest.approx(40 / 15), PASS),
    }


@pytest.mark.parametrize(("main", "result"), [(30, PASS), (25, NOT_JUDGED), (15, FAIL)])
def test_the_main_fuse_over_the_one_of_the_tap(judge, main, result):
    found = of_pairs(judge, main, 15, 5)
    upper = next(finding for finding in found.values() if finding.subject == "TAP")
    assert (upper.value, upper.result) == (pytest.approx(main / 15), result)


def test_loads_beside_a_main_fuse_are_what_it_carries_at_most(judge, case_of):
    found = of_pairs(judge, 40, 15, 5)
    upper = next(finding for finding in found.values() if finding.subject == "TAP")
    changes = ratings(15, 5)
    changes["upstream"]["from"] = '"MF.load"'
    case = case_of(more=MAIN % 40, **changes)
    most = max(solved.current_a("MF").upper for solved in case.solution.live("cold start"))
    assert f"with {most:.3g} A of other loads" in upper.conditions[0]


def test_a_fuse_that_nobody_knows_leaves_its_pairs_open(judge):
    found = judge(CHECK, more=MAIN % 40, upstream={"fuse": '"unknown"', "from": '"MF.load"'})
    assert found["TAP"].result == NOT_JUDGED
    assert "pull fuses" in found["TAP"].reason
    assert found["F1: rating of the fuse ahead over the one behind (MF over F1)"].result == PASS
