"""Heat of a fuse: both edges against the listed points, and against networks drawn at random."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck.errors import LibraryError
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.library.library_tables import read_library
from circuitcheck.transient.heat.first_order import after_piece, along_pieces
from circuitcheck.transient.heat.fuse_fit import TIME_CONSTANTS_S, fuse_edge
from circuitcheck.transient.heat.fuse_heat import FAST, SLOW, FuseHeat, fuse_band_a, fuse_heat
from circuitcheck.transient.heat.pulses import pulse_i2t_a2s, spells_above
from circuitcheck.transient.waveform import Waveform

LIBRARY = read_library()
AT_25 = Band(25.0, 25.0, 25.0)
TEN_A = LIBRARY.fuse("blade", 10.0)
# ISO 8820-3, blade: percent, shortest and longest time; 110 % is carried for 100 h.
LISTED = [(135, 0.75, 1800.0), (160, 0.25, 50.0), (200, 0.15, 5.0), (350, 0.04, 0.5),
          (600, 0.02, 0.1)]  # fmt: skip


def heat(edge, rating=10.0, style="blade"):
    return fuse_heat(LIBRARY, LIBRARY.fuse(style, rating), AT_25, edge)


def flat(amps, time_s):
    """From nothing at once to a current, and on."""
    return Waveform("fuse", "A", np.array([0.0, 1e-7, time_s]), np.array([0.0, amps, amps]))


@pytest.mark.parametrize(("percent", "shortest_s", "longest_s"), LISTED)
def test_each_edge_opens_at_its_listed_time(percent, shortest_s, longest_s):
    current = flat(percent / 10.0, 1.2 * longest_s)
    assert heat(FAST).opens_at_s(current) == pytest.approx(shortest_s, rel=1e-3)
    slow = heat(SLOW).opens_at_s(flat(percent / 10.0 * 1.0005, 1.2 * longest_s))
    assert slow == pytest.approx(longest_s, rel=0.03)
    assert heat(SLOW).opens_at_s(flat(percent / 10.0, 0.999 * longest_s)) is None


def test_110_percent_is_carried_for_100_h_and_on():
    for pattern in (flat(11.0, 360_000.0), flat(10.9, 360_000.0)):
        assert heat(FAST).opens_at_s(pattern) is None
        assert heat(FAST).share(pattern) <= 1.0 + 1e-9


def test_current_that_opens_in_each_standard_time_lies_inside_the_band():
    """The figure to beat is 15 % (Seidenath and Maerz, 2025); the slow edge is met within 0.3 %."""
    for number, (percent, shortest_s, longest_s) in enumerate(LISTED):
        slow = fuse_edge(heat(SLOW).band, SLOW).heat(-np.expm1(-longest_s / TIME_CONSTANTS_S)).share
        assert 1.0 / np.sqrt(slow) == pytest.approx(percent / 100.0, rel=3e-3)
        assert 1.0 / np.sqrt(slow) >= percent / 100.0 * (1 - 1e-9)  # never earlier
        fast = (
            fuse_edge(heat(FAST).band, FAST).heat(-np.expm1(-shortest_s / TIME_CONSTANTS_S)).share
        )
        # No network opens before its shortest time at any point, nor after its longest.
        assert 1.0 / np.sqrt(fast) >= percent / 100.0 * (1 - 1e-9)
        after = [p for p, _, late in LISTED[: number + 1] if late >= shortest_s]
        assert 1.0 / np.sqrt(fast) <= 100 * max(after)


@given(
    seed=st.integers(0, 2**32 - 1),
    press_s=st.floats(0.01, 30.0),
    pause_s=st.floats(0.01, 100.0),
    amps=st.floats(5.0, 60.0),
)
@settings(max_examples=40, deadline=None)
def test_no_fuse_inside_the_band_is_earlier_or_later(seed, press_s, pause_s, amps):
    """A random Foster network, scaled until it just meets the list, lies between the edges."""
    random = np.random.default_rng(seed)
    chosen = random.choice(TIME_CONSTANTS_S.size, size=3, replace=False)
    shares = random.dirichlet(np.ones(3))
    press = flat(amps, press_s)
    for edge, scale in ((FAST, min), (SLOW, max)):
        fuse = heat(edge)
        limits = fuse_edge(fuse.band, edge)
        steps = -np.expm1(-limits.times_s[:, None] / TIME_CONSTANTS_S[chosen]) @ shares
        network = shares * scale(limits.heats / steps)
        # Followed press after press, by hand, until it no longer changes much.
        held = np.zeros(3)
        most = 0.0
        for _ in range(400):
            held = (amps / 10.0) ** 2 + (held - (amps / 10.0) ** 2) * np.exp(
                -press_s / TIME_CONSTANTS_S[chosen]
            )
            most = float(network @ held)
            held = held * np.exp(-pause_s / TIME_CONSTANTS_S[chosen])
        bound = fuse.repeated(press, press_s + pause_s).share
        if edge == FAST:
            assert most <= bound * (1 + 1e-6)
        elif 400 * (press_s + pause_s) > 10 * TIME_CONSTANTS_S[chosen].max():
            assert most >= bound * (1 - 1e-3)


def test_presses_add_up_until_one_opens_it():
    # 12.5 A, 0.7 s every 1.2 s: one press is held (135 % for 0.75 s), the third may not be.
    fast, press = heat(FAST), flat(12.5, 0.7)
    assert fast.opens_at_s(press) is None
    assert fast.opens_at_press(press, 1.2) == 3
    assert fast.opens_at_press(press, 60.0) is None
    assert fast.repeated(press, 1.2).share > 1.0 > fast.repeated(press, 60.0).share
    assert heat(SLOW).opens_at_press(press, 1.2) is None


def test_settled_state_is_that_of_many_presses_followed():
    fast, press, period_s = heat(FAST), flat(14.0, 0.3), 2.0
    pieces = [(0.0, 0.0)]
    for number in range(400):
        start = number * period_s
        pieces += [(start + 1e-7, 14.0), (start + 0.3, 14.0), (start + 0.3 + 1e-7, 0.0)]
        pieces.append((start + period_s, 0.0))
    times, values = np.array(pieces).T
    train = Waveform("fuse", "A", times, values)
    followed = fast.share(train)
    assert fast.repeated(press, period_s).share == pytest.approx(followed, rel=0.05)
    assert fast.repeated(press, period_s).share >= followed * (1 - 1e-6)


def test_warmer_air_opens_earlier_and_colder_later():
    air = Band(-40.0, 25.0, 85.0)
    assert fuse_heat(LIBRARY, TEN_A, air, FAST).worth_a == pytest.approx(9.0)
    assert fuse_heat(LIBRARY, TEN_A, air, SLOW).worth_a == pytest.approx(11.2)
    with pytest.raises(LibraryError, match="re-rate"):
        fuse_heat(LIBRARY, TEN_A, Band(0.0, 25.0, 130.0), FAST)


def test_band_in_amperes_over_opening_time():
    times = np.array([0.02, 0.15, 0.5, 5.0, 1800.0])
    fast, slow = fuse_band_a(times, TEN_A, heat(FAST).band, (9.0, 11.2))
    assert fast[[0, 1]] == pytest.approx([54.0, 18.0])
    assert slow[[2, 3, 4]] == pytest.approx([11.2 * 3.5, 22.4, 15.12])
    assert np.all(fast < slow)
    fast, slow = fuse_band_a(np.array([0.0002, 1e4, 1e6]), TEN_A, heat(FAST).band, (10.0, 10.0))
    assert (fast[0], slow[0]) == (pytest.approx(600.0), pytest.approx(60.0 * np.sqrt(500.0)))
    assert 11.0 < fast[1] < 13.5
    assert np.isnan([slow[1], fast[2], slow[2]]).all()


def test_glass_fuses_list_no_shortest_time():
    assert heat(FAST).fast_edge_known
    assert not heat(FAST, 10.0, "glass tube 6.3 x 32 mm").fast_edge_known


@pytest.mark.parametrize("style", ["glass tube 6.3 x 32 mm", "glass tube 5 x 20 mm"])
def test_ul_248_14_gates_of_glass_fuses(style):
    # UL 248-14: opens within 1 h at 135 % and within 2 min at 200 %.
    slow = heat(SLOW, 10.0, style)
    for percent, longest_s in ((135, 3600.0), (200, 120.0)):
        opened = slow.opens_at_s(flat(percent / 10.0 * 1.001, 1.2 * longest_s))
        assert opened == pytest.approx(longest_s, rel=0.03)


def test_pulse_i2t_by_hand():
    # Square: I^2 t; triangle: a third of it; half sine: half of it (pulse guide of fuse makers).
    square = Waveform("i", "A", np.array([0.0, 0.01]), np.array([30.0, 30.0]))
    assert heat(FAST).melting_i2t_share(square) == pytest.approx(9.0 / 115.0)
    triangle = Waveform("i", "A", np.array([0.0, 0.01]), np.array([30.0, 0.0]))
    assert pulse_i2t_a2s(triangle, 0.0) == pytest.approx(3.0)
    times = np.linspace(0.0, 0.01, 2001)
    sine = Waveform("i", "A", times, 30.0 * np.sin(np.pi * times / 0.01))
    assert pulse_i2t_a2s(sine, 0.0) == pytest.approx(4.5, rel=1e-5)
    # What flows below 110 % of a 10 A fuse adds nothing: of the triangle 11 A to 30 A count.
    counted = (30.0**3 - 11.0**3) / 3.0 / 3000.0
    assert heat(FAST).melting_i2t_share(triangle) == pytest.approx(counted / 115.0)
    assert replace(heat(FAST), row=LIBRARY.fuse("mini blade", 10.0)).melting_i2t_share(sine) is None


def test_spells_above_a_level():
    wave = Waveform("i", "A", np.array([0.0, 1.0, 2.0, 3.0]), np.array([0.0, 2.0, 0.0, -2.0]))
    assert spells_above(wave, 1.0) == [(0.5, 1.5), (2.5, 3.0)]
    assert spells_above(wave, 3.0) == []


def test_a_press_longer_than_its_period_is_refused():
    with pytest.raises(ValueError, match="period_s"):
        heat(FAST).repeated(flat(5.0, 2.0), 1.0)
    with pytest.raises(ValueError, match="edge"):
        FuseHeat(TEN_A, heat(FAST).band, 10.0, "middle")


@pytest.mark.parametrize("style", LIBRARY.fuse_opening_bands)
def test_both_edges_of_every_style_of_the_library(style):
    """ISO 8820-3, ISO 8820-5, SAE J554, UL 248-14: never later than listed, nor earlier."""
    rating = LIBRARY.fuse_ratings(style)[0]
    fast, slow = heat(FAST, rating, style), heat(SLOW, rating, style)
    band = fast.band
    for percent, shortest_s, longest_s in zip(band.percents, band.min_s, band.max_s, strict=True):
        amps = rating * percent / 100.0
        opened = fast.opens_at_s(flat(amps, 2.0 * shortest_s))
        assert opened is not None or percent == band.holds_percent
        assert opened is None or opened <= shortest_s * (1 + 1e-3)
        if np.isfinite(longest_s):
            assert slow.opens_at_s(flat(1.01 * amps, 1.2 * longest_s)) is not None
            # Strip fuses: 61 I_n2 s at 350 % after 60 at 200 %. No body heats so: a fuse that
            # meets the second opens sooner at the first than is listed.
            if not (style.startswith("strip") and percent == 350):
                assert slow.opens_at_s(flat(amps, 0.99 * longest_s)) is None


@given(
    st.lists(st.floats(-9.0, 9.0), min_size=3, max_size=8),
    st.lists(st.floats(1e-6, 30.0), min_size=7, max_size=7),
    st.floats(0.0, 4.0),
)
def test_pieces_together_as_one_after_the_other(
    amps: list[float], lasts_s: list[float], start: float
) -> None:
    times, tau = np.cumsum([0.0, *lasts_s])[: len(amps)], np.geomspace(1e-3, 1e3, 7)
    found = along_pieces(np.full(7, start), np.array(amps), times, tau)
    state = np.full(7, start)
    for k in range(len(amps) - 1):
        state = after_piece(state, amps[k], amps[k + 1], times[k + 1] - times[k], tau)
        np.testing.assert_allclose(found[k + 1], state, rtol=1e-6, atol=2e-6)
