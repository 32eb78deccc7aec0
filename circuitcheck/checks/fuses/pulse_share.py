"""Share of a fuse's melting I2t that each of many pulses may take.

    s(N): straight lines in logarithms between the listed numbers of pulses, which is custom
    N below the first number   the first share, which fewer pulses may take all the more
    N above the last           the last share times N_last / N: steeper than the list falls

Source: fuse-pulse-chart, pulses 10 s apart. Shared ground; it judges nothing itself.
"""

from __future__ import annotations

import math

from circuitcheck.checks.finding import Term, Working
from circuitcheck.model.library import Library

PREFIX = "inrush_i2t_share_"


def pulse_points(library: Library) -> list[tuple[float, float]]:
    """Return the listed numbers of pulses and their shares, fewest first."""
    keys = [key for key in library.limits if key.startswith(PREFIX)]
    return sorted((float(key.removeprefix(PREFIX)), library.limit(key).value) for key in keys)


def pulse_limit(library: Library, number: float) -> float:
    """Return the share that each of a number of pulses may take."""
    return pulse_limit_working(library, number).result.value


def not_listed(library: Library, number: float) -> float:
    """Return up to which share nothing is known: the last listed, for more pulses than listed."""
    last, share = pulse_points(library)[-1]
    return share if number > last else 0.0


def pulse_limit_working(library: Library, number: float) -> Working:
    """Return how the share of a number of pulses is worked out."""
    points = pulse_points(library)
    (first, first_share), (last, last_share) = points[0], points[-1]
    count = Term("N", number, "1", "presses in the service life")
    meaning = "share of the melting I2t that each may take"
    if number <= first:
        least = Term("s_1", first_share, "1", f"share for {first:g} pulses; fewer need no less")
        return Working("s_1", (least,), Term("s", first_share, "1", meaning))
    if number > last:
        beyond = (
            Term("s_n", last_share, "1", f"share for {last:g} pulses, the last listed"),
            Term("N_n", last, "1", "pulses, the last listed"),
            count,
        )
        return Working("s_n * N_n / N", beyond, Term("s", last_share * last / number, "1", meaning))
    right = next(n for n, (pulses, _) in enumerate(points) if pulses >= number)
    (n_1, s_1), (n_2, s_2) = points[right - 1], points[right]
    share = s_1 * (s_2 / s_1) ** (math.log(number / n_1) / math.log(n_2 / n_1))
    terms = (
        Term("s_1", s_1, "1", f"share for {n_1:g} pulses"),
        Term("s_2", s_2, "1", f"share for {n_2:g} pulses"),
        count,
        Term("N_1", n_1, "1", "listed number below"),
        Term("N_2", n_2, "1", "listed number above"),
    )
    formula = "s_1 * (s_2 / s_1) ** (ln(N / N_1) / ln(N_2 / N_1))"
    return Working(formula, terms, Term("s", share, "1", meaning))
