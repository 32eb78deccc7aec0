"""What a picture of a coil's release shows: current and voltage over time for each suppressor.

    i(t) = (I_0 + E / R') exp(-R' t / L) - E / R',  R' = R + r;  u = E + r i

Usual values, so that the curves differ by the suppressor alone.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from circuitcheck.checks.release.suppressor_choices import Choice, CoilChoices
from circuitcheck.model.harness import Harness
from circuitcheck.record import record
from circuitcheck.transient.switching_off.suppressor import Law
from circuitcheck.transient.switching_off.switching_off import WindingState
from circuitcheck.transient.waveform import FloatArray, Waveform
from circuitcheck.units import text

POINTS = 400
MOST_CURVES = 5
LEAST_SHARE = 0.02
"""Share of the first current up to which the slowest curve is drawn."""


@record
class ReleaseCurve:
    """One suppressor: `current` [A], and `voltage` [V] across the coil, reversed."""

    label: str
    is_fitted: bool
    current: Waveform
    voltage: Waveform


@record
class ReleasePlot:
    """One coil's release for each suppressor over `end_s`; `drop_out_a` None where not known."""

    heading: str
    coil: str
    curves: tuple[ReleaseCurve, ...]
    drop_out_a: float | None
    end_s: float
    footnote: str


def release_plot(harness: Harness, one: CoilChoices) -> ReleasePlot:
    """Return the picture of one coil; of suppressors of a kind the first is drawn."""
    state = one.coil.winding.usual
    chosen = list(_chosen(one))
    least_a = LEAST_SHARE * state.current_a
    end_s = max(state.decay_s(choice.release.suppressor.usual, least_a) for choice in chosen)
    return ReleasePlot(
        harness.circuit,
        one.coil.winding.branch,
        tuple(_curve(state, choice, end_s) for choice in chosen),
        state.drop_out_a,
        end_s,
        "Usual values: the coil as warm as its zone, nominal supply and tolerances. The bare coil "
        f"is left out: {text(one.coil.winding.energy_j, 'J')} at most burn in the contact, and its "
        "peak cannot be worked out. The contact sees the supply on top of the coil's voltage.",
    )


def _chosen(one: CoilChoices) -> Iterator[Choice]:
    """Yield what is fitted, then the first of each other kind."""
    kinds: set[str] = set()
    for choice in one.choices:
        kind = choice.release.suppressor.kind
        if len(kinds) < MOST_CURVES and (choice.is_fitted or kind not in kinds):
            kinds.add(kind)
            yield choice


def _curve(state: WindingState, choice: Choice, end_s: float) -> ReleaseCurve:
    law = choice.release.suppressor.usual
    times = np.linspace(0.0, end_s, POINTS)
    gone_s = _gone_s(state, law)
    if gone_s < end_s:
        times = np.unique(np.append(times, gone_s))
    amps = np.maximum(0.0, _current_a(state, law, times))
    volts = np.where(amps > 0.0, law.clamp_v + law.series_ohm * amps, 0.0)
    label = choice.name
    if state.drop_out_a is not None:
        label += f": {1e3 * state.decay_s(law, state.drop_out_a):.2g} ms"
    if choice.is_fitted:
        label += " (fitted)"
    return ReleaseCurve(
        label, choice.is_fitted, Waveform(label, "A", times, amps),
        Waveform(label, "V", times, volts),
    )  # fmt: skip


def _current_a(state: WindingState, law: Law, times_s: FloatArray) -> FloatArray:
    loop_ohm = state.ohm + law.series_ohm
    end_a = -law.clamp_v / loop_ohm
    decay = np.exp(-loop_ohm * times_s / state.inductance_h)
    return np.asarray((state.current_a - end_a) * decay + end_a)


def _gone_s(state: WindingState, law: Law) -> float:
    """Return when the current is nothing; infinite through a bare resistor [s]."""
    if law.clamp_v <= 0.0:
        return float("inf")
    loop_ohm = state.ohm + law.series_ohm
    return float(state.inductance_h / loop_ohm * np.log1p(state.current_a * loop_ohm / law.clamp_v))
