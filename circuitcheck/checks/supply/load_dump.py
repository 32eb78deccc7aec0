"""Load dump: the battery cable comes off while the alternator charges.

Finds       a TVS that the surge burns; an LED or lamp that it breaks; a converter that it exceeds
Formula     TVS   (E + r I) I t <= rated pulse,  I = (V - E) / (R_i + r) where V > E
            LED   (V - V_f) / R_s <= what it stands;  lamp t (V / V_0)^12 <= its life
            coil  V^2 / R_0 R_th t / tau warmer;  converter V <= its input range
Source      iso-16750-2 (test B, clamped: 35 V and 58 V; test A where the file says that the
            alternator does not clamp: 101 V and 202 V; 0.4 s; source of 0.5 and 1 ohm), iso-15003
            (the same for farm machines), tvs-types (pulse)
Worst case  highest level, longest pulse taken as square, least resistance of the source; breakdown
            voltage at its lower end; nothing else on the machine takes a share
Not covered the reverse voltage of diodes (see suppression rating); relays, whose coils do not feel
            0.4 s
Result      one finding per part that some position works
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import Finding, Term, Working
from circuitcheck.checks.release.released_coil import ReleasedCoil
from circuitcheck.checks.supply.exposed_part import (
    Exposed,
    clamps_across,
    event_finding,
    heated_windings,
    lit_lamps,
    lit_leds,
)
from circuitcheck.model.converter import Converter
from circuitcheck.transient.supply_events import SupplyEvent, dump_energy_j, load_dump
from circuitcheck.transient.switching_off.suppressor import PAIR, Suppressor

NAME = "load dump"
WHY = "A loose battery clamp is enough: the alternator then drives all it has into what is on."
ASK_PULSE = "its pulse power is not given: read the number on it, in its data sheet"
ASK_CONVERTER = (
    "whether it stands a load dump is not known: look in its data sheet for ISO 16750-2 or "
    "ISO 7637-2, or for the highest input voltage and its time"
)
SOURCES = ("iso-15003", "tvs-types", "lamp-rerating")


def judge(case: Case) -> list[Finding]:
    """Return the findings of every part that a load dump reaches."""
    clamped = case.harness.conditions.load_dump_clamped
    event = load_dump(case.library, case.harness.system_v, clamped=clamped)
    exposed = (
        *heated_windings(case, event), *lit_leds(case, event), *lit_lamps(case, event),
        *(_tvs(event, coil, one) for coil, one in clamps_across(case) if one.kind != PAIR),
        *_converters(case, event),
    )  # fmt: skip
    return [event_finding(NAME, event, one, WHY) for one in exposed]


def _tvs(event: SupplyEvent, coil: ReleasedCoil, one: Suppressor) -> Exposed:
    breakdown_v, ohm = one.least.clamp_v, one.usual.series_ohm
    quantity, owner = f"energy of a {event.name} in the {one.name}", coil.winding.owner
    dump = Term("V_j", event.supply_v, "V", "load dump, the highest")
    holds = Term("E", breakdown_v, "V", "breakdown, lower end, else its stand-off")
    if event.supply_v <= breakdown_v:
        return Exposed(owner, f"voltage of a {event.name} at the {one.name}",
                       Working("V_j", (dump,), dump), breakdown_v)  # fmt: skip
    source = Term("R_i", event.source_ohm, "ohm", "source of the surge, least")
    own = Term("r", ohm, "ohm", "what the TVS gains per ampere")
    amps = (event.supply_v - breakdown_v) / (event.source_ohm + ohm)
    current = Term("I_t", amps, "A", "current through it")
    first = Working("(V_j - E) / (R_i + r)", (dump, holds, source, own), current)
    energy = Term("W_t", dump_energy_j(event, breakdown_v, ohm), "J", "energy in it")
    terms = (holds, own, current, Term("t_j", event.time_s, "s", "time"))
    working = Working("(E + r * I_t) * I_t * t_j", terms, energy, steps=(first,))
    return Exposed(owner, quantity, working, one.pulse_j, ASK_PULSE, ("tvs-types",))


def _converters(case: Case, event: SupplyEvent) -> Iterator[Exposed]:
    dump = Term("V_j", event.supply_v, "V", "load dump, the highest")
    for part in case.harness.of_kind(Converter):
        highest_v = part.input_v[1] if part.input_v is not None else 0.0
        limit = highest_v if highest_v >= event.supply_v else None
        quantity = f"input of the converter in a {event.name}"
        yield Exposed(part.name, quantity, Working("V_j", (dump,), dump), limit, ASK_CONVERTER)


CHECK = Check(
    name=NAME,
    judges="coils, LEDs, lamps, TVS and converters in a load dump",
    why=WHY,
    does_not_cover="relay coils, which do not feel 0.4 s",
    sources=("iso-16750-2", *SOURCES),
    judge=judge,
)
