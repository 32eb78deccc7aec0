"""`"unknown"`: legal where the field table says so, conservative, said, with what to measure."""

from __future__ import annotations

from pathlib import Path

import pytest

from circuitcheck import Harness, InputError, read_harness, read_library
from circuitcheck.model.assumption import Assumption
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.field_rules import FIELDS
from circuitcheck.read.forms.fields import Field

BASE = (
    (Path(__file__).parents[1] / "harnesses" / "bad" / "misspelt_word.toml")
    .read_text(encoding="utf-8")
    .replace('cranking = "of"', 'cranking = "off"')
)
KINDS = {
    "battery": 'type = "12 V flooded, 60 Ah"',
    "supply tap": "",
    "fuse": 'rating = "5 A"\nstyle = "blade"',
    "switch handle": 'contacts = [{ button = "a", action = "momentary", closes = ["1", "2"] }, '
    '{ button = "b", action = "momentary", closes = ["1", "3"] }]',
    "switch": 'action = "momentary"',
    "connector": 'cavities = 2\ncontact = "2.8 mm sealed"',
    "splice": "",
    "ground stud": 'frame = "CHASSIS"',
    "frame": "",
    "solenoid coil": 'type = "medium valve coil, 12 V"',
    "isolator": 'type = "battery isolator 100 A"',
    "relay": 'type = "mini relay changeover, 12 V"',
    "contactor": 'type = "contactor 80 A, 12 V"',
    "pull and hold coil": 'type = "engine stop solenoid, 12 V"',
    "indicator lamp": 'type = "12 V, 1.2 W"',
    "LED indicator": 'type = "12 V, green"',
    "diode": 'type = "1 A silicon diode, 400 V"',
    "resistor": 'resistance = "1 kohm"',
    "converter": 'output = "5 V"\nrated_current = "2 A"',
    "wire": 'from = "CHASSIS"\nto = "BAT.-"\ngauge = "16 AWG"\nlength = "1 m"',
    "cable": 'gauge = "16 AWG"\nlength = "1 m"\ncores = [{ from = "CHASSIS", to = "BAT.-" }]',
    "zone": 'ambient = "20 degC"',
}
UPSTREAM = {
    "fuse": '"15 A blade"', "gauge": '"14 AWG"', "length": '"1 m"', "key": '"on"',
    "cranking": '"off"', "present_load": '"1 A"',
}  # fmt: skip


def read(text: str) -> Harness:
    return read_harness("given.toml", read_library(), text=text)


def with_line(kind: str, key: str, value: str) -> str:
    lines = [line for line in KINDS[kind].split("\n") if line and not line.startswith(f"{key} =")]
    lines.append(f"{key} = {value}")
    table = kind if kind in ("wire", "cable", "zone") else "part"
    if table == "part":
        lines.append(f'kind = "{kind}"')
    if kind == "supply tap":
        inner = ", ".join(f"{k} = {v}" for k, v in UPSTREAM.items())
        lines.append(f"upstream = {{ {inner} }}")
    base = BASE
    if kind == "battery":
        start = base.index("[part.BAT]")
        base = base[:start] + base[base.index("[part.TAP]") :]
        return base + "\n[part.BAT]\n" + "\n".join(lines) + "\n"
    return f"{base}\n[{table}.NEW]\n" + "\n".join(lines) + "\n"


def fields_of(kind: str) -> list[Field]:
    return [field for field in FIELDS[kind] if field.key != "upstream"]


STEPS_UP = [("converter", "type"), ("converter", "output")]
"""On a 12 V machine no converter of the library goes down; test_part_kinds.py has a 24 V one."""
LEGAL = [
    (kind, field.key)
    for kind in KINDS
    for field in fields_of(kind)
    if field.unknown and (kind, field.key) not in STEPS_UP
]
NOT_LEGAL = [
    (kind, field.key)
    for kind in KINDS
    for field in fields_of(kind)
    if not field.unknown and field.key not in ("frame", "cores", "body")
]


def said_of(harness: Harness, key: str) -> list[Assumption]:
    return [
        a
        for a in harness.assumptions
        if a.subject in ("NEW", "BAT", "zone NEW") and a.key.split(".")[0] == key
    ]


@pytest.mark.parametrize(("kind", "key"), LEGAL, ids=[f"{k}, {f}" for k, f in LEGAL])
def test_unknown_is_read_said_and_what_to_measure_is_named(kind: str, key: str) -> None:
    said = said_of(read(with_line(kind, key, '"unknown"')), key)
    assert said
    assert all(a.assumed and a.measure for a in said)
    assert any(a.stated_unknown for a in said)


@pytest.mark.parametrize(("kind", "key"), NOT_LEGAL, ids=[f"{k}, {f}" for k, f in NOT_LEGAL])
def test_unknown_elsewhere_is_a_problem(kind: str, key: str) -> None:
    with pytest.raises(InputError) as caught:
        read(with_line(kind, key, '"unknown"'))
    assert any(p.place.endswith(key) for p in caught.value.problems)


def test_most_fields_may_be_unknown() -> None:
    assert len(LEGAL) > 3 * len(NOT_LEGAL)


@pytest.mark.parametrize("key", [*UPSTREAM, "from", "insulation", "zone", "key_contact", "area"])
def test_unknown_upstream(key: str) -> None:
    inner = ", ".join(f"{k} = {v}" for k, v in {**UPSTREAM, key: '"unknown"'}.items())
    start = BASE.index("upstream = ")
    text = BASE[:start] + f"upstream = {{ {inner} }}" + BASE[BASE.index("\n", start) :]
    said = [a for a in read(text).assumptions if a.key == f"upstream.{key}"]
    assert [a.stated_unknown for a in said] == [True]


def test_everything_upstream_unknown() -> None:
    inner = ", ".join(f'{key} = "unknown"' for key in UPSTREAM)
    start = BASE.index("upstream = ")
    text = BASE[:start] + f"upstream = {{ {inner} }}" + BASE[BASE.index("\n", start) :]
    tap = read(text).of_kind(SupplyTap)[0].upstream
    assert (tap.key, tap.cranking, tap.fuse, tap.fuse_known) == ("unknown", "unknown", None, False)
    assert tap.present_load_a is None
    assert tap.length_m == Band(0.1, 5.0, 10.0)


def test_unknown_gauge_is_the_worst_conductor_of_the_library() -> None:
    library = read_library()
    wire = read(with_line("wire", "gauge", '"unknown"')).wires["NEW"]
    assert wire.gauge == "unknown"
    worst = max(row.resistance_ohm_per_m.upper for row in library.conductors.values())
    assert wire.conductor.resistance_ohm_per_m.upper == worst
    assert wire.conductor.area_min_mm2 == min(r.area_min_mm2 for r in library.conductors.values())


def test_unknown_insulation_is_the_lowest_class() -> None:
    library = read_library()
    wire = read(with_line("wire", "insulation", '"unknown"')).wires["NEW"]
    lowest = min(row.temperature_c for row in library.insulations.values())
    assert wire.insulation.temperature_c == lowest


def test_unknown_battery_spans_all_batteries_of_its_voltage() -> None:
    rows = [r for r in read_library().batteries.values() if r.system_v == 12.0]
    battery = read(with_line("battery", "type", '"unknown"')).battery
    for row in rows:
        assert battery.internal_resistance_ohm.lower <= row.resistance_ohm.lower
        assert battery.internal_resistance_ohm.upper >= row.resistance_ohm.upper
        assert battery.charging_current_a >= row.alternator_a


def test_unknown_coil_spans_all_coils_of_its_voltage() -> None:
    rows = [r for r in read_library().coils.values() if r.rated_v == 12.0]
    text = with_line("solenoid coil", "resistance", '"unknown"')
    text = text.replace('type = "medium valve coil, 12 V"\nresistance', "resistance")
    coil = next(c for c in read(text).of_kind(SolenoidCoil) if c.name == "NEW")
    assert coil.resistance_20c_ohm.lower == min(r.resistance_ohm.lower for r in rows)
    assert coil.resistance_20c_ohm.upper == max(r.resistance_ohm.upper for r in rows)
    assert coil.duty is None
    assert coil.temperature_limit_c is None
    assert coil.suppression.kind == "unknown"
    assert coil.moves.hazard == "unknown"


def test_coil_like_one_of_the_library_takes_only_that_ones_heat_path() -> None:
    like = read_library().coil("large valve coil, 12 V")
    text = with_line("solenoid coil", "resistance", '"5 ohm"')
    text = text.replace('type = "medium valve coil, 12 V"\nresistance', "resistance")
    coil = next(c for c in read(text).of_kind(SolenoidCoil) if c.name == "NEW")
    # A value that stands alone is a coil of the usual 10 % tolerance.
    assert coil.resistance_20c_ohm == Band(4.5, 5.0, 5.5)
    assert coil.thermal_resistance_k_per_w == like.thermal_resistance_k_per_w


def test_unknown_zone_is_the_worst_of_all_zones() -> None:
    harness = read(with_line("splice", "zone", '"unknown"'))
    zone = harness.zone_of(harness.parts["NEW"].zone)
    assert zone.ambient_c.lower == min(z.ambient_c.lower for z in harness.zones.values())
    assert zone.ambient_c.upper == max(z.ambient_c.upper for z in harness.zones.values())


def test_zone_left_out_is_where_its_wires_end() -> None:
    text = BASE + (
        '\n[part.S]\nkind = "splice"\n'
        '\n[wire.N]\nfrom = "BAT.+"\nto = "S"\ngauge = "16 AWG"\nlength = "1 m"\n'
        'route = ["cab", "drill"]\n'
    )
    assert read(text).parts["S"].zone == "drill"


def test_no_use_means_held_without_pause() -> None:
    start, end = BASE.index("[use]"), BASE.index("[part.BAT]")
    assert read(BASE[:start] + BASE[end:]).use.duty() == 1.0
    assert read(BASE).use.duty() == pytest.approx(20.0 * 30 / 3600)


def test_bundle_left_out_counts_the_wires_of_the_same_route() -> None:
    harness = read(BASE)
    assert harness.wires["W1"].route == ("cab",)
    assert harness.wires["W3"].route == ("cab", "drill")
    assert harness.wires["W3"].bundled == harness.wires["W6"].bundled == 2
    everything = read(with_line("wire", "bundled", '"unknown"'))
    assert everything.wires["NEW"].bundled == len(everything.wires)
