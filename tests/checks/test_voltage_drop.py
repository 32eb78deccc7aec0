"""Drop of feed, return and both, added up by hand on the bench."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.wires.voltage_drop import CHECK, QUANTITIES

COIL = 10.0
# 10 mm of 8 AWG, library/conductors.csv: 2.528 mohm/m at the upper end
WIRE = 0.01 * 2.528e-3
SPLICE = 1e-3  # library/contacts.csv, crimp splice, aged
KEY = 1e-6  # the least that any joint is given


@pytest.fixture
def feed_ohm(library):
    """Feed of the bench at its upper end, without fuse F1, contact and connector."""
    return library.fuse("blade", 30.0).resistance_ohm.upper + 5 * WIRE + SPLICE + KEY


def by_part(on_bench, **changes):
    findings = {f.quantity: f for f in on_bench(CHECK, "VL", **changes)}
    return [findings[QUANTITIES[part]] for part in ("total", "feed", "return")]


def test_three_drops_by_hand(on_bench, library, feed_ohm):
    total, feed, back = by_part(on_bench, fuse="0.2 ohm", contact='"0.1 ohm"', bond='"0.25 ohm"')
    feed_r, back_r = feed_ohm + 0.2 + 0.1 + 0.01, 0.25 + 2 * WIRE
    loop = feed_r + back_r + COIL
    assert feed.value == pytest.approx(100 * feed_r / loop, rel=1e-5)
    # most is lost in the return when the feed is at its best: a new fuse, a new splice
    fuse_ohm = library.fuse("blade", 30.0).resistance_ohm
    best = loop - (fuse_ohm.upper - fuse_ohm.lower) - (SPLICE - 0.05e-3)
    assert back.value == pytest.approx(100 * back_r / best, rel=1e-5)
    assert total.value == pytest.approx(100 * (feed_r + back_r) / loop, rel=1e-5)
    assert [f.result for f in (total, feed, back)] == [PASS] * 3
    assert [f.limit for f in (total, feed, back)] == [10.0] * 3  # ABYC E-11, not critical
    assert any(c.startswith("largest single drop on the way: GS1") for c in total.conditions)


@pytest.mark.parametrize(("loss", "result"), [(1.110, PASS), (1.1125, FAIL)])
def test_ten_percent_of_the_supply_is_the_line(on_bench, feed_ohm, loss, result):
    # 10 ohm / 9 = 1.1111 ohm in series with 10 ohm takes a tenth
    contact = loss - feed_ohm - 2 * WIRE - 0.01 - 0.01 - 0.01
    total = by_part(on_bench, contact=f'"{contact:.6f} ohm"')[0]
    assert total.result == result
    assert total.value == pytest.approx(100 * loss / (loss + COIL), rel=1e-5)


@pytest.mark.parametrize(("loss", "result"), [(1.108, PASS), (1.1135, FAIL)])
def test_ten_percent_of_feed_or_return_alone(on_bench, feed_ohm, loss, result):
    # 0.5263 of 10.526 ohm: 5 %
    bare = {"fuse": "0.0001 ohm", "contact": '"0 ohm"', "pair": '"0 ohm"', "bond": '"0 ohm"'}
    feed = by_part(on_bench, **bare | {"fuse": f"{loss - feed_ohm:.6f} ohm"})[1]
    assert feed.value == pytest.approx(100 * loss / (loss + COIL), rel=1e-4)
    assert feed.result == result
    # the same in the return; the feed then is 2 mohm at its lower end, 0.02 % of the loop
    back = by_part(on_bench, **bare | {"bond": f'"{loss - 2 * WIRE:.6f} ohm"'})[2]
    assert back.value == pytest.approx(100 * loss / (loss + COIL), rel=1e-3)
    assert back.result == result


def test_nominal_passes_and_worst_case_fails(on_bench, bench):
    changes = {"contact": '["0.1 ohm", "1.3 ohm"]'}
    total = by_part(on_bench, **changes)[0]
    solved = bench(**changes).solution.of(total.position, total.coil_state)
    nominal_v = solved.across_v("VL").nominal
    assert 100 * (12.0 - nominal_v) / 12.0 < total.limit  # 0.7 ohm: 6.7 %
    assert total.value > total.limit  # 1.3 ohm: 11.7 %
    assert total.result == FAIL


def between(lower, upper):
    return st.floats(lower, upper)


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.tuples(
        between(0.1, 0.6),  # contact
        between(0.001, 0.05),  # connector pair
        between(0.002, 0.09),  # bond
        between(9.0, 11.0),  # winding at 20 degC
        between(-10.0, 45.0),  # its temperature
        between(1.6745e-3, 3.22e-3),  # 30 A blade, as library/fuses.csv has it
        between(0.05e-3, 1e-3),  # crimp splice
    )
)
def test_no_values_inside_the_box_lose_more(worst_in_a_box, values):
    contact, pair, bond, r20, air_c, blade, splice = values
    coil = r20 * (234.5 + air_c) / 254.5
    wires = 0.07 * 1.999e-3  # seven of 10 mm at their best: what is left out makes the loss less
    feed = blade + splice + 0.01 + contact + pair
    loop = feed + bond + wires + coil
    total, feed_worst, back_worst = worst_in_a_box
    assert 100 * (feed + bond) / loop <= total
    assert 100 * feed / loop <= feed_worst
    assert 100 * bond / loop <= back_worst


@pytest.fixture(scope="module")
def worst_in_a_box(on_bench):
    found = by_part(
        on_bench,
        contact='["0.1 ohm", "0.6 ohm"]',
        pair='["1 mohm", "50 mohm"]',
        bond='["2 mohm", "90 mohm"]',
        resistance='{ at_20degC = "10 ohm", tolerance = "10 %" }',
        coil_air='["-10 degC", "45 degC"]',
        engine_off='["11.9 V", "12.8 V"]',
        charging='["13.2 V", "14.9 V"]',
    )
    return [f.value for f in found]


def test_share_does_not_depend_on_the_supply(on_bench):
    low = by_part(on_bench, contact='"0.4 ohm"')
    wide = by_part(
        on_bench, contact='"0.4 ohm"', engine_off='["11 V", "12 V"]', charging='["13 V", "15 V"]'
    )
    for one, other in zip(low, wide, strict=True):
        # the wires of the bench warm by less than a thousandth more
        assert other.value == pytest.approx(one.value, rel=1e-4)


def test_both_pressed_is_the_worst_position_without_an_interlock(on_bench, feed_ohm):
    total = by_part(on_bench, interlock="none", fuse="0.3 ohm")[0]
    assert total.position == "key on, left + right"
    # fuse and feed up to the grip carry both coils, and so does the stud
    feed_shared = feed_ohm - 2 * WIRE + 0.3
    back_shared = 0.01 + WIRE
    own = 0.1 + 0.01 + 3 * WIRE + COIL
    shared = feed_shared + back_shared
    amps = 12.0 / (shared + own / 2)
    coil_v = amps / 2 * COIL
    assert total.value == pytest.approx(100 * (12.0 - coil_v) / 12.0, rel=1e-5)
    alone = by_part(on_bench, fuse="0.3 ohm")[0]
    assert alone.value < total.value


def test_present_load_of_the_tap_counts_and_unknown_is_not_judged(on_bench):
    loaded = by_part(on_bench, present_load='"10 A"')
    bare = by_part(on_bench)
    assert loaded[1].value > bare[1].value
    unknown = by_part(on_bench, present_load='"unknown"')
    assert unknown[0].result == NOT_JUDGED
    assert "measure its current" in unknown[0].reason
    assert unknown[2].result == PASS  # nothing of the tap lies in the return


def test_a_failure_stays_one_when_something_is_unknown(on_bench):
    total = by_part(on_bench, present_load='"unknown"', contact='"2 ohm"')[0]
    assert total.result == FAIL


def test_stand_in_for_the_key_contact_is_said(judge):
    found = judge(CHECK, upstream={"key_contact": None})
    total = found[f"VL: {QUANTITIES['total']}"]
    assert any("upstream.key_contact taken as" in c for c in total.conditions)


def test_workings_give_the_values(on_bench):
    for finding in by_part(on_bench):
        terms = {term.symbol: term.value for term in finding.working.terms}
        assert eval(finding.working.formula, {}, terms) == pytest.approx(finding.value)
        assert finding.working.probe.quantity == "voltage"


def test_behind_a_converter_its_output_is_the_supply(on_parts):
    # 12 V behind 0.01 ohm; button and feed 0.5 ohm, coil 10 ohm: 0.5 / 10.5 of what it gives
    parts = {"C": "converter", "SW": ("button", {"contact_resistance": '"0.5 ohm"'}), "V": "coil"}
    wires = ["PLUS C.in", "C.minus MINUS", "C.out SW.line", "SW.load V.1", "V.2 MINUS"]
    found = on_parts(CHECK, parts, wires, on_24_v="yes")
    total = found["V: voltage drop, feed and return together"]
    assert total.value == pytest.approx(100.0 * 0.5 / 10.5, rel=1e-2)
    assert (total.limit, total.result) == (10.0, PASS)
    assert "output of converter C" in total.working.terms[0].meaning
    feed = found["V: voltage drop of the feed"]
    assert feed.value == pytest.approx(100.0 * 0.5 / 10.5, rel=1e-2)
