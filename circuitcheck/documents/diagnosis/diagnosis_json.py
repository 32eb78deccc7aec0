"""A diagnosis as a record for other programs: SI units, names as in the harness file."""

from __future__ import annotations

import math
from typing import Any

from circuitcheck.diagnosis.diagnosis import Diagnosis
from circuitcheck.diagnosis.groups import Group
from circuitcheck.model.reading import Measurement


def diagnosis_json(diagnosis: Diagnosis) -> dict[str, Any]:
    """Return the ranked groups, the readings with what they say, and the reading to take next."""
    evidence = diagnosis.leading_evidence()
    wrong = diagnosis.belief.taken_wrongly
    asked = diagnosis.next_reading
    return {
        "verdict": verdict_word(diagnosis),
        "certainty": diagnosis.certainty,
        "causes": [_group(group) for group in diagnosis.groups],
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


def _group(group: Group) -> dict[str, Any]:
    return {
        "probability": group.probability,
        "members": [
            {
                "name": label,
                "probability": share,
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
    return value if math.isfinite(value) else "OL"
