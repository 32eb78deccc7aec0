"""The one place where scipy integrates: what no closed form follows, step by step.

Stiff systems (a filament beside a winding beside a capacitor) by LSODA, which changes between
Adams and backward-difference formulas. Source: Petzold, SIAM J. Sci. Stat. Comput. 4 (1983) 136.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from circuitcheck.errors import SolveError
from circuitcheck.record import record
from circuitcheck.transient.waveform import FloatArray

RELATIVE, ABSOLUTE = 1e-6, 1e-8
MOST_STEPS = 20_000
METHODS = ("LSODA", "Radau")
MOST_RATES = 30_000
"""Many times what any transient has taken; LSODA may stand still where a force sets in with a jump,
and Radau, slower, then goes on from the start."""
QUICK = 5e-5

Rates = Callable[[float, FloatArray], FloatArray]
Crossing = Callable[[float, FloatArray], float]


@record
class Integrated:
    """Times (n,), states (states, n), and when the first crossing stopped it, None if none did."""

    times_s: FloatArray
    states: FloatArray
    stopped_by: int | None


def integrated(
    rates: Rates,
    start: FloatArray,
    from_s: float,
    to_s: float,
    *,
    crossings: Sequence[Crossing] = (),
    longest_step_s: float = np.inf,
) -> Integrated:
    """Integrate dy/dt = rates(t, y) from `start` (states,), until one of `crossings` rises past 0.

    Steps are those that keep the error of each state within RELATIVE of it, or ABSOLUTE.
    Raises SolveError when the steps of both METHODS become too small.
    """
    from scipy.integrate import solve_ivp

    events = [_ending(crossing) for crossing in crossings]
    told = ""
    for method in METHODS:
        try:
            found = solve_ivp(
                _counted(rates),
                (from_s, to_s),
                start,
                method=method,
                rtol=RELATIVE,
                atol=ABSOLUTE,
                max_step=longest_step_s,
                events=events or None,
            )
        except _TooManyStepsError as error:
            told = str(error)
            continue
        told = found.message
        if found.status >= 0:
            break
    else:
        raise SolveError(f"a transient could not be followed: {told}")
    stopped = None
    if found.status == 1:
        stopped = next(k for k, when in enumerate(found.t_events) if when.size)
    return Integrated(found.t, found.y, stopped)


def integrated_at(
    rates: Callable[[float, FloatArray], Sequence[float]], start: FloatArray, times_s: FloatArray
) -> FloatArray:
    """Return the states (states, n) at times (n,) from `start` (states,) at the first of them.

    Steps are chosen inside, to QUICK of each state: what straight lines between the times leave
    is more. Raises SolveError when they become too small.
    """
    from scipy.integrate import odeint

    states, told = odeint(
        rates, start, times_s, rtol=QUICK, atol=QUICK * 1e-2, tfirst=True, full_output=True,
        mxstep=MOST_STEPS,
    )  # fmt: skip
    if told["message"] != "Integration successful.":
        raise SolveError(f"a transient could not be followed: {told['message']}")
    return np.asarray(states.T)


class _TooManyStepsError(Exception):
    """The steps of a method have become so small that it does not get on."""


def _counted(rates: Rates) -> Rates:
    """Return rates that end a method which asks for them without end."""
    asked = 0

    def counting(time_s: float, state: FloatArray) -> FloatArray:
        nonlocal asked
        asked += 1
        if asked > MOST_RATES:
            raise _TooManyStepsError(f"no end of steps at {time_s:.6g} s")
        return rates(time_s, state)

    return counting


def _ending(crossing: Crossing) -> Crossing:
    def event(time_s: float, state: FloatArray) -> float:
        return crossing(time_s, state)

    event.terminal = True  # type: ignore[attr-defined]
    event.direction = 1.0  # type: ignore[attr-defined]
    return event
