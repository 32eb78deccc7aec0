"""One fault that works a coil: stopped by the key or not, seen before or not; by thought alone."""

import json
from pathlib import Path

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.movement.single_fault_movement import (
    BY_ANOTHER,
    CAUTION,
    CHAFED,
    CHECK,
    NO_HARM,
    NO_HARM_CAUTION,
    NONE_DOES,
    ON_WITH_KEY_OFF,
    ONE_FAULT,
    OTHERS,
)
from circuitcheck.cli.main import main

HIGH = ["PLUS SW.line", "SW.load V.1", "V.2 MINUS"]


def moves(hazard):
    return {"moves": f'{{ valve = "v", port = "A", movement = "opens", hazard = "{hazard}" }}'}


def found_on(on_parts, wires, hazard="machine part moves", **parts):
    parts = {"SW": "button", "V": ("coil", moves(hazard)), **parts}
    return on_parts(CHECK, parts, wires)


@pytest.mark.parametrize("hazard", ["none", "spray", "noise"])
def test_a_movement_that_does_no_harm_passes(on_parts, hazard):
    (found,) = found_on(on_parts, HIGH, hazard).values()
    assert (found.subject, found.result, found.reason) == ("V", PASS, NO_HARM)
    # what works it is told all the same
    faults = "SW contact welded, B1 and W2 shorted together, B2 and W2 shorted together"
    assert found.conditions == (f"hazard: {hazard}", faults)
    assert found.caution == f"{ONE_FAULT}{faults}. {NO_HARM_CAUTION}"


def test_an_unknown_hazard_is_not_judged(on_parts):
    (found,) = found_on(on_parts, HIGH, "unknown").values()
    assert found.result == NOT_JUDGED
    assert "SW contact welded" in found.conditions[1]


@pytest.mark.parametrize("hazard", ["machine part moves", "load can fall"])
def test_a_contact_that_welds_is_stopped_by_the_key(on_parts, hazard):
    (found,) = found_on(on_parts, HIGH, hazard).values()
    assert (found.result, found.reason, found.position) == (PASS, CAUTION, "key on")
    assert "SW contact welded" in found.conditions[1]
    assert found.caution == f"{ONE_FAULT}{found.conditions[1]}. {CAUTION}"


def test_with_the_feed_live_all_the_time_the_key_does_not_help(on_parts):
    (found,) = found_on(on_parts, ["BAT.+ SW.line", "SW.load V.1", "V.2 MINUS"]).values()
    assert (found.result, found.reason, found.position) == (FAIL, ON_WITH_KEY_OFF, "key off")


def test_an_isolator_stops_it_too(on_parts):
    isolator = ("", {"kind": '"isolator"', "type": '"battery isolator 100 A"'})
    wires = ["BAT.+ I.1", "I.2 SW.line", "SW.load V.1", "V.2 MINUS"]
    (found,) = found_on(on_parts, wires, I=isolator).values()
    # but for the wire before the isolator chafed into the one behind the button
    assert (found.result, found.reason) == (PASS, f"{CHAFED} {OTHERS}")
    assert found.conditions[1].startswith("W1 and W3 shorted together, SW contact welded")
    assert found.caution == f"{ONE_FAULT}{found.conditions[1]}. {CHAFED} {OTHERS}"


def test_two_contacts_in_a_row_do_not_weld_at_once(on_parts):
    wires = ["BAT.+ A.line", "A.load B.line", "B.load V.1", "V.2 MINUS"]
    parts = {"A": "button", "B": "button", "V": ("coil", moves("load can fall"))}
    (found,) = on_parts(CHECK, parts, wires).values()
    # what is left is the wire before the first chafed into the one behind the last
    assert (found.result, found.position) == (PASS, "key off")
    # one of them welded works it by the other one alone: the key stops that
    assert found.reason == f"{CHAFED} {OTHERS}"
    assert found.conditions[1].startswith("W1 and W3 shorted together")


@pytest.mark.parametrize(
    ("ohm", "result"), [("2", FAIL), ("8.5", FAIL), ("9.4", PASS), ("50", PASS)]
)
def test_a_lost_return_sends_the_current_of_one_coil_through_another(on_parts, ohm, result):
    # W and V share the joint J and its way to minus. That way lost, W's current goes on through V
    # to V's own ground: 12 V / (R_W + 10 ohm). V pulls in on 85 % of 12 V at its running winding,
    # R = (a + sqrt(a^2 + 4 b)) / 2 with a = 10 (234.5 + 20) / 254.5 = 10 and b = 10 5 144 / 254.5
    # = 28.29: 12.30 ohm, so on 10.2 V / 12.30 ohm = 0.829 A; the easiest on three quarters,
    # 0.622 A.
    # 12 V / 0.622 A is 19.3 ohm: W of up to 9.3 ohm lets it move, less what both are warmer than 20
    # degC half way through their duty.
    joint = ("", {"kind": '"splice"', "joint_resistance": '"0 ohm"'})
    other = {"resistance": f'{{ at_20degC = "{ohm} ohm", tolerance = "0 %" }}'}
    wires = ["PLUS SW.line", "SW.load W.1", "W.2 J", "J MINUS", "V.1 J", "V.2 MINUS"]
    coil = ("coil", moves("load can fall"))
    parts = {"SW": "button", "V": coil, "W": ("coil", other), "J": joint}
    found = {f.subject: f for f in on_parts(CHECK, parts, wires).values()}
    assert found["V"].result == result
    if result == FAIL:
        assert (found["V"].reason, found["V"].position) == (BY_ANOTHER, "key on, SW")
        assert found["V"].conditions[1] == "W4 open"


def test_nothing_works_a_coil_that_nothing_can_feed(on_parts):
    parts = {"V": ("coil", moves("load can fall"))}
    (found,) = on_parts(CHECK, parts, ["V.1 MINUS", "V.2 MINUS"]).values()
    assert (found.result, found.reason) in ((PASS, NONE_DOES), (PASS, CAUTION))


@pytest.mark.parametrize("width", ["40", "80"])
def test_the_verdict_shows_the_faults_and_what_to_do(width, monkeypatch, capsys):
    monkeypatch.setenv("COLUMNS", width)
    file = Path(__file__).parents[2] / "examples" / "tipping_trailer_shared_return" / "harness.toml"
    with pytest.raises(SystemExit):
        main(["check", str(file)])
    said = " ".join(capsys.readouterr().out.split())
    assert "! YT: It can work unasked by one fault: SWT contact welded" in said
    assert "The key stops it: keep clear until it is off" in said
    with pytest.raises(SystemExit):
        main(["check", str(file), "--json"])
    findings = json.loads(capsys.readouterr().out)["findings"]
    (told,) = [one["caution"] for one in findings if one["check"] == CHECK.name]
    assert told in said
