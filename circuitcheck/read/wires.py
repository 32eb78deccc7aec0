"""Wires and the cores of jacketed cables from their fields.

A core called `red` of the cable `C1` is the wire `C1-red`; it has the cable's length, gauge,
insulation and route, and is bundled with the other cores.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from circuitcheck.model.conductor_material import in_material
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.wire import Wire
from circuitcheck.read.forms.fields import Given
from circuitcheck.read.parts.part_context import PartContext, contact_band
from circuitcheck.read.parts.parts_supply import conductor_row, insulation_row, wire_length
from circuitcheck.read.reading import Place
from circuitcheck.read.tables import WireGiven
from circuitcheck.record import record

ALUMINIUM = "copper-clad aluminium"
UNREADABLE = "part"
"""Stands for the kind of a part whose kind was refused."""

MID_POINT = ("mid", "mid-point", "midpoint", "12V")
MID_POINT_WRONG = "a tap on the mid-point of the battery is refused"
MID_POINT_RIGHT = (
    "It empties one half of the pair while the charging source, which sees only the whole, "
    'overcharges the other. Use a part of kind = "converter" between BAT.+ and the 12 V circuit.'
)


@record
class Landing:
    """What a wire has to know of a part: its kind, zone and terminals (None: not readable)."""

    kind: str
    zone: str
    terminals: tuple[str, ...] | None


def stated_route(wire: WireGiven) -> tuple[str, ...]:
    """Return the route the file gives, empty where it gives none."""
    return tuple(str(zone) for zone in wire.shared.value("route", tuple, ()))


def build_wires(
    wires: list[WireGiven], parts: Mapping[str, Landing], context: PartContext
) -> dict[str, Wire]:
    """Return the wires whose ends exist; every other one is reported."""
    routes = {wire.name: _route(wire, parts, context) for wire in wires if not wire.broken}
    sharing = Counter(frozenset(route) for route in routes.values())
    built = {}
    for wire in wires:
        ends_exist = _ends_exist(wire.own, parts)
        if wire.broken or not ends_exist:
            continue
        route = routes[wire.name]
        record = _wire(wire, route, sharing[frozenset(route)], len(wires), context)
        if record is not None:
            built[wire.name] = record
    return built


def _wire(
    wire: WireGiven, route: tuple[str, ...], sharing: int, all_wires: int, context: PartContext
) -> Wire | None:
    shared = wire.shared
    conductor = conductor_row(shared, context.library)
    if conductor is None:
        return None
    material = shared.usual("material", str, "copper", ALUMINIUM)
    if shared.is_unknown("material"):
        material = ALUMINIUM
    conductor = in_material(conductor, context.library.material(material))
    colour = wire.own.value("colour", tuple, ())
    if wire.own.is_unknown("colour"):
        wire.own.assume("colour", "not given")
    if shared.is_unknown("sheathed"):
        shared.assume("sheathed", "no: lies open")
    return Wire(
        name=wire.name,
        start=wire.own.value("from", Terminal, Terminal("")),
        end=wire.own.value("to", Terminal, Terminal("")),
        gauge=shared.value("gauge", str, "unknown"),
        conductor=conductor,
        length_m=wire_length(shared),
        insulation=insulation_row(shared, context.library),
        colour=colour,
        route=route,
        crimp_ohm=contact_band(shared, "crimp_resistance", "crimp", silent=True),
        bundled=_bundled(wire, sharing, all_wires),
        cable=wire.cable,
        sheathed=shared.value("sheathed", bool, wire.cable is not None),
        material=material,
        way=tuple(str(name) for name in shared.value("way", tuple, ())),
    )


def _bundled(wire: WireGiven, sharing: int, all_wires: int) -> int:
    if wire.cable is not None:
        return max(wire.cores, 1)
    assumed = all_wires if wire.own.is_unknown("bundled") else sharing
    said = f"{assumed} wires together" if assumed > 1 else "alone"
    return wire.own.settled("bundled", int, assumed, said)


def _route(wire: WireGiven, parts: Mapping[str, Landing], context: PartContext) -> tuple[str, ...]:
    given = wire.shared
    for zone in stated_route(wire):
        context.check_zone(given.at("route"), zone)
    if given.has("route"):
        return stated_route(wire)
    if given.is_unknown("route"):
        given.assume("route", "every zone of the file")
        return tuple(context.zones) or (context.anywhere,)
    ends = [parts.get(wire.own.value(key, Terminal, Terminal("")).part) for key in ("from", "to")]
    zones = tuple(dict.fromkeys(part.zone for part in ends if part is not None))
    given.assume("route", f"{' and '.join(zones)}, where its ends are")
    return zones or (context.anywhere,)


def _ends_exist(given: Given, parts: Mapping[str, Landing]) -> bool:
    ends = [given.optional(key, Terminal) for key in ("from", "to")]
    good = [
        check_terminal(given.at(key), end, parts) if end is not None else False
        for key, end in zip(("from", "to"), ends, strict=True)
    ]
    if all(good) and ends[0] == ends[1]:
        given.at("to").problem(f"both ends are at {ends[1]}", "Give two different terminals.")
        return False
    return all(good)


def check_terminal(place: Place, terminal: Terminal, parts: Mapping[str, Landing]) -> bool:
    """Report a terminal that no part has; a part that could not be built is not looked into."""
    if terminal.part not in parts:
        place.problem(
            f'there is no part "{terminal.part}"',
            place.hint(terminal.part, parts) or f"Add [part.{terminal.part}], or name another.",
        )
        return False
    part = parts[terminal.part]
    if part.terminals is None or terminal.name in part.terminals:
        return True
    if part.kind == "battery" and terminal.name in MID_POINT:
        place.problem(MID_POINT_WRONG, MID_POINT_RIGHT)
        return False
    names = [str(Terminal(terminal.part, name)) for name in part.terminals]
    if terminal.name:
        wrong = f'{terminal.part}, a {part.kind}, has no terminal "{terminal.name}"'
    else:
        wrong = f"{terminal.part}, a {part.kind}, has more than one terminal"
    # A number of one or two digits is like every other: then the list says more.
    hint = place.hint(str(terminal), names) if len(terminal.name) > 2 else ""
    shown = ", ".join(names[:8]) + (", ..." if len(names) > 8 else "")
    place.problem(wrong, hint or f"Its terminals: {shown}.")
    return False
