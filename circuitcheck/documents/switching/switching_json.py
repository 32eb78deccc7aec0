"""Figures of actions as JSON: SI units, `null` where a figure is not known or never reached."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any

from circuitcheck.transient.switching_on.switching_figures import FuseFigures, SwitchingFigures
from circuitcheck.transient.switching_on.switching_on import Switching
from circuitcheck.transient.switching_on.switching_report import SwitchingReport


def switching_json(report: SwitchingReport) -> str:
    """Return the report as JSON, actions in its order, each with both corners."""
    content = {
        "circuit": report.solution.harness.circuit,
        "actions": [
            {
                "name": one.action.name,
                "before": one.action.before.name,
                "after": one.action.after.name,
                "corners": [
                    _corner(one.strongest, one.strongest_figures),
                    _corner(one.weakest, one.weakest_figures),
                ],
            }
            for one in report.reports
        ],
        "nothing_changes": list(report.idle),
        "not_modelled": list(report.not_modelled),
        "switching_off": list(report.switching_off),
    }
    return json.dumps(content, indent=2, allow_nan=False) + "\n"


def _corner(switching: Switching, figures: SwitchingFigures) -> dict[str, Any]:
    return {
        "corner": switching.corner,
        "conditions": list(switching.conditions),
        "method": switching.method,
        "stages": [{"at_s": s.start_s, "what": s.what} for s in switching.stages[1:]],
        "lasts_s": figures.lasts_s,
        "fuses": [_fuse(fuse) for fuse in figures.fuses],
        "coils": [asdict(coil) for coil in figures.coils],
    }


def _fuse(fuse: FuseFigures) -> dict[str, Any]:
    found = {key: value for key, value in vars(fuse).items() if key != "row"}
    return found | {"rating_a": fuse.row.rating_a if fuse.row else None}
