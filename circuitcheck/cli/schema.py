"""`circuitcheck schema`: the JSON Schema of the harness file, for editors."""

from __future__ import annotations

from pathlib import Path

import click

from circuitcheck.cli.library_option import library_option, library_with


@click.command()
@library_option
def schema(*, rows: Path | None) -> None:
    """Print the JSON Schema of a harness file, by which editors complete and check it."""
    import json

    from circuitcheck.read.schema import harness_schema

    click.echo(json.dumps(harness_schema(library_with(rows)), indent=2))
