"""Drop of single elements: by hand on the bench, wires against the sizing chart of ABYC E-11."""

import pytest

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS
from circuitcheck.checks.wires.element_drop import CHECK

# 30 A blade 1.6745 mohm, crimp splice 0.05 mohm, a contact 1 uohm, seven times 10 mm of 8 AWG at
# 1.999 mohm/m: lower ends of the library's rows
REST = 1.6745e-3 + 0.05e-3 + 1e-6 + 7 * 0.01 * 1.999e-3


def element(findings, quantity):
    return next(f for f in findings if f.quantity == quantity)


@pytest.mark.parametrize(("ohm", "result"), [(0.255, PASS), (0.262, FAIL)])
def test_switch_contact_at_300_mv(on_bench, ohm, result):
    # 0.3 V: machine service manual quoting SAE practice
    found = element(
        on_bench(CHECK, "GRIP", contact=f'"{ohm} ohm"'), "voltage drop of switch contact GRIP/left"
    )
    # coil, contact, 0.01 ohm each of fuse, pair and bond, the rest of the feed at its lower end
    loop = 10.0 + ohm + 0.01 * 3 + REST
    assert found.value == pytest.approx(12.0 / loop * ohm, rel=1e-5)
    assert found.limit == 0.3
    assert found.result == result


@pytest.mark.parametrize(("ohm", "result"), [(0.083, PASS), (0.087, FAIL)])
@pytest.mark.parametrize(
    ("key", "subject", "quantity"),
    [
        ("pair", "X1", "voltage drop of contact X1/1"),
        ("bond", "GS1", "voltage drop of bond GS1"),
    ],
)
def test_connection_at_100_mv(on_bench, key, subject, quantity, ohm, result):
    changes = {"contact": '"0 ohm"', key: f'"{ohm} ohm"'}
    found = element(on_bench(CHECK, subject, **changes), quantity)
    # coil, element, 0.01 ohm each of fuse and of pair or bond, contact of no resistance, the rest
    loop = 10.0 + ohm + 0.01 * 2 + 1e-6 + REST
    assert found.value == pytest.approx(12.0 / loop * ohm, rel=1e-5)
    assert found.result == result


def test_fuse_may_lose_its_own_drop_and_two_connections(on_bench, library):
    # library/fuses.csv gives the drop at rated current; two clips of 0.1 V each
    found = element(on_bench(CHECK, "F1"), "voltage drop of fuse F1")
    assert found.limit == pytest.approx(library.fuse("blade", 10.0).drop_at_rated_v + 0.2)
    assert found.result == PASS
    bad = element(on_bench(CHECK, "F1", fuse="0.5 ohm"), "voltage drop of fuse F1")
    assert bad.result == FAIL


# ABYC E-11, table IX, 3 % at 12 V: (A, ft out and back, printed size, next smaller size)
CHART = [
    (5, 10, "18", "20"),
    (5, 20, "14", "16"),
    (5, 30, "12", "14"),
    (5, 50, "10", "12"),
    (5, 70, "8", "10"),
    (10, 15, "12", "14"),
    (10, 25, "10", "12"),
    (10, 40, "8", "10"),
    (15, 20, "10", "12"),
    (15, 30, "8", "10"),
]


@pytest.mark.parametrize(("amps", "feet", "printed", "smaller"), CHART)
def test_wire_drops_as_the_sizing_chart_has_it(bench, on_bench, amps, feet, printed, smaller):
    coil = (12.0 - 0.36) / amps  # the current flows when the wire just loses 3 %
    nominal, upper = {}, {}
    for size in (printed, smaller):
        changes = {
            "resistance": f'{{ at_20degC = "{coil:.4f} ohm", tolerance = "0 %" }}',
            "fuse": "0.0001 ohm",
            "contact": '"0 ohm"',
            "pair": '"0 ohm"',
            "bond": '"0 ohm"',
            "W3_gauge": f'"{size} AWG"',
            "W3_length": f"{feet} ft",
        }
        found = on_bench(CHECK, "W3", **changes)[0]
        solved = bench(**changes).solution.of(found.position, found.coil_state)
        nominal[size], upper[size] = solved.across_v("W3").nominal, found.value
    # the chart knows no tolerance: its sizes hold for the nominal conductor
    assert nominal[printed] <= 0.36 < nominal[smaller] < upper[smaller]
    # the least conductor of the printed size, warmed by its current, loses up to 8 % more than that
    assert upper[printed] <= 1.08 * 0.36


def test_wire_at_200_mv(on_bench, library):
    # 18 AWG, upper end 24.05 mohm/m in library/conductors.csv: 200 mV at 1.14 A is 175 mohm, 7.3 m
    short = on_bench(CHECK, "W3", W3_gauge='"18 AWG"', W3_length="7.1 m")[0]
    long = on_bench(CHECK, "W3", W3_gauge='"18 AWG"', W3_length="7.6 m")[0]
    assert (short.result, long.result) == (PASS, FAIL)
    ohm = 7.1 * library.conductor("18 AWG").resistance_ohm_per_m.upper
    amps = 12.0 / (10.0 + ohm + 0.1344)
    assert short.value == pytest.approx(amps * ohm, rel=2e-3)  # own heating is left out by hand


def test_nominal_passes_and_worst_case_fails(on_bench, bench):
    changes = {"contact": '["0.01 ohm", "0.4 ohm"]'}
    found = element(on_bench(CHECK, "GRIP", **changes), "voltage drop of switch contact GRIP/left")
    solved = bench(**changes).solution.of(found.position, found.coil_state)
    assert solved.across_v("GRIP/left").nominal < 0.3 < found.value
    assert found.result == FAIL


def test_a_stand_in_is_not_failed(judge):
    good = judge(CHECK)
    quantity = "TAP: voltage drop of key contact TAP/key contact"
    assert good[quantity].result == PASS
    unsaid = judge(CHECK, upstream={"key_contact": None})[quantity]
    assert unsaid.value > unsaid.limit
    assert unsaid.result == NOT_JUDGED
    assert "upstream.key_contact" in unsaid.reason
    # what is known of the same tap is judged all the same
    wire = "TAP: voltage drop of upstream wire TAP/wire"
    long = judge(CHECK, upstream={"key_contact": None, "length": '"9 m"', "gauge": '"18 AWG"'})
    assert long[wire].result == FAIL


def test_unknown_gauge_is_not_judged_where_its_stand_in_fails(on_bench):
    found = on_bench(CHECK, "W3", W3_gauge='"unknown"', W3_length="5 m")[0]
    assert found.result == NOT_JUDGED
    assert "24 AWG" in found.reason


def test_every_element_is_there_once_and_workings_give_the_values(bench):
    findings = CHECK.judge(bench())
    names = [(f.subject, f.quantity) for f in findings]
    assert len(names) == len(set(names))
    assert {f"W{n}" for n in range(1, 10)} < {f.subject for f in findings}
    for found in findings:
        terms = {term.symbol: term.value for term in found.working.terms}
        assert eval(found.working.formula, {}, terms) == pytest.approx(found.value, abs=1e-12)
