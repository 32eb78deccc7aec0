"""Jump start of a 12 V machine from 24 V: everything that can be on, for a minute.

Finds       a coil, LED, lamp, resistor or TVS that does not stand a minute at twice its voltage
Formula     coil      T_0 + (V^2 / R_0 R_th - (T_0 - T_a)) (1 - exp(-t / tau)) <= its limit
            LED       (V - V_f) / R_s <= what it stands for a minute
            lamp      t (V / V_0)^12 <= its life;  resistor V^2 / R <= P;  TVS V <= breakdown
            relay     V <= what relay data sheets give for a jump start
Source      iso-16750-2 (26 V for 60 s, 2023), lamp-rerating, relay-data-sheet; that a small LED
            stands twice its current for a minute is common practice, no source
Worst case  the whole voltage at the part; a coil that its use has already heated, in the hottest
            air; lower ends of resistance
Not covered 24 V machines; contactors without a figure; the pull winding; fuses, which its higher
            current may open; two batteries in series by mistake, for longer than a minute
Result      one finding per part that some position works
"""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.checks.check import Case, Check
from circuitcheck.checks.finding import Finding, Term, Working
from circuitcheck.checks.release.released_coil import released_coils
from circuitcheck.checks.supply.exposed_part import (
    Exposed,
    clamps_across,
    event_finding,
    heated_windings,
    is_relays_own,
    lit_lamps,
    lit_leds,
    worked,
)
from circuitcheck.model.relay import Relay
from circuitcheck.transient.supply_events import SupplyEvent, jump_start
from circuitcheck.transient.switching_off.suppressor import PAIR

NAME = "jump start"
WHY = "A flat battery is helped from a 24 V machine sooner or later; what burns then is found late."
ASK_RELAY = "what its coil stands for a minute is not known: read it in the data sheet"
SOURCES = ("lamp-rerating", "relay-data-sheet", "common-practice")


def judge(case: Case) -> list[Finding]:
    """Return the findings of every part that a jump start reaches."""
    event = jump_start(case.library, case.harness.system_v)
    if event is None:
        return []
    exposed = (
        *heated_windings(case, event), *_relays(case, event), *lit_leds(case, event),
        *lit_lamps(case, event), *_suppressors(case, event),
    )  # fmt: skip
    return [event_finding(NAME, event, one, WHY) for one in exposed]


def _relays(case: Case, event: SupplyEvent) -> Iterator[Exposed]:
    usual_v = case.library.limit("relay_jump_start_12v_v").value
    for part in worked(case, Relay):
        assert isinstance(part, Relay)
        limit = usual_v if part.kind == "relay" else None
        if part.highest_v is not None and part.highest_v >= event.supply_v:
            limit = part.highest_v
        term = Term("V_j", event.supply_v, "V", "supply, all of it at the coil")
        working = Working("V_j", (term,), term)
        yield Exposed(
            part.name,
            f"{part.kind} coil in a {event.name}",
            working,
            limit,
            ASK_RELAY,
            ("relay-data-sheet",),
        )


def _suppressors(case: Case, event: SupplyEvent) -> Iterator[Exposed]:
    supply = Term("V_j", event.supply_v, "V", "supply, all of it across the coil")
    for coil in released_coils(case):
        for one in coil.suppressors:
            if one.kind != "resistor" or one.power_w is None or is_relays_own(case, coil, one):
                continue
            ohm = Term("R_s", one.least.series_ohm, "ohm", "resistor, lower end")
            if coil.winding.supply_v**2 / ohm.value > one.power_w:
                continue  # burns without a jump start: see suppressor in repeated use
            watts = Term("P", event.supply_v**2 / ohm.value, "W", "power turned to heat")
            working = Working("V_j**2 / R_s", (supply, ohm), watts)
            quantity = f"power of the {one.name} in a {event.name}"
            yield Exposed(coil.winding.owner, quantity, working, one.power_w)
    for coil, one in clamps_across(case):
        if one.kind == PAIR:
            continue  # its diode blocks
        yield Exposed(
            coil.winding.owner, f"voltage of the {one.name} in a {event.name}",
            Working("V_j", (supply,), supply), one.blocks_v,
            sources=("tvs-types",)
        )  # fmt: skip


CHECK = Check(
    name=NAME,
    judges="coils, LEDs, lamps and suppressors of a 12 V machine for a minute at 26 V",
    why=WHY,
    does_not_cover="pull windings; contactors without a figure; the fuses",
    sources=("iso-16750-2", *SOURCES),
    judge=judge,
)
