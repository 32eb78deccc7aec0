"""Onderdonk's equation for the melting of bare copper, a second way to the adiabatic balance."""

import math

from circuitcheck.formulas.adiabatic import temperature_after_c, withstand_time_s

SOURCE = "fuse-wire-equations"
MELTING_C = 1083.0
CMIL_MM2 = 0.0254**2 * math.pi / 4.0


def onderdonk_a(cmil, seconds, ambient_c):
    share = math.log10((MELTING_C - ambient_c) / (234.0 + ambient_c) + 1.0)
    return cmil * math.sqrt(share / (33.0 * seconds))


def comparisons(library):
    why = (0.6, "constants 33 and 234 there, 226 and 234.5 here")
    rows = []
    for cmil, seconds in ((404.0, 1.0), (2581.0, 5.0), (4110.0, 2.26), (10383.0, 0.5)):
        current = onderdonk_a(cmil, seconds, 25.0)
        ours = withstand_time_s(cmil * CMIL_MM2, current, 25.0, MELTING_C)
        rows.append(("formula adiabatic", f"{cmil:g} cmil melts, s", f"{seconds:g}", ours, *why))
    return rows


def test_printed_value(comparison):
    assert comparison.is_within


def test_printed_page_example_with_the_usual_sign():
    # 14 AWG of 4110 cmil at 400 A: 2.26 s with 234 + 25; the page itself has the sign reversed
    reached = temperature_after_c(4110.0 * CMIL_MM2, 400.0, 2.26, 25.0)
    assert abs(reached - MELTING_C) < 15.0
