"""`circuitcheck diagnose FILE`: why it does not click; readings from a file or asked one by one."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitcheck.cli.exit_codes import NOTHING_FAILS, SOMETHING_FAILS, SOMETHING_NOT_JUDGED
from circuitcheck.cli.library_option import library_option, library_with
from circuitcheck.cli.output import colour_wanted, terminal_width, write_whole
from circuitcheck.errors import CircuitError

if TYPE_CHECKING:
    from circuitcheck.diagnosis.diagnosis import Diagnosis
    from circuitcheck.diagnosis.opening import Workshop
    from circuitcheck.model.reading import Measurement, Reading

EXIT_CODES = {
    "found": SOMETHING_FAILS,
    "nothing wrong": NOTHING_FAILS,
    "not certain": SOMETHING_NOT_JUDGED,
    "nothing fits": SOMETHING_NOT_JUDGED,
}

OPEN = ("not certain", "nothing fits")


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.argument("readings", required=False, type=click.Path(path_type=Path))
@click.option(
    "--complaint",
    "complaints",
    multiple=True,
    metavar='"VL does not click"',
    help="What is wrong, and what works: once for each part.",
)
@click.option("--ask", is_flag=True, help="Ask for readings one by one.")
@click.option(
    "--certainty",
    default=0.95,
    show_default=True,
    type=click.FloatRange(0.5, 0.999),
    help="Probability at which a cause counts as found.",
)
@click.option(
    "--record",
    metavar="PATH",
    type=click.Path(path_type=Path),
    help="Write all readings to a readings file, for the next person. READINGS goes on from it.",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
@library_option
def diagnose(
    file: Path,
    readings: Path | None,
    *,
    complaints: tuple[str, ...],
    ask: bool,
    certainty: float,
    record: Path | None,
    as_json: bool,
    rows: Path | None,
) -> int:
    """Find the fault in the machine that the harness in FILE describes.

    READINGS is a file of what was measured; its first observations are the complaint, unless
    --complaint says it. Causes are ranked, and the reading worth its effort most is named, with
    what each result would mean. With --ask it is asked for, until the cause is certain.
    How likely each fault is beforehand is in the library: circuitcheck library fault_priors; a
    file of your own rows changes it.

    Exit codes: 1 a cause is found; 3 not certain yet, or nothing fits; 0 nothing is wrong; 2 the
    input is wrong.
    """
    from circuitcheck.diagnosis.opening import Workshop
    from circuitcheck.documents.cautions import stops
    from circuitcheck.documents.diagnosis.diagnosis_json import diagnosis_json, verdict_word
    from circuitcheck.documents.diagnosis.diagnosis_text import diagnosis_text
    from circuitcheck.read.harness_file import read_harness

    if ask and as_json:
        raise click.UsageError("--json belongs to readings from a file, --ask to the terminal")
    if record is not None:
        _refuse_another_record(record, readings)
    library = library_with(rows)
    harness = read_harness(file, library)
    stopped = stops(harness)
    if stopped:
        for finding in stopped:
            click.echo(f"{finding.subject} {finding.quantity}: {finding.fix}")
        return SOMETHING_FAILS
    workshop = Workshop(harness, library)
    taken = _file_readings(readings, workshop)
    said = _complaints(complaints, workshop)
    if ask:
        from circuitcheck.cli.diagnose_session import Session

        session = Session(workshop, certainty, terminal_width(), is_kept=record is not None)
        diagnosis = session.run(said, taken)
    else:
        diagnosis = _opened(workshop, said, taken, certainty)
        if as_json:
            click.echo(json.dumps(diagnosis_json(diagnosis), indent=2, allow_nan=False))
        else:
            text = diagnosis_text(diagnosis, terminal_width(), colour=colour_wanted(False))
            click.echo(text, nl=False)
    if record is not None:
        _write_record(record, diagnosis, file)
    if ask and (session.input_ended or verdict_word(diagnosis) in OPEN):
        session.say_how_to_go_on(file, record)
    elif ask and record is None:
        session.say_not_kept()
    return EXIT_CODES[verdict_word(diagnosis)]


def _refuse_another_record(record: Path, readings: Path | None) -> None:
    """Refuse to write over a record whose readings are not in this diagnosis."""
    if not record.exists() or (readings is not None and readings.exists()
                               and record.samefile(readings)):  # fmt: skip
        return
    raise click.UsageError(
        f"--record {record}: there is such a file already. Name another, or give it as READINGS "
        "too: then its readings count and stay"
    )


def _file_readings(path: Path | None, workshop: Workshop) -> list[Reading]:
    if path is None:
        return []
    from circuitcheck.read.readings.readings_file import ReadingRules, read_whole_readings

    full = workshop.full
    rules = ReadingRules(full.harness, full.library, tuple(full.positions))
    return list(read_whole_readings(path, rules))


def _complaints(words: tuple[str, ...], workshop: Workshop) -> list[Reading]:
    from circuitcheck.diagnosis.complaint import ComplaintReader

    full = workshop.full
    reader = ComplaintReader(full.harness, workshop.candidates.places, full.positions)
    said: dict[Measurement, tuple[float, str]] = {}
    found = []
    for one in words:
        for reading in reader.read(one):
            value, before = said.setdefault(reading.measurement, (reading.value, one))
            if value != reading.value:
                raise CircuitError(
                    f'--complaint "{one}" and "{before}" contradict each other; what works only '
                    "at times does not work"
                )
            found.append(reading)
    return found


def _opened(
    workshop: Workshop, complaints: list[Reading], taken: list[Reading], certainty: float
) -> Diagnosis:
    """Return the diagnosis after all readings; the first observations stand in for a complaint."""
    from circuitcheck.diagnosis.opening import after_readings, split_complaint

    if not complaints:
        complaints, taken = split_complaint(taken, workshop.full.library)
    return after_readings(workshop.open(complaints, certainty=certainty), taken)


def _write_record(path: Path, diagnosis: Diagnosis, file: Path) -> None:
    from circuitcheck.documents.diagnosis.readings_record import readings_record

    suspects = diagnosis.suspects
    text = readings_record(
        diagnosis.readings, suspects.library, harness=file.name,
        heading=f"Readings on: {suspects.harness.circuit}",
    )  # fmt: skip
    write_whole(path, lambda beside: _put(beside, text))


def _put(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8")
