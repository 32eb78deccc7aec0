"""Read a harness file into the model; everything that is wrong with it is reported at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

from circuitcheck.errors import InputError
from circuitcheck.model.conditions import Zone
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.library import Library
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.terminal import Terminal
from circuitcheck.read.conditions import build_conditions, build_use
from circuitcheck.read.field_rules import CABLE, CONDITIONS, CORE, TABLES, TOP, USE, WIRE, ZONE
from circuitcheck.read.fields import Field, Given, read_fields
from circuitcheck.read.forms import NAME, NAME_RULE
from circuitcheck.read.part_context import PartContext
from circuitcheck.read.part_rules import KINDS_NOT_YET, PART_FIELDS
from circuitcheck.read.parts_coil import build_solenoid_coil
from circuitcheck.read.parts_join import (
    build_connector,
    build_frame,
    build_ground_stud,
    build_splice,
)
from circuitcheck.read.parts_supply import build_battery, build_fuse, build_supply_tap
from circuitcheck.read.parts_switch import build_switch, build_switch_handle
from circuitcheck.read.printable import shown
from circuitcheck.read.reading import Place, Reading, place_text
from circuitcheck.read.toml_source import load_toml
from circuitcheck.read.wires import Landing, WireGiven, build_wires, check_terminal
from circuitcheck.read.zones import (
    ANYWHERE,
    anywhere,
    build_zone,
    zone_of_part,
    zones_seen_by_wires,
)

Builder = Callable[[Given, PartContext], Part | None]

BUILDERS: Mapping[str, Builder] = {
    "battery": build_battery,
    "supply tap": build_supply_tap,
    "fuse": build_fuse,
    "switch handle": build_switch_handle,
    "switch": build_switch,
    "connector": build_connector,
    "splice": build_splice,
    "ground stud": build_ground_stud,
    "frame": build_frame,
    "solenoid coil": build_solenoid_coil,
}


def read_harness(path: str | Path, library: Library, *, text: str | None = None) -> Harness:
    """Return the harness that a file describes; `text` is read instead of the file if given.

    Raises InputError with every problem of the file, in order of its lines.
    """
    reading = Reading(load_toml(path, text), library)
    harness = _HarnessReader(reading).read()
    if reading.problems:
        raise InputError(sorted(reading.problems, key=lambda p: p.line or 0))
    assert harness is not None
    return harness


class _HarnessReader:
    """Goes through the tables in the order in which they need each other."""

    def __init__(self, reading: Reading):
        self.reading = reading
        self.library = reading.library
        self.tables = reading.source.tables
        self.root = Place(reading, ())

    def read(self) -> Harness | None:
        """Return the harness, or None where problems keep it from being built."""
        top = read_fields(
            {key: value for key, value in self.tables.items() if key not in TABLES},
            TOP,
            self.root,
            "",
            others=TABLES,
        )
        self._refuse_positive_earth(top)
        system_v = 24.0 if top.values.get("system") == "24 V" else 12.0
        conditions = build_conditions(
            self._single("conditions", CONDITIONS), self.library, system_v
        )
        use = build_use(self._single("use", USE))
        zones = self._zones()
        kinds = self._part_kinds()
        wires = self._wires()
        self._refuse_shared_names(list(kinds), wires)
        context = PartContext(self.library, system_v, zones, self._battery_name(kinds), "")
        parts, landings = self._parts(kinds, wires, context)
        self._check_references(parts, landings)
        built_wires = build_wires(wires, landings, context)
        if self.reading.problems:
            return None
        used = {part.zone for part in parts.values()} | {
            zone for wire in built_wires.values() for zone in wire.route
        }
        upstream = {p.upstream.zone for p in parts.values() if isinstance(p, SupplyTap)}
        if ANYWHERE in used | upstream:
            zones[ANYWHERE] = anywhere(zones)
        return Harness(
            file=self.reading.source.file,
            circuit=top.value("circuit", str, ""),
            system_v=system_v,
            conditions=conditions,
            zones=zones,
            use=use,
            parts=parts,
            wires=built_wires,
            assumptions=tuple(self.reading.assumptions),
            line_of={place_text(path): line for path, line in self.reading.source.lines.items()},
            revision=top.value("revision", str, ""),
            author=top.value("author", str, ""),
            story=top.value("story", str, ""),
        )

    def _refuse_positive_earth(self, top: Given) -> None:
        if top.values.get("earth") == "positive":
            top.at("earth").problem(
                "positive-earth machines are not handled",
                "Every check takes the negative post as the return; on a positive-earth machine "
                "it would judge the wrong side of each fuse and coil.",
            )

    def _single(self, table: str, fields: tuple[Field, ...]) -> Given:
        place = self.root.inside(table)
        value = self.tables.get(table, {})
        if not isinstance(value, dict):
            place.problem(f"got {shown(value)}", f"Write it as a table: [{table}].")
            value = {}
        return read_fields(value, fields, place, table)

    def _named(self, table: str) -> dict[str, dict[str, object]]:
        place = self.root.inside(table)
        value = self.tables.get(table, {})
        if not isinstance(value, dict):
            example = {"part": "F1", "wire": "W1", "cable": "C1", "zone": "cab"}[table]
            place.problem(
                f"got {shown(value)}", f"Give each {table} its own table: [{table}.{example}]."
            )
            return {}
        good = {}
        for name, fields in value.items():
            if not NAME.fullmatch(name):
                place.inside(name).problem(f"got the name {shown(name)}", NAME_RULE)
            elif not isinstance(fields, dict):
                place.inside(name).problem(
                    f"got {shown(fields)}", f"Write it as a table: [{table}.{name}]."
                )
            else:
                good[name] = fields
        return good

    def _zones(self) -> dict[str, Zone]:
        zones = {}
        for name, fields in self._named("zone").items():
            place = self.root.inside("zone").inside(name)
            if name == ANYWHERE:
                place.problem("this name is taken", "It stands for parts of unknown place.")
                continue
            zones[name] = build_zone(name, read_fields(fields, ZONE, place, f"zone {name}"))
        if not zones:
            self.root.problem(
                "there is no zone",
                'Add one, for example [zone.cab] with ambient = ["-10 degC", "45 degC"], '
                'or ambient = "unknown".',
            )
        return zones

    def _part_kinds(self) -> dict[str, tuple[str, Given] | None]:
        kinds: dict[str, tuple[str, Given] | None] = {}
        for name, fields in self._named("part").items():
            place = self.root.inside("part").inside(name)
            kind = self._kind(place, fields)
            if kind is None:
                kinds[name] = None
                continue
            rest = {key: value for key, value in fields.items() if key != "kind"}
            kinds[name] = (kind, read_fields(rest, PART_FIELDS[kind], place, name))
        return kinds

    def _kind(self, place: Place, fields: Mapping[str, object]) -> str | None:
        kind = fields.get("kind")
        known = ", ".join(PART_FIELDS)
        if isinstance(kind, str) and kind in PART_FIELDS:
            return kind
        if "kind" not in fields:
            place.problem("kind is missing", f"Kinds: {known}.")
        elif kind in KINDS_NOT_YET:
            place.inside("kind").problem(
                f"this version does not know {_article(str(kind))} yet", f"It knows: {known}."
            )
        else:
            hint = place.hint(kind, PART_FIELDS) if isinstance(kind, str) else ""
            place.inside("kind").problem(f"got {shown(kind)}", hint or f"Kinds: {known}.")
        return None

    def _battery_name(self, kinds: Mapping[str, tuple[str, Given] | None]) -> str:
        names = [name for name, found in kinds.items() if found and found[0] == "battery"]
        if len(names) > 1:
            self.root.inside("part").inside(names[1]).problem(
                f"a second battery beside {names[0]}",
                "Describe batteries in series or parallel as one battery.",
            )
        elif not names and None not in kinds.values():
            self.root.problem(
                "there is no battery",
                'Add [part.BAT] with kind = "battery" and type = "12 V flooded, 60 Ah".',
            )
        return names[0] if names else "BAT"

    def _wires(self) -> list[WireGiven]:
        wires = []
        for name, fields in self._named("wire").items():
            place = self.root.inside("wire").inside(name)
            given = read_fields(fields, WIRE, place, name)
            wires.append(WireGiven(name, given, given))
        for name, fields in self._named("cable").items():
            wires += self._cores(name, fields)
        return wires

    def _cores(self, cable: str, fields: Mapping[str, object]) -> list[WireGiven]:
        place = self.root.inside("cable").inside(cable)
        rest = {key: value for key, value in fields.items() if key != "cores"}
        shared = read_fields(rest, CABLE, place, cable, others=("cores",))
        cores = fields.get("cores")
        at = place.inside("cores")
        example = 'cores = { red = { from = "X1.plug.1", to = "VL.1", colour = "RD" } }'
        if not isinstance(cores, dict) or not cores:
            at.problem("no table of cores", f"Give {example}.")
            return []
        wires = []
        for core, value in cores.items():
            name = f"{cable}-{core}"
            if not NAME.fullmatch(f"a{core}"):
                at.inside(core).problem(f"got the name {shown(core)}", NAME_RULE)
            elif not isinstance(value, dict):
                at.inside(core).problem(f"got {shown(value)}", f"Give a table: {example}.")
            else:
                own = read_fields(value, CORE, at.inside(core), name)
                wires.append(WireGiven(name, own, shared, cable, len(cores)))
        return wires

    def _refuse_shared_names(self, parts: list[str], wires: list[WireGiven]) -> None:
        taken = set(parts)
        for wire in wires:
            if wire.name in taken:
                wire.own.place.problem(
                    f'the name "{wire.name}" is taken', "Give each part and wire its own name."
                )
            taken.add(wire.name)

    def _parts(
        self,
        kinds: Mapping[str, tuple[str, Given] | None],
        wires: list[WireGiven],
        context: PartContext,
    ) -> tuple[dict[str, Part], dict[str, Landing]]:
        seen = zones_seen_by_wires([_ends_and_route(wire) for wire in wires])
        parts: dict[str, Part] = {}
        landings: dict[str, Landing] = {}
        for name, found in kinds.items():
            if found is None:
                landings[name] = Landing("part", ANYWHERE, None)
                continue
            kind, given = found
            zone = zone_of_part(given, context.zones, seen)
            landings[name] = Landing(kind, zone, FIXED_TERMINALS.get(kind))
            if given.broken:
                continue
            part = BUILDERS[kind](given, replace(context, zone=zone))
            if part is not None:
                parts[name] = part
                landings[name] = Landing(kind, zone, part.terminals)
        return parts, landings

    def _check_references(self, parts: Mapping[str, Part], landings: Mapping[str, Landing]) -> None:
        for name, part in parts.items():
            place = self.root.inside("part").inside(name)
            if isinstance(part, GroundStud):
                self._check_frame(place.inside("frame"), part.frame, landings)
            elif isinstance(part, Frame):
                for index, bond in enumerate(part.bonds):
                    at = place.inside("bonds").inside(index).inside("to")
                    target = Terminal(*bond.to.split(".", 1))
                    check_terminal(at, target, landings)
                    if target.part == name:
                        at.problem(f"{name} is bonded to itself", "Name the other side.")
            elif isinstance(part, SupplyTap):
                at = place.inside("upstream").inside("from")
                check_terminal(at, part.upstream.source, landings)

    def _check_frame(self, place: Place, name: str, landings: Mapping[str, Landing]) -> None:
        frames = [other for other, landing in landings.items() if landing.kind == "frame"]
        if name not in frames and landings.get(name, Landing("", "", ())).terminals is not None:
            place.problem(
                f'there is no frame "{name}"',
                place.hint(name, frames) or f'Add [part.{name}] with kind = "frame".',
            )


FIXED_TERMINALS: Mapping[str, tuple[str, ...]] = {
    "battery": ("+", "-"),
    "supply tap": ("",),
    "fuse": ("line", "load"),
    "switch": ("line", "load"),
    "splice": ("",),
    "ground stud": ("",),
    "frame": ("",),
    "solenoid coil": ("1", "2"),
}
"""Terminals of the kinds that always have the same, for wires to a part that is refused."""


def _ends_and_route(wire: WireGiven) -> Given:
    route = wire.shared.values.get("route")
    values = {**wire.own.values, **({} if route is None else {"route": route})}
    return Given(wire.own.place, wire.name, values, wire.own.fields)


def _article(kind: str) -> str:
    return f"{'an' if kind[0].lower() in 'aeil' and not kind.startswith('l') else 'a'} {kind}"
