"""Trailer sockets: contact plans of ISO 1724, ISO 11446 and SAE J560; DIN 72552, IEC 60757."""

import re

import pytest

SOURCE = "iso-1724"
BIG = "iso-11446"
# contact, DIN 72552 number, colour, mm2, as printed
ISO_1724 = (
    (1, "L", "yellow", "1.5"), (2, "54g", "blue", "1.5"), (3, "31", "white", "2.5"),
    (4, "R", "green", "1.5"), (5, "58R", "brown", "1.5"), (6, "54", "red", "1.5"),
    (7, "58L", "black", "1.5"),
)  # fmt: skip
ISO_11446 = (
    *ISO_1724, (8, "", "pink", "1.5"), (9, "30", "orange", "2.5"), (10, "15", "grey", "2.5"),
    (11, "31", "black white", "2.5"),
)  # fmt: skip
SAE_J560 = ("white", "black", "yellow", "red", "green", "brown", "blue")
IEC_60757 = {
    "black": "BK", "brown": "BN", "red": "RD", "orange": "OG", "yellow": "YE", "green": "GN",
    "blue": "BU", "violet": "VT", "grey": "GY", "white": "WH", "pink": "PK",
}  # fmt: skip
DIN_72552 = {
    "L": "left turn", "R": "right turn", "30": "plus, always live", "15": "plus through the key",
    "31": "return", "54": "stop", "58L": "left tail", "58R": "right tail",
}  # fmt: skip


def area_mm2(cavity):
    return float(re.fullmatch(r"([\d.]+) mm2", cavity.size)[1])


def comparisons(library):
    rows = []
    for key, plan in (("ISO 1724", ISO_1724), ("ISO 11446", ISO_11446)):
        socket = library.socket(key)
        source = SOURCE if key == "ISO 1724" else BIG
        for number, _, _, area in plan:
            ours = area_mm2(socket.cavity(number))
            rows.append(("socket_cavities", (source, f"{key}, {number}: mm2"), area, ours))
    for key, source, count in (("ISO 1724", SOURCE, "7"), ("ISO 11446", BIG, "13")):
        ours = len(library.socket(key).cavities)
        rows.append(("sockets", (source, f"{key}: contacts"), count, ours))
    return rows


def test_printed_value(comparison):
    assert comparison.is_within


@pytest.mark.parametrize(("key", "plan"), [("ISO 1724", ISO_1724), ("ISO 11446", ISO_11446)])
def test_terminals_and_colours_are_those_of_the_plan(key, plan, library):
    for number, terminal, colour, _ in plan:
        cavity = library.socket(key).cavity(number)
        assert cavity.terminal == terminal
        assert cavity.colours == tuple(IEC_60757[word] for word in colour.split())


def test_colours_of_sae_j560(library):
    socket = library.socket("SAE J560")
    assert [c.colours for c in socket.cavities] == [(IEC_60757[word],) for word in SAE_J560]
    sizes = sorted(c.size for c in socket.cavities)
    assert sizes == ["10 AWG"] * 2 + ["12 AWG"] * 4 + ["8 AWG"]  # the set, as printed


def test_functions_are_what_din_72552_calls_the_terminal(library):
    for socket in library.sockets.values():
        for cavity in socket.cavities:
            if cavity.terminal in DIN_72552:
                assert cavity.function.startswith(DIN_72552[cavity.terminal])


def test_every_current_comes_back_once(library):
    for socket in library.sockets.values():
        returns = {c.cavity: c.returns_for for c in socket.cavities if c.returns_for}
        served = [number for numbers in returns.values() for number in numbers]
        loads = [c.cavity for c in socket.cavities if c.function.split()[0] != "return"]
        spare = [12] if socket.name == "ISO 11446" else []
        assert sorted(served) == sorted(set(loads) - set(spare))


def test_24_v_and_12_v_sockets_do_not_share_the_return(library):
    assert library.socket("ISO 1724").cavity(3).function == "return"
    assert library.socket("ISO 1185").cavity(1).function == "return"
