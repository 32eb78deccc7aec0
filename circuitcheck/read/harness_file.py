"""Read a harness file into the model; everything that is wrong with it is reported at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

from circuitcheck.errors import InputError
from circuitcheck.model.branch import Branch
from circuitcheck.model.conditions import Zone
from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.library import Library
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.wire import Wire
from circuitcheck.read.branch_rules import SLACK
from circuitcheck.read.branches import (
    build_branches,
    build_slack,
    bundled_by_branches,
    check_ways,
)
from circuitcheck.read.conditions import build_conditions, build_use
from circuitcheck.read.cross_references import check_part_references
from circuitcheck.read.field_rules import CONDITIONS, USE
from circuitcheck.read.forms.fields import Given
from circuitcheck.read.library.library_named import add_named_rows
from circuitcheck.read.parts.part_context import PartContext
from circuitcheck.read.parts.parts_coil import build_solenoid_coil
from circuitcheck.read.parts.parts_converter import build_converter
from circuitcheck.read.parts.parts_indicator import (
    build_diode,
    build_indicator_lamp,
    build_led_indicator,
    build_resistor,
)
from circuitcheck.read.parts.parts_join import (
    build_connector,
    build_frame,
    build_ground_stud,
    build_splice,
)
from circuitcheck.read.parts.parts_pull_hold import build_pull_hold_coil
from circuitcheck.read.parts.parts_relay import build_contactor, build_relay
from circuitcheck.read.parts.parts_supply import build_battery, build_fuse, build_supply_tap
from circuitcheck.read.parts.parts_switch import build_isolator, build_switch, build_switch_handle
from circuitcheck.read.reading import Place, Reading, place_text
from circuitcheck.read.tables import (
    PartGiven,
    WireGiven,
    branch_tables,
    part_tables,
    refuse_shared_names,
    single_table,
    top_fields,
    wire_tables,
    zone_tables,
)
from circuitcheck.read.toml_source import load_toml
from circuitcheck.read.wires import UNREADABLE, Landing, build_wires
from circuitcheck.read.zones import (
    ANYWHERE,
    anywhere,
    build_zone,
    zone_of_part,
    zones_seen_by_wires,
)

BUILDERS: Mapping[str, Callable[[Given, PartContext], Part | None]] = {
    "battery": build_battery,
    "supply tap": build_supply_tap,
    "fuse": build_fuse,
    "switch handle": build_switch_handle,
    "switch": build_switch,
    "isolator": build_isolator,
    "connector": build_connector,
    "splice": build_splice,
    "ground stud": build_ground_stud,
    "frame": build_frame,
    "solenoid coil": build_solenoid_coil,
    "pull and hold coil": build_pull_hold_coil,
    "relay": build_relay,
    "contactor": build_contactor,
    "indicator lamp": build_indicator_lamp,
    "LED indicator": build_led_indicator,
    "diode": build_diode,
    "resistor": build_resistor,
    "converter": build_converter,
}
FIXED_TERMINALS: Mapping[str, tuple[str, ...]] = {
    "battery": ("+", "-"),
    "supply tap": ("",),
    "fuse": ("line", "load"),
    "switch": ("line", "load"),
    "isolator": ("1", "2"),
    "splice": ("",),
    "ground stud": ("",),
    "frame": ("",),
    "solenoid coil": ("1", "2"),
    "indicator lamp": ("1", "2"),
    "LED indicator": ("1", "2"),
    "diode": ("anode", "cathode"),
    "resistor": ("1", "2"),
    "converter": ("in", "out", "minus"),
}
"""Terminals of the kinds that always have the same, for wires to a part that is refused."""


def read_harness(path: str | Path, library: Library, *, text: str | None = None) -> Harness:
    """Return the harness that a file describes; `text` is read instead of the file if given.

    Raises InputError with every problem of the file, in order of its lines.
    """
    reading = Reading(load_toml(path, text), library)
    harness = _harness(reading, Path(path).parent)
    if reading.problems:
        raise InputError(sorted(reading.problems, key=lambda problem: problem.line or 0))
    return harness


def _harness(reading: Reading, folder: Path) -> Harness:
    """Build what can be built; the result counts only if no problem was reported."""
    top = top_fields(reading)
    _refuse_positive_earth(top)
    user_rows = add_named_rows(top, folder)
    system_v = 24.0 if top.values.get("system") == "24 V" else 12.0
    supply = single_table(reading, "conditions", CONDITIONS)
    conditions = build_conditions(supply, reading.library, system_v)
    use = build_use(single_table(reading, "use", USE))
    zones = _zones(reading)
    given_parts, given_wires = part_tables(reading), wire_tables(reading)
    refuse_shared_names(given_parts, given_wires)
    context = PartContext(
        reading.library, system_v, zones, _battery_name(reading, given_parts), ANYWHERE
    )
    parts, landings = _parts(given_parts, given_wires, context)
    check_part_references(Place(reading, ("part",)), parts, landings)
    wires = build_wires(given_wires, landings, context)
    slack = build_slack(single_table(reading, "slack", SLACK))
    branches = build_branches(branch_tables(reading), landings, context)
    check_ways(reading, wires, branches, parts)
    harness = Harness(
        file=reading.source.file,
        circuit=top.value("circuit", str, ""),
        system_v=system_v,
        conditions=conditions,
        zones=_with_anywhere(zones, parts, wires, branches),
        use=use,
        parts=parts,
        wires=wires,
        assumptions=tuple(reading.assumptions),
        line_of={place_text(path): line for path, line in reading.source.lines.items()},
        revision=top.value("revision", str, ""),
        date=top.value("date", str, ""),
        author=top.value("author", str, ""),
        story=top.value("story", str, ""),
        user_rows=user_rows,
        branches=branches,
        slack=slack,
    )
    wires = bundled_by_branches(harness, given_wires, reading)
    return replace(harness, wires=wires, assumptions=tuple(reading.assumptions))


def _refuse_positive_earth(top: Given) -> None:
    if top.values.get("earth") == "positive":
        top.at("earth").problem(
            "positive-earth machines are not handled",
            "Every check takes the negative post as the return; on a positive-earth machine "
            "it would judge the wrong side of each fuse and coil.",
        )


def _zones(reading: Reading) -> dict[str, Zone]:
    given = zone_tables(reading)
    if not given:
        Place(reading, ()).problem(
            "there is no zone",
            'Add one, for example [zone.cab] with ambient = ["-10 degC", "45 degC"], '
            'or ambient = "unknown".',
        )
    return {name: build_zone(name, fields) for name, fields in given.items()}


def _battery_name(reading: Reading, parts: Mapping[str, PartGiven | None]) -> str:
    names = [name for name, found in parts.items() if found and found[0] == "battery"]
    if len(names) > 1:
        Place(reading, ("part", names[1])).problem(
            f"a second battery beside {names[0]}",
            "Describe batteries in series or parallel as one battery.",
        )
    elif not names and None not in parts.values():
        Place(reading, ()).problem(
            "there is no battery",
            'Add [part.BAT] with kind = "battery" and type = "12 V flooded, 60 Ah".',
        )
    return names[0] if names else "BAT"


def _parts(
    given_parts: Mapping[str, PartGiven | None], wires: list[WireGiven], context: PartContext
) -> tuple[dict[str, Part], dict[str, Landing]]:
    seen = zones_seen_by_wires((wire.own.values, wire.shared.values.get("route")) for wire in wires)
    parts: dict[str, Part] = {}
    landings: dict[str, Landing] = {}
    for name, found in given_parts.items():
        if found is None:
            landings[name] = Landing(UNREADABLE, ANYWHERE, None)
            continue
        kind, given = found
        zone = zone_of_part(given, context.zones, seen, silent=kind == "frame")
        landings[name] = Landing(kind, zone, FIXED_TERMINALS.get(kind))
        if given.broken:
            continue
        part = BUILDERS[kind](given, replace(context, zone=zone))
        if part is not None:
            parts[name] = part
            landings[name] = Landing(kind, zone, part.terminals)
    return parts, landings


def _with_anywhere(
    zones: dict[str, Zone],
    parts: Mapping[str, Part],
    wires: Mapping[str, Wire],
    branches: Mapping[str, Branch],
) -> dict[str, Zone]:
    used = {part.zone for part in parts.values()}
    used |= {part.upstream.zone for part in parts.values() if isinstance(part, SupplyTap)}
    used |= {zone for wire in wires.values() for zone in wire.route}
    used |= {branch.zone for branch in branches.values()}
    return {**zones, ANYWHERE: anywhere(zones)} if ANYWHERE in used else zones
