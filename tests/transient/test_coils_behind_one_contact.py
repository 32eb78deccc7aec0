"""Coils that one contact lets go: what the checks say, held against ngspice and by hand.

Bench of the checks' tests: 12 V, coils of 10 ohm, feed of 0.0217 ohm. Suppressors in ngspice stand
where the check's worst case has them: a diode of 0.4 V, a Zener pair of 23.2 V, resistors as given.
"""

from __future__ import annotations

import math
import re

import pytest
from checks.part_bench import part_text
from reference_solvers.spice_runs import run_ngspice

from circuitcheck import open_case, read_harness, read_library
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.release import (
    release_time,
    suppression,
    suppression_rating,
    switch_off_peak,
)
from circuitcheck.checks.release.joined_release import joined_release, together_words
from circuitcheck.checks.release.released_coil import released_coils
from circuitcheck.checks.release.released_together import released_together

LIBRARY = read_library()
WIRES = ["PLUS SW.line", "SW.load A", "A V.1", "A Y.1", "V.2 MINUS", "Y.2 MINUS"]
JOINT = ("", {"kind": '"splice"', "joint_resistance": '"0 ohm"'})
NONE = '"none"'
DIODE = '{ kind = "diode", cathode = "1", reverse = "400 V", forward = "2 A" }'
PAIR = '{ kind = "diode + Zener", cathode = "1", type = "diode + Zener 24 V, 12 V" }'
RESISTOR = '{ kind = "resistor", resistance = { value = "75 ohm", tolerance = "0 %" } }'
LONGEST = 'longest_press = "20 s"\npresses_per_hour = 45\nlongest_release = "25 ms"'
FEED_OHM, SUPPLY_V = 0.0217, 12.0
TIME = "longest time until the current lets the plunger go"
FORWARD = "current of the diode at switch-off"


def coil(across, henry="60 mH", **more):
    return ("coil", {"suppression": across, "polarity": None, "inductance": f'"{henry}"', **more})


def found_on(check, first, second, wires=WIRES, more=(), use=LONGEST):
    parts = {"SW": "button", "A": JOINT, "V": first, "Y": second, **dict(more)}
    harness = read_harness("harness.toml", LIBRARY, text=part_text(parts, wires, use=use))
    case = open_case(harness, LIBRARY)
    return {f"{f.subject}: {f.quantity}": f for f in check.judge(case)}


def in_ngspice(folder, coils, across, measures):
    """Open the contact ahead of coils (henry, ohm) with suppressors (volts or ohm) across them."""
    lines = ["* coils behind one contact", f"V1 s 0 {SUPPLY_V}", f"RF s a {FEED_OHM}",
             "S1 a n c 0 opening", "Vc c 0 pulse(1 0 0.4 1n 1n 1 2)"]  # fmt: skip
    for k, (henry, ohm) in enumerate(coils):
        lines += [f"L{k} n m{k} {henry!r}", f"R{k} m{k} 0 {ohm!r}"]
    for k, (kind, value) in enumerate(across):
        if kind == "resistor":
            lines.append(f"RS{k} n 0 {value!r}")
        else:
            lines += [f"VD{k} 0 q{k} {value!r}", f"D{k} q{k} n sharp"]
    lines += [
        ".model opening SW(VT=0.5 VH=0.1 RON=1e-6 ROFF=1e9)",
        ".model sharp D(IS=1e-6 N=0.05 RS=1e-4)",
        ".options reltol=1e-5 abstol=1e-9 gmin=1e-12",
        ".tran 5u 0.55 0.399 5u", ".control", "run",
        *(f"meas tran {name} {what}" for name, what in measures.items()),
        ".endc", ".end", "",
    ]  # fmt: skip
    printed = run_ngspice("\n".join(lines), folder)
    return {
        name: float(re.search(rf"^{name}\s*=\s*(\S+)", printed, re.MULTILINE)[1])
        for name in measures
    }


def drop_out_a(found):
    return {t.symbol: t.value for t in found.working.terms}["I_d"]


def test_the_resistor_of_one_coil_takes_both(tmp_path):
    found = found_on(switch_off_peak.CHECK, coil(RESISTOR), coil(NONE))
    peak = found["V: peak across the coil at switch-off"]
    theirs = in_ngspice(tmp_path, [(0.06, 10.0)] * 2, [("resistor", 75.0)], {"peak": "min v(n)"})
    assert peak.value == pytest.approx(-theirs["peak"], rel=0.01)
    assert (peak.limit, peak.result) == (150.0, FAIL)
    assert "with the current of Y, which goes the same way" in peak.conditions
    terms = {term.symbol: term.value for term in peak.working.terms}
    assert eval(peak.working.formula, {}, terms) == pytest.approx(peak.value, rel=1e-9)
    alone = found_on(switch_off_peak.CHECK, coil(RESISTOR), coil(RESISTOR))
    assert alone["V: peak across the coil at switch-off"].result == PASS


@pytest.mark.parametrize(("second", "result"), [(NONE, FAIL), (PAIR, FAIL), (DIODE, PASS)])
def test_the_diode_of_one_coil_takes_both(tmp_path, second, result):
    found = found_on(suppression_rating.CHECK, coil(DIODE), coil(second))[f"V: {FORWARD}"]
    assert found.result == result
    if result == FAIL:
        theirs = in_ngspice(tmp_path, [(0.06, 10.0)] * 2, [("diode", 0.4)], {"amps": "max i(vd0)"})
        assert found.value == pytest.approx(abs(theirs["amps"]), rel=0.01)


def test_a_diode_beside_makes_a_zener_pair_slow(tmp_path):
    found = found_on(release_time.CHECK, coil(PAIR), coil(DIODE))[f"V: {TIME}"]
    end_a = drop_out_a(found)
    theirs = in_ngspice(
        tmp_path, [(0.06, 10.0)] * 2, [("diode", 23.2), ("diode", 0.4)],
        {"after": f"when i(l0)={end_a!r} fall=1"},
    )  # fmt: skip
    after_s = theirs["after"] - 0.4
    assert after_s > 0.01  # by itself 3 ms
    assert after_s * 0.99 < found.value < after_s * 1.15
    assert "let go together with Y" in found.conditions
    alone = found_on(release_time.CHECK, coil(PAIR), coil(PAIR))[f"V: {TIME}"]
    assert alone.value < 0.004


def test_a_quick_coil_is_the_way_of_a_slow_one(tmp_path):
    found = found_on(release_time.CHECK, coil(RESISTOR, "240 mH"), coil(RESISTOR, "30 mH"))
    slow, after = found[f"V: {TIME}"], {}
    end_a = 0.1 * 12.0 / (5.0 + (25.0 + 7200.0 / 254.5) ** 0.5)  # hot, 10 % of 12 V
    after = in_ngspice(
        tmp_path, [(0.24, 10.0), (0.03, 10.0)], [("resistor", 37.5)],
        {"after": f"when i(l0)={end_a!r} fall=1"},
    )  # fmt: skip
    assert slow.value == pytest.approx(after["after"] - 0.4, rel=0.02)
    assert slow.value > 3.0 * 0.24 / 85.0 * 2.6  # its own resistor alone
    assert (slow.limit, slow.result) == (0.025, FAIL)


def test_a_coil_without_suppressor_lives_on_its_neighbours(tmp_path):
    found = found_on(suppression.CHECK, coil(DIODE), coil(NONE))["Y: suppressor fitted"]
    assert found.result == PASS
    assert "V" in found.reason
    assert "nothing takes" in found.caution
    timed = found_on(release_time.CHECK, coil(DIODE), coil(NONE))
    assert timed[f"Y: {TIME}"].value == pytest.approx(timed[f"V: {TIME}"].value, rel=0.01)
    theirs = in_ngspice(
        tmp_path, [(0.06, 10.0)] * 2, [("diode", 0.4)],
        {"after": f"when i(l1)={drop_out_a(timed[f'Y: {TIME}'])!r} fall=1"},
    )  # fmt: skip
    assert 0.99 < timed[f"Y: {TIME}"].value / (theirs["after"] - 0.4) < 1.15


def test_with_a_button_each_it_has_none():
    wires = ["PLUS SW.line", "SW.load V.1", "PLUS S2.line", "S2.load Y.1", "V.2 A", "Y.2 A",
             "A MINUS"]  # fmt: skip
    found = found_on(
        suppression.CHECK, coil(DIODE), coil(NONE), wires, {"S2": "button"}
    )["Y: suppressor fitted"]  # fmt: skip
    assert found.result == FAIL
    rated = found_on(suppression_rating.CHECK, coil(DIODE), coil(NONE), wires, {"S2": "button"})
    assert rated[f"V: {FORWARD}"].value == pytest.approx(12.0 / 10.02, rel=0.01)
    assert rated[f"V: {FORWARD}"].result == PASS
    assert "by the key" in rated[f"V: {FORWARD}"].caution


def test_a_diode_in_the_way_keeps_the_current_out():
    # Y hangs behind a diode: its current comes back through it from V's node, V's does not go in
    wires = ["PLUS SW.line", "SW.load A", "A V.1", "A D.anode", "D.cathode Y.1", "V.2 MINUS",
             "Y.2 MINUS"]  # fmt: skip
    behind = {"D": ("", {"kind": '"diode"', "type": '"3 A silicon diode, 1000 V"'})}
    into = found_on(suppression_rating.CHECK, coil(DIODE), coil(NONE), wires, behind)
    assert into[f"V: {FORWARD}"].result == FAIL
    away = found_on(suppression_rating.CHECK, coil(NONE), coil(DIODE), wires, behind)
    assert away[f"Y: {FORWARD}"].result == PASS


def test_one_diode_across_two_coils():
    wires = [*WIRES[:4], "V.2 B", "Y.2 B", "B MINUS", "A D.cathode", "D.anode B"]
    more = {"B": JOINT, "D": ("", {"kind": '"diode"', "type": '"1 A silicon diode, 400 V"'})}
    found = found_on(suppression_rating.CHECK, coil(NONE), coil(NONE), wires, more)
    assert found["V: current of the diode D at switch-off"].value == pytest.approx(2.4, rel=0.01)


def pull_hold(check, cut_out, across):
    keys = {
        "pull_resistance": '{ at_20degC = "1.4 ohm", tolerance = "0 %" }',
        "hold_resistance": '{ at_20degC = "15 ohm", tolerance = "0 %" }',
        "cut_out": f'"{cut_out}"', "suppression": across, "drop_out": '["5 %", "40 %"]',
        "thermal": '{ resistance = "4 K/W", time_constant = "1200 s", class = "H" }',
    }  # fmt: skip
    wires = ["PLUS SW.line", "SW.load A", "A Y.hold", "Y.common MINUS"]
    if cut_out != "internal switch":
        wires.insert(3, "A Y.pull")
    parts = {"SW": "button", "A": JOINT, "Y": ("pull and hold", keys)}
    harness = read_harness("harness.toml", LIBRARY, text=part_text(parts, wires, use=LONGEST))
    return {f"{f.subject}: {f.quantity}": f for f in check.judge(open_case(harness, LIBRARY))}


HOLD_DIODE = '{ kind = "diode", cathode = "hold", reverse = "400 V", forward = "3 A" }'


@pytest.mark.parametrize("cut_out", ["none", "internal switch", "outside timer"])
def test_pull_and_hold_winding_go_through_one_diode(tmp_path, cut_out):
    found = pull_hold(suppression_rating.CHECK, cut_out, HOLD_DIODE)[f"Y: {FORWARD}"]
    theirs = in_ngspice(
        tmp_path, [(0.4, 15.0), (0.03, 1.4)], [("diode", 0.4)], {"amps": "max i(vd0)"}
    )
    assert found.value == pytest.approx(abs(theirs["amps"]), rel=0.01)
    assert found.value == pytest.approx(SUPPLY_V / 15.0 + SUPPLY_V / 1.4, rel=0.02)
    assert found.result == FAIL


def test_the_pull_winding_drives_a_resistors_peak():
    resistor = '{ kind = "resistor", resistance = { value = "10 ohm", tolerance = "0 %" } }'
    found = pull_hold(switch_off_peak.CHECK, "none", resistor)
    peak = found["Y: peak across the coil at switch-off"]
    assert peak.value == pytest.approx(10.0 * SUPPLY_V * (1 / 15.0 + 1 / 1.4), rel=0.02)


def test_how_long_both_windings_hold_is_not_judged():
    found = pull_hold(release_time.CHECK, "none", HOLD_DIODE)[f"Y: {TIME}"]
    assert found.result == NOT_JUDGED
    assert "pull winding" in found.reason
    assert pull_hold(release_time.CHECK, "internal switch", HOLD_DIODE)[f"Y: {TIME}"].value > 0.0


def test_what_a_timer_breaks_is_asked_for():
    found = pull_hold(suppression.CHECK, "outside timer", HOLD_DIODE)
    timed = found["Y: suppressor fitted, pull winding"]
    assert timed.result == NOT_JUDGED
    assert "8.4" in timed.reason or "8.5" in timed.reason
    joined = pull_hold(suppression.CHECK, "none", HOLD_DIODE)
    assert joined["Y: suppressor fitted, pull winding"].result == PASS


def shown(first, second):
    parts = {"SW": "button", "A": JOINT, "V": first, "Y": second}
    harness = read_harness("harness.toml", LIBRARY, text=part_text(parts, WIRES, use=LONGEST))
    coils = {one.winding.branch: one for one in released_coils(open_case(harness, LIBRARY))}
    return coils["V"], joined_release(coils["V"], coils["V"].suppressors[0])


def test_the_comparison_counts_what_a_neighbour_adds(tmp_path):
    coil_v, release = shown(coil(RESISTOR), coil(NONE))
    theirs = in_ngspice(tmp_path, [(0.06, 10.0)] * 2, [("resistor", 75.0)], {"peak": "min v(n)"})
    assert release.coil_peak_v == pytest.approx(-theirs["peak"], rel=0.01)
    assert release.absorbed_j == pytest.approx(0.06 * 1.2**2 * (1 - 0.5 * 10 / 85), rel=0.02)
    coil_v, release = shown(coil(PAIR), coil(DIODE))
    end_a = coil_v.winding.usual.drop_out_a
    theirs = in_ngspice(
        tmp_path, [(0.06, 10.0)] * 2, [("diode", 23.2), ("diode", 0.84)],
        {"after": f"when i(l0)={end_a!r} fall=1"},
    )  # fmt: skip
    assert release.release_s.nominal == pytest.approx(theirs["after"] - 0.4, rel=0.03)
    assert release.release_s.lower <= release.release_s.nominal <= release.release_s.upper


def test_the_comparison_says_whose_suppressor_takes_it():
    parts = {"SW": "button", "A": JOINT, "V": coil(DIODE), "Y": coil(NONE)}
    harness = read_harness("harness.toml", LIBRARY, text=part_text(parts, WIRES, use=LONGEST))
    coils = {one.winding.branch: one for one in released_coils(open_case(harness, LIBRARY))}
    assert together_words(coils["Y"]) == ("its current goes on through the suppressor of V",)
    assert together_words(coils["V"]) == ()


def test_usual_values_of_coils_that_one_button_lets_go(tmp_path):
    parts = {"SW": "button", "A": JOINT, "V": coil(RESISTOR, "90 mH"), "Y": coil(NONE)}
    harness = read_harness("harness.toml", LIBRARY, text=part_text(parts, WIRES, use=LONGEST))
    case = open_case(harness, LIBRARY)
    coils = released_coils(case)
    (several,) = released_together(case, coils)
    assert not several.by_key
    ends = [one.winding.usual.drop_out_a for one in coils]
    theirs = in_ngspice(
        tmp_path, [(0.09, 10.0), (0.06, 10.0)], [("resistor", 75.0)],
        {"peak": "min v(n)", **{f"t{k}": f"when i(l{k})={a!r} fall=1" for k, a in enumerate(ends)}},
    )  # fmt: skip
    for k, one in enumerate(several.coils):
        assert one.lets_go_s == pytest.approx(theirs[f"t{k}"] - 0.4, rel=0.02)
        assert one.peak_v == pytest.approx(-theirs["peak"], rel=0.01)


def test_the_time_behind_a_diode_is_worked_out_to_the_end():
    found = found_on(release_time.CHECK, coil(DIODE), coil(NONE))[f"V: {TIME}"]
    terms = {term.symbol: term.value for term in found.working.terms}
    names = {"ln": math.log}
    assert eval(found.working.formula, names, terms) == pytest.approx(found.value, rel=1e-6)
    (step,) = found.working.steps
    given = {term.symbol: term.value for term in step.terms}
    assert eval(step.formula, {"min": min}, given) == pytest.approx(terms["I_c"], rel=1e-6)


def test_a_neighbour_of_which_nothing_is_known():
    found = found_on(suppression.CHECK, coil('"unknown"'), coil(NONE))["Y: suppressor fitted"]
    assert found.result == NOT_JUDGED
    assert "across V" in found.reason
    # a TVS of unknown voltage may leave all to the diode
    tvs = coil('"bidirectional TVS"')
    rated = found_on(suppression_rating.CHECK, coil(DIODE), tvs)[f"V: {FORWARD}"]
    assert rated.value == pytest.approx(2.4, rel=0.01)
    assert rated.result == FAIL
    # as if its ends were joined: 60 mH, 10 ohm, no voltage
    slow = found_on(release_time.CHECK, coil(NONE), tvs)[f"V: {TIME}"]
    terms = {term.symbol: term.value for term in slow.working.terms}
    shorted_s = 0.006 * math.log(terms["I_0"] / terms["I_d"])
    assert slow.value == pytest.approx(shorted_s, rel=1e-3)
