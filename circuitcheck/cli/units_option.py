"""The option `--units`: metric or American units in all text; JSON and CSV stay SI."""

from __future__ import annotations

import click

SYSTEMS = ("metric", "american")

units_option = click.option(
    "--units",
    "system",
    type=click.Choice(SYSTEMS),
    default=SYSTEMS[0],
    envvar="CIRCUITCHECK_UNITS",
    help="Metric, or feet, inches, degrees Fahrenheit and AWG sizes; else as the environment "
    "variable CIRCUITCHECK_UNITS says, else metric. JSON and CSV stay metric.",
)
