"""The command `circuitcheck`: finds the command asked for, turns errors into words and codes."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import NoReturn

import click

from circuitcheck.cli.exit_codes import INTERRUPTED, PIPE_CLOSED, WRONG_INPUT
from circuitcheck.cli.garbage import let_garbage_lie
from circuitcheck.errors import CircuitcheckError, InputError

COMMANDS = {
    "check": ("check", "check", "Judge a harness: fuses, wires, contacts and coils, worst case."),
    "prove-tap": (
        "prove_tap",
        "prove_tap",
        "Say whether a tap may be used, from readings at it.",
    ),
    "diagnose": ("diagnose", "diagnose", "Find why it does not click, reading by reading."),
    "new": ("new", "new", "Write a commented harness file to fill in."),
    "draw": ("draw", "draw", "Draw the wiring diagram, failing items marked."),
    "routing": (
        "routing",
        "routing",
        "Draw how the wires run: branches, lengths, connector faces.",
    ),
    "wire-list": (
        "wire_list",
        "wire_list",
        "Print the wire list: ends, gauge, colour, length to cut, seals.",
    ),
    "connector-table": (
        "connector_table",
        "connector_table",
        "Print every cavity with its wire, contact and seal.",
    ),
    "bill-of-materials": (
        "bill_of_materials",
        "bill_of_materials",
        "Print what has to be bought.",
    ),
    "wire-labels": ("wire_labels", "wire_labels", "Print labels to wrap round the wires."),
    "coil-card": ("coil_card", "coil_card", "Print the card that stays in the machine."),
    "papers": ("papers", "papers", "Write all these papers into a folder, PDF and CSV."),
    "switching": ("switching", "switching", "Show what each action does in its first moments."),
    "switch-off": (
        "switch_off",
        "switch_off",
        "Compare what can sit across each coil, and how long it then holds on.",
    ),
    "test-sheet": (
        "test_sheet",
        "test_sheet",
        "Print what to read where after building, and what it must be.",
    ),
    "fault-effects": (
        "fault_effects",
        "fault_effects",
        "Show what each single fault does, unasked movement first.",
    ),
    "netlist": ("netlist", "netlist", "Print a switch position's circuit for a simulator."),
    "schema": ("schema", "schema", "Print the JSON Schema of a harness file, for editors."),
    "library": ("library", "library", "Look up wires, fuses, contacts, coils ... with sources."),
}
"""Command to module in this folder, name in it, and the line in the list of commands."""


class CommandsOnDemand(click.Group):
    """A group that imports a command only when it is called, so that --help stays quick."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the commands in the order in which they are used."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import and return one command."""
        if cmd_name not in COMMANDS:
            return None
        module, name, _ = COMMANDS[cmd_name]
        command = getattr(import_module(f"circuitcheck.cli.{module}"), name)
        if not isinstance(command, click.Command):
            raise TypeError(f"circuitcheck.cli.{module}.{name} is no command")
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Return the command asked for; a misspelt one is answered with the nearest there is."""
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as error:
            from circuitcheck.read.forms.near_match import NearMatch

            hint = NearMatch().hint(args[0], COMMANDS) or f"Commands: {', '.join(COMMANDS)}."
            if os.path.exists(args[0]):
                hint = f"To judge that file: circuitcheck check {args[0]}"
            raise click.UsageError(f"{error.message} {hint}", ctx) from None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without importing them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, _, text) in COMMANDS.items()])


@click.group(
    cls=CommandsOnDemand,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.pass_context
def circuitcheck(ctx: click.Context) -> None:
    """Check an added solenoid circuit on a 12 V or 24 V machine before it is built.

    You add electrically worked valves, latches or clutches: describe the supply tap, fuse,
    switch, wires and coils in a file, and see what fails before you cut into the loom.

    Start with `circuitcheck new FILE`, fill the file in, then `circuitcheck check FILE`.

    Exit codes: 1 something fails; else 3 something could not be judged; else 0. 2 when the file
    or the command is wrong.
    """
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help(), err=True)
        ctx.exit(WRONG_INPUT)


def main(arguments: Sequence[str] | None = None) -> NoReturn:
    """Run the command and leave with its exit code; no traceback reaches the user."""
    let_garbage_lie()
    _make_output_safe()
    try:
        code = circuitcheck.main(
            args=list(arguments) if arguments is not None else None,
            prog_name="circuitcheck",
            standalone_mode=False,
        )
        sys.stdout.flush()
    except BrokenPipeError:
        # The reader of a pipe has gone; what it took is all it wanted.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(PIPE_CLOSED)
    except (click.exceptions.Abort, KeyboardInterrupt):
        _complain("stopped")
        sys.exit(INTERRUPTED)
    except click.ClickException as error:
        if isinstance(error, click.UsageError) and error.ctx is not None:
            _complain(error.ctx.get_usage())
        _complain(f"circuitcheck: {error.format_message()}")
        sys.exit(WRONG_INPUT)
    except InputError as error:
        for problem in error.problems:
            _complain(str(problem))
        sys.exit(WRONG_INPUT)
    except CircuitcheckError as error:
        _complain(f"circuitcheck: {error}")
        sys.exit(WRONG_INPUT)
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        _complain(f"circuitcheck: {where}{error.strerror or error}")
        sys.exit(WRONG_INPUT)
    except Exception as error:
        if sys.flags.dev_mode:
            raise
        _complain(
            f"circuitcheck: a fault in circuitcheck itself, not in your file: "
            f"{type(error).__name__}: {error}. `python -X dev -m circuitcheck` shows where."
        )
        sys.exit(WRONG_INPUT)
    sys.exit(code if isinstance(code, int) else 0)


def _complain(text: str) -> None:
    from circuitcheck.documents.plain_text import harmless

    click.echo("\n".join(harmless(line) for line in text.split("\n")), err=True)


def _make_output_safe() -> None:
    """Spell out what a terminal's character set lacks instead of breaking down on it."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")


if __name__ == "__main__":
    main()
