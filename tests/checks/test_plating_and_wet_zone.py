"""Platings that meet (anodic index: 0.25 V apart in the dry, 0.15 V in the wet), seals."""

import pytest

from circuitcheck.checks.contacts.plating_and_wet_zone import CHECK, SAME, SEAL
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS


def found(judge, quantity, wet="true", **keys):
    return judge(CHECK, boom={"wet": wet}, X1=keys).get(f"X1: {quantity}")


@pytest.mark.parametrize(
    ("plating", "wet", "dry"),
    [
        ('["tin", "tin"]', PASS, PASS),
        ('["gold", "silver"]', PASS, PASS),  # 0.15 V apart
        ('["silver", "copper"]', FAIL, PASS),  # 0.20 V
        ('["tin", "gold"]', FAIL, FAIL),  # 0.65 V
        ('["tin", "silver"]', FAIL, FAIL),  # 0.50 V
        ('"unknown"', NOT_JUDGED, NOT_JUDGED),
    ],
)
def test_pairs_in_the_wet_and_in_the_dry(judge, plating, wet, dry):
    assert found(judge, SAME, "true", plating=plating).result == wet
    assert found(judge, SAME, "false", plating=plating).result == dry


def test_how_far_apart_is_said(judge):
    finding = found(judge, SAME, plating='["gold", "tin"]')
    assert "indexes 0.65 V apart" in finding.conditions
    assert "one plating" in finding.reason


@pytest.mark.parametrize(
    ("family", "result"),
    [('"2.8 mm sealed"', PASS), ('"2.8 mm unsealed"', FAIL), ('"unknown"', NOT_JUDGED)],
)
def test_a_seal_in_a_wet_zone(judge, family, result):
    assert found(judge, SEAL, contact=family).result == result


def test_no_seal_is_asked_for_in_the_dry(judge):
    assert found(judge, SEAL, "false", contact='"2.8 mm unsealed"') is None


def test_a_trailer_socket_has_a_lid(on_parts):
    parts = {"X": ("", {"kind": '"connector"', "socket": '"ISO 1724"'}), "V": "coil"}
    wires = ["PLUS X.plug.1", "X.receptacle.1 V.1", "V.2 X.receptacle.3", "X.plug.3 MINUS"]
    finding = on_parts(CHECK, parts, wires, wet="true")[f"X: {SEAL}"]
    assert finding.result == PASS
    assert "lid" in finding.reason


def test_without_a_connector_there_is_nothing_to_say(on_parts):
    assert on_parts(CHECK, {"V": "coil"}, ["PLUS V.1", "V.2 MINUS"]) == {}
