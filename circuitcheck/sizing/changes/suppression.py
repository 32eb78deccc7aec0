"""A diode, or a diode and Zener, across a coil: the right way round and rated for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Finding
from circuitcheck.model.solenoid_coil import SolenoidCoil, Suppression
from circuitcheck.sizing.change import Change, Ladder, with_part
from circuitcheck.sizing.on_the_way import ways
from circuitcheck.transient.switching_off.suppressor import PAIR

DIODE_REVERSE_V = 400.0
DIODES_FORWARD_A = (1.0, 3.0, 6.0)
"""Ratings of general-purpose rectifier diodes; common practice, no source."""


def ladders(case: Case, finding: Finding) -> Iterator[Ladder]:
    """Yield the coil's own diode turned round, then a new diode of rising current."""
    coil = case.harness.parts.get(finding.subject)
    if not isinstance(coil, SolenoidCoil):
        return
    fed = next((at.fed.rpartition(".")[2] for at in ways(case, replace(finding, position=""))), "")
    if not fed:
        return
    own = coil.suppression
    if own.kind.startswith("diode") and own.cathode in coil.terminals and own.cathode != fed:
        words = f"the diode of {coil.name} turned round: its ring to terminal {fed}"
        turned = replace(coil, suppression=replace(own, cathode=fed))
        yield Ladder(words, (Change(words, with_part(case.harness, turned)),))
    steps = tuple(
        Change(
            f"a diode of {DIODE_REVERSE_V:g} V, {forward_a:g} A across {coil.name}, its ring to "
            f"terminal {fed}",
            with_part(
                case.harness,
                replace(
                    coil,
                    suppression=Suppression(
                        "diode", fed, reverse_v=DIODE_REVERSE_V, forward_a=forward_a
                    ),
                ),
            ),
        )
        for forward_a in DIODES_FORWARD_A
    )
    yield Ladder(f"a diode across {coil.name}", steps)


def quicker(case: Case, finding: Finding) -> Iterator[Ladder]:
    """Yield a diode and Zener in place of what lets the coil's current linger."""
    coil = case.harness.parts.get(finding.subject)
    if not isinstance(coil, SolenoidCoil):
        return
    fed = next((at.fed.rpartition(".")[2] for at in ways(case, replace(finding, position=""))), "")
    system_v = case.harness.system_v
    rows = [
        r for r in case.library.suppressors.values() if (r.kind, r.system_v) == (PAIR, system_v)
    ]
    for row in rows if fed else ():
        steps = tuple(
            Change(
                f"{row.name}, with a diode of {DIODE_REVERSE_V:g} V, {forward_a:g} A, across "
                f"{coil.name} instead of its {coil.suppression.kind}, ring to terminal {fed}",
                with_part(
                    case.harness,
                    replace(
                        coil,
                        suppression=Suppression(
                            PAIR, fed, reverse_v=DIODE_REVERSE_V, forward_a=forward_a,
                            power_w=row.power_w, standoff_v=row.standoff_v,
                            breakdown_v=row.breakdown_v, clamp_v=row.clamp_v, clamp_a=row.clamp_a,
                        ),
                    ),
                ),
            )
            for forward_a in DIODES_FORWARD_A
        )  # fmt: skip
        yield Ladder(f"a diode and Zener across {coil.name}", steps)
