"""Battery connected the wrong way round, with everything on: what conducts, and what goes first.

Finds       a bare diode across a coil, which is then a short, and no fuse that is sure to open; an
            LED or TVS that the reversed supply breaks down
Formula     I = (V - V_f) / (R_battery + R_way);  t_fuse(I) <= 60 s, and told beside it what the
            diode stands: I_s^2 t_s / (2 I^2), I_s its surge of one half sine of 8.3 ms
            LED, TVS  V <= what they block
Source      iso-16750-2 (14 V and 28 V for 60 s), iso-15003 (the same for farm machines),
            iso-8820-3 (fuse), rectifier-diode-types (surge), led-forward-voltage
Worst case  for the fuse an empty, aged battery through a way at its hottest and most aged, its slow
            edge in the coldest air; for the diode the strongest current
Not covered what the machine's own electronics and alternator take of it; a button let go at once
Result      one finding per coil with a bare diode, per LED, TVS and converter that is worked
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding, Term, Working, judged
from circuitcheck.checks.release.released_coil import released_coils
from circuitcheck.checks.supply.exposed_part import Exposed, clamps_across, event_finding, worked
from circuitcheck.checks.supply.reversed_diode import NoFuse, ReversedDiode, reversed_diode
from circuitcheck.model.converter import Converter
from circuitcheck.model.indicator import LedIndicator
from circuitcheck.transient.supply_events import SupplyEvent, reversed_battery

NAME = "reversed battery"
WHY = "A battery put in the wrong way round drives current the wrong way through all that is on."
NEVER = "no fuse on its way is sure to open: diode and wires burn until something parts."
ASK_LED = "its reverse voltage is not given: read it in its data sheet"
ASK_CONVERTER = "whether its input stands a reversed supply is not known: read its data sheet"
ASK_FUSE = "the machine's fuse ahead of it is not known: read the number on it"
SOURCES = ("iso-15003", "iso-8820-3", "rectifier-diode-types", "led-forward-voltage")


def judge(case: Case) -> list[Finding]:
    """Return the findings of every part that a reversed battery reaches."""
    event = reversed_battery(case.library, case.harness.system_v)
    findings = []
    for coil in released_coils(case):
        if any(one.kind == "diode" for one in coil.suppressors):
            found = reversed_diode(case, coil, event)
            if found is not None:
                findings.append(_short(event, coil.winding.owner, found))
    others = (*_blocking(case, event), *_converters(case, event))
    return findings + [event_finding(NAME, event, one, WHY) for one in others]


def _short(event: SupplyEvent, owner: str, found: ReversedDiode | NoFuse) -> Finding:
    if isinstance(found, NoFuse):
        result = NOT_JUDGED if found.is_unknown else FAIL
        reason = ASK_FUSE if found.is_unknown else f"Its diode is then a short, and {NEVER}"
        return Finding(NAME, owner, result, "fuse ahead of the diode", reason, found.position,
                       sources=(event.source, *SOURCES))  # fmt: skip
    if found.clearing is None:
        quantity, value, limit, unit = "weakest current", found.weakest, found.opens_a, "A"
        working, reason, result = found.weakest, f"Its diode is then a short, and {NEVER}", FAIL
    else:
        quantity, value, unit = f"time until {found.fuse} opens", found.clearing, "s"
        limit, working, reason = event.time_s, found.clearing, found.first_to_go
        result = judged(value.result.value, limit)
    return Finding(
        NAME, owner, result, f"{quantity}, through the diode across the coil", reason,
        found.position, value=value.result.value, limit=limit, unit=unit,
        at_most=found.clearing is not None, conditions=found.words,
        sources=(event.source, *SOURCES), working=working,
        caution=reason if result == PASS and found.diode_first else "",
    )  # fmt: skip


def _blocking(case: Case, event: SupplyEvent) -> Iterator[Exposed]:
    supply = Term("V_r", event.supply_v, "V", "reversed supply, all of it at the part")
    working = Working("V_r", (supply,), supply)
    for part in worked(case, LedIndicator):
        if isinstance(part, LedIndicator) and part.plus is not None:
            quantity = f"reverse voltage of the LED on a {event.name}"
            yield Exposed(
                part.name, quantity, working, part.reverse_v, ASK_LED, ("led-forward-voltage",)
            )
    for coil, one in clamps_across(case):
        quantity = f"voltage of the {one.name} on a {event.name}"
        yield Exposed(coil.winding.owner, quantity, working, one.blocks_v)


def _converters(case: Case, event: SupplyEvent) -> Iterator[Exposed]:
    supply = Term("V_r", event.supply_v, "V", "reversed supply")
    for part in case.harness.of_kind(Converter):
        quantity = f"input of the converter on a {event.name}"
        yield Exposed(
            part.name, quantity, Working("V_r", (supply,), supply), None, ASK_CONVERTER
        )  # fmt: skip


CHECK = Check(
    name=NAME,
    judges="bare diodes and their fuse, LEDs, TVS and converters on a reversed battery",
    why=WHY,
    does_not_cover="the machine's own electronics and alternator; a button let go at once",
    sources=("iso-16750-2", *SOURCES),
    judge=judge,
)
