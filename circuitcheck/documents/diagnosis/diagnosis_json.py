"""A diagnosis as a record for other programs: SI units, names as in the harness file."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from circuitcheck.diagnosis.causes import own_prior_rows
from circuitcheck.diagnosis.diagnosis import Diagnosis
from circuitcheck.diagnosis.groups import Group
from circuitcheck.model.reading import Measurement

DECIMALS = 7
"""A tenth of a microvolt, microampere or microohm."""


def diagnosis_json(diagnosis: Diagnosis) -> dict[str, Any]:
    """Return the ranked groups, the readings with what they say, and the reading to take next."""
    suspects = diagnosis.suspects
    used, rest = own_prior_rows(suspects.causes, suspects.harness, suspects.library)
    evidence = diagnosis.leading_evidence()
    wrong = diagnosis.belief.taken_wrongly
    asked = diagnosis.next_reading
    return {
        "verdict": verdict_word(diagnosis),
        "certainty": diagnosis.certainty,
        "causes": [_group(group, diagnosis.before) for group in diagnosis.groups],
        "own_prior_rows": {"used": list(used), "of_no_fault_here": list(rest)},
        "none_of_these": diagnosis.belief.none,
        "readings": [
            {
                **_measurement(reading.measurement),
                "value": _number(reading.value),
                "speaks_for_leading_cause_bit": float(bits),
                "taken_wrongly": float(share),
                "contradicts_the_rest": number in diagnosis.contradictions,
            }
            for number, (reading, bits, share) in enumerate(
                zip(diagnosis.readings, evidence, wrong, strict=True)
            )
        ],
        "next_reading": None
        if asked is None
        else {
            **_measurement(asked.measurement),
            "information_bit": asked.information_bit,
            "effort_s": asked.effort_s,
            "confirms": asked.confirms,
            "results": [
                {
                    "lower": _number(meaning.lower),
                    "upper": _number(meaning.upper),
                    "probability": meaning.probability,
                    "causes": {left.name: left.probability for left in meaning.groups},
                }
                for meaning in asked.meanings
            ],
        },
    }


def verdict_word(diagnosis: Diagnosis) -> str:
    """Return `found`, `nothing wrong`, `nothing fits`, or `not certain`."""
    if diagnosis.nothing_fits:
        return "nothing fits"
    if not diagnosis.is_certain:
        return "not certain"
    return "nothing wrong" if diagnosis.groups[0].is_sound else "found"


def _group(group: Group, before: Mapping[str, float]) -> dict[str, Any]:
    return {
        "probability": group.probability,
        "members": [
            {
                "name": label,
                "probability": share,
                "before_any_reading": before[label],
                "faults": [
                    {
                        "name": fault.cause,
                        "subject": fault.subject,
                        "mode": fault.mode,
                        "place": fault.place,
                        "repair": fault.repair,
                        "proof": fault.proof,
                    }
                    for fault in cause.faults
                ],
            }
            for label, share, cause in zip(group.labels, group.shares, group.causes, strict=True)
        ],
    }


def _measurement(measurement: Measurement) -> dict[str, Any]:
    situation = measurement.situation
    return {
        "instrument": measurement.instrument,
        "plus": measurement.plus,
        "minus": measurement.minus or None,
        "position": situation.position,
        "engine": situation.engine,
        "supply_v": situation.supply_v,
        "unplugged": sorted(situation.unplugged),
    }


def _number(value: float) -> float | str:
    """Return a value to the last digit that any meter could show; `OL` where there is no path."""
    return round(value, DECIMALS) + 0.0 if math.isfinite(value) else "OL"
