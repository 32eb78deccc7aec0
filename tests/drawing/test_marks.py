"""What fails is marked by sign, number and weight as well as colour, and said in the legend."""

from __future__ import annotations

from sample_harnesses import handle_and_cable

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding
from circuitcheck.drawing.colours import INK_OF, colour_text, inks
from circuitcheck.drawing.layout.layout import layout
from circuitcheck.drawing.layout.page import Page
from circuitcheck.drawing.marks import Failure, failures, numbered


def finding(subject: str, result: str = FAIL, **given) -> Finding:
    given = {"check": "c", "quantity": "current", "reason": "it gets hot", **given}
    return Finding(subject=subject, result=result, **given)


def test_only_failures_are_marked_the_worst_of_each_check():
    found = [
        finding("W1", value=12.0, limit=10.0, unit="A", position="left"),
        finding("W1", value=15.0, limit=10.0, unit="A", position="left + right"),
        finding("W1", check="d", quantity="drop", value=0.2, limit=0.1, unit="1"),
        finding("F1", PASS, value=1.0, limit=10.0, unit="A"),
        finding("VL", NOT_JUDGED),
        finding("VR", check="e", reason="no return"),
    ]
    assert failures(found) == [
        Failure("W1", "current 15 A, at most 10 A (left + right)"),
        Failure("W1", "drop 20 %, at most 10 %"),
        Failure("VR", "no return"),
    ]


def test_numbers_go_by_subject_and_a_terminal_counts_for_its_part():
    marks = [Failure("W1", "a"), Failure("X1.plug.1", "b"), Failure("W1", "c"), Failure("W1", "a")]
    signs = numbered(marks, ["W1", "X1"])
    assert [(s.number, s.subject, s.texts) for s in signs] == [
        (1, "W1", ("a", "c")),
        (2, "X1", ("b",)),
    ]


def test_signs_bear_the_numbers_of_the_verdict():
    found = [
        finding("W1", check="d", quantity="drop", value=0.2, limit=0.1, unit="1"),
        finding("W1", value=12.0, limit=10.0, unit="A"),
        finding("F1", check="e", reason="too slow"),
    ]
    number_of = {("c", "W1", "current"): 7, ("e", "F1", "current"): 2, ("d", "W1", "drop"): 4}
    marks = failures(found, number_of)
    assert [(mark.number, mark.subject) for mark in marks] == [(2, "F1"), (4, "W1"), (7, "W1")]
    signs = numbered(marks, ["W1", "F1"])
    assert [(s.number, s.subject, s.numbers) for s in signs] == [
        (2, "F1", (2,)),
        (4, "W1", (4, 7)),
    ]


def test_the_legend_gives_each_line_the_number_of_its_own():
    page = layout(handle_and_cable(), [Failure("W7", "thin", 12), Failure("W7", "long", 31)])
    assert digits(page, "W7") == ["12"]
    legend = [t.text for t in page.margin_letterings]
    assert {"12", "31", "W7: thin", "W7: long"} <= set(legend)


def digits(page: Page, owner: str) -> list[str]:
    figures = [f for f in page.figures if f.owner == owner]
    texts = [t for f in figures for t in f.letterings]
    texts += [t for o in page.outlines if o.owner == owner for t in o.letterings]
    return [t.text for t in texts if t.text.isdigit()]


def test_signs_stand_at_part_and_wire_and_the_legend_says_why():
    given = handle_and_cable()
    marks = [Failure("F1", "too small"), Failure("W7", "too thin"), Failure("GRIP", "no rating")]
    page = layout(given, marks)
    assert digits(page, "F1") == ["1"]
    assert digits(page, "W7") == ["2"]
    assert digits(page, "GRIP") == ["3"]
    legend = [t.text for t in page.margin_letterings]
    assert {"F1: too small", "W7: too thin", "GRIP: no rating"} <= set(legend)
    assert {line.owner for line in page.lines if line.fails} == {"W7"}


def test_every_kind_of_part_can_bear_a_sign():
    given = handle_and_cable()
    names = [*given.parts, *given.wires]
    page = layout(given, [Failure(name, "fails") for name in names])
    for number, name in enumerate(names, start=1):
        assert str(number) in digits(page, name), name


def test_a_sign_is_a_shape_not_only_a_colour():
    page = layout(handle_and_cable(), [Failure("F1", "too small")])
    plain = layout(handle_and_cable(), [])
    triangles = [
        [
            stroke
            for f in p.figures
            if f.owner == "F1"
            for stroke in f.strokes
            if len(stroke.points) == 3 and stroke.closed
        ]
        for p in (page, plain)
    ]
    assert [len(found) for found in triangles] == [1, 0]


def test_the_legend_tells_a_clean_verdict_from_no_verdict():
    said = [
        {t.text for t in layout(handle_and_cable(), marks).margin_letterings}
        for marks in (None, [])
    ]
    assert "Not judged: nothing is marked." in said[0]
    assert "No failure in the checks run." in said[1]


def test_colour_codes_of_the_standard():
    """IEC 60757: the codes of single colours, from memory."""
    codes = {"BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR"}
    assert set(INK_OF) == codes
    assert inks(("RD", "WH")) == (INK_OF["RD"], INK_OF["WH"])
    assert inks(("GNYE",)) == (INK_OF["GN"], INK_OF["YE"])
    assert colour_text(("RD", "WH")) == "RD/WH"
    assert len(inks(())) == 1
