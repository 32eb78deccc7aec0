"""The comparison of suppressors for programs: SI units, one object per coil."""

from __future__ import annotations

import json
from collections.abc import Sequence

from circuitcheck.checks.release.released_together import Together
from circuitcheck.checks.release.suppressor_choices import Choice, CoilChoices


def switch_off_json(every: Sequence[CoilChoices], together: Sequence[Together]) -> str:
    """Return the comparison as JSON, ending in one line end."""
    said = {
        "coils": [_coil(one) for one in every],
        "released_together": [_several(one) for one in together],
    }
    return json.dumps(said, indent=2) + "\n"


def _several(one: Together) -> dict[str, object]:
    return {
        "position": one.position,
        "by": "key" if one.by_key else "button",
        "beyond_the_model": one.beyond or None,
        "coils": [
            {
                "coil": coil.branch,
                "own_suppressor": coil.has_suppressor,
                "release_s": coil.lets_go_s,
                "coil_peak_v": coil.peak_v,
            }
            for coil in one.coils
        ],
    }


def _coil(one: CoilChoices) -> dict[str, object]:
    winding = one.coil.winding
    return {
        "coil": winding.branch,
        "part": winding.owner,
        "position": winding.position.position.name,
        "fitted": one.coil.suppressed.words,
        "wrong_way_round": bool(one.wrong_way),
        "current_a": None if one.wrong_way else winding.slowest.current_a,
        "energy_j": None if one.wrong_way else winding.energy_j,
        "inductance_known": winding.inductance_known,
        "contact_side": winding.side,
        "supply_v": winding.supply_v,
        "relays_before": list(one.lag.relays),
        "relays_before_s": one.lag.time_s,
        "choices": [_choice(choice) for choice in one.choices],
        "advice": one.advice,
    }


def _choice(choice: Choice) -> dict[str, object]:
    release = choice.release
    times = release.release_s
    return {
        "name": choice.name,
        "kind": release.suppressor.kind,
        "fitted": choice.is_fitted,
        "release_s": None
        if times is None
        else {"min": times.lower, "nominal": times.nominal, "max": times.upper},
        "times_diode": choice.times_diode,
        "coil_peak_v": release.coil_peak_v,
        "contact_peak_v": release.contact_peak_v,
        "energy_j": release.absorbed_j,
        "average_power_w": choice.burnt.average_w,
        "power_while_on_w": choice.burnt.while_on_w,
        "needs": choice.needs,
        "against": list(choice.against),
        "not_given": list(choice.not_given),
        "peak_drawn_on_from_a": choice.drawn_on_from_a,
        "notes": list(choice.notes),
    }
