"""The JSON Schema against a validator of its own: every good file fits, faults of shape do not."""

from __future__ import annotations

import json
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from circuitcheck import harness_schema, read_library
from circuitcheck.read.field_rules import FIELDS, TABLES
from circuitcheck.read.parts.part_rules import NEEDED, PART_FIELDS
from circuitcheck.units import DIMENSIONS, QuantityError, quantity, quantity_pattern

ROOT = Path(__file__).parents[2]
GOOD = sorted([*ROOT.glob("examples/*/harness.toml"), *ROOT.glob("tests/harnesses/good/*.toml")])
BAD = sorted(ROOT.glob("tests/harnesses/bad/*.toml"))
NO_TOML = {
    "bracket_not_closed", "key_twice", "part_twice", "quote_not_closed", "table_over_two_lines",
    "text_without_quotes",
}  # fmt: skip
NOT_OF_SHAPE = {
    # a name that nothing bears, or that two bear
    "bare_name_of_a_part_with_two_terminals", "both_ends_on_one_terminal", "cavity_beyond_the_last",
    "branch_places_wrong", "plunger_of_one_inductance", "timer_beside_an_internal_switch",
    "contactor_body_on_no_frame", "diode_ends_by_number", "double_crimp_beyond_the_last",
    "frame_bonded_to_itself", "interlock_of_no_button", "misspelt_part", "misspelt_terminal",
    "misspelt_zone", "no_battery", "pull_terminal_with_internal_switch",
    "relay_terminal_that_it_has_not", "stud_on_no_frame", "two_batteries", "wire_named_like_a_part",
    "wire_on_the_body_of_a_coil",
    # a row of the library, which may be one of the user's own
    "fuse_rating_not_made", "gauge_not_in_library", "misspelt_type", "relay_type_of_a_contactor",
    "suppressor_of_the_other_kind",
    # one value against another, or against a limit
    "area_of_the_other_system", "battery_of_the_other_voltage", "contact_without_closes",
    "converter_that_steps_up", "lamp_of_power_and_current", "led_of_the_supply_voltage",
    "pull_and_hold_swapped", "range_upside_down", "socket_of_another_number_of_cavities",
    "socket_of_the_other_voltage", "supply_of_the_other_voltage", "zero_length",
    # well written, and refused with a reason
    "battery_mid_point", "battery_mid_point_upstream", "positive_earth",
}  # fmt: skip
"""Faults that JSON Schema has no words for: the reader alone sees them."""


@pytest.fixture(scope="module")
def validator() -> Draft202012Validator:
    schema = harness_schema(read_library())
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


def loaded(path: Path) -> Any:
    return tomllib.loads(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("path", GOOD, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_every_file_that_is_read_fits(path: Path, validator: Draft202012Validator) -> None:
    wrong = [f"{list(e.absolute_path)}: {e.message}" for e in validator.iter_errors(loaded(path))]
    assert not wrong


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_faults_of_shape_do_not_fit(path: Path, validator: Draft202012Validator) -> None:
    if path.stem in NO_TOML:
        with pytest.raises(tomllib.TOMLDecodeError):
            loaded(path)
        return
    assert validator.is_valid(loaded(path)) == (path.stem in NOT_OF_SHAPE)


def test_the_lists_of_bad_files_name_files() -> None:
    assert {path.stem for path in BAD} >= NO_TOML | NOT_OF_SHAPE
    assert len(BAD) > 2 * len(NOT_OF_SHAPE)


def test_the_place_of_a_fault_is_told(validator: Draft202012Validator) -> None:
    harness = loaded(GOOD[0])
    name = next(iter(harness["wire"]))
    harness["wire"][name]["gage"] = harness["wire"][name].pop("gauge")
    found = list(validator.iter_errors(harness))
    assert {tuple(error.absolute_path) for error in found} == {("wire", name)}
    assert any("'gage' was unexpected" in error.message for error in found)
    assert any("'gauge' is a required property" in error.message for error in found)


def tables(schema: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    top = schema["properties"]
    yield "top", schema
    for name in ("conditions", "use", "slack"):
        yield name, top[name]
    for name in ("zone", "wire", "cable", "branch"):
        yield name, top[name]["additionalProperties"]
    for kind in PART_FIELDS:
        yield kind, schema["$defs"][kind.replace(" ", "_")]


def test_every_key_of_every_table_is_there_with_its_meaning() -> None:
    for kind, table in tables(harness_schema()):
        for field in FIELDS[kind]:
            written = table["properties"][field.key]
            assert written["description"].startswith(field.meaning)
            assert field.form.allowed in written["description"]
            assert (field.key in table["required"]) == field.required
        extra = set(table["properties"]) - {field.key for field in FIELDS[kind]}
        assert extra <= {"kind", *TABLES}
        assert table["additionalProperties"] is False


@pytest.mark.parametrize("kind", NEEDED)
def test_keys_of_which_one_set_is_needed(kind: str, validator: Draft202012Validator) -> None:
    defined = harness_schema()["$defs"][kind.replace(" ", "_")]
    assert {key for keys in NEEDED[kind] for key in keys} <= set(defined["properties"])
    harness = loaded(ROOT / "tests/harnesses/good/two_valves_12v.toml")
    harness["part"]["NEW"] = {"kind": kind}
    assert not validator.is_valid(harness)
    for keys in NEEDED[kind]:
        harness["part"]["NEW"] = {"kind": kind, **dict.fromkeys(keys, "unknown")}
        refused = {tuple(error.absolute_path)[2:] for error in validator.iter_errors(harness)}
        assert refused <= {(key,) for key in keys}  # none is about a missing key


def test_without_a_library_any_row_may_be_named() -> None:
    harness = loaded(GOOD[0])
    for part in harness["part"].values():
        if "type" in part:
            part["type"] = "one of my own"
    assert Draft202012Validator(harness_schema()).is_valid(harness)
    assert Draft202012Validator(harness_schema(read_library())).is_valid(harness)


def test_names_of_the_library_are_offered() -> None:
    library = read_library()
    shared = harness_schema(library)["$defs"]
    assert shared["row_coils"]["anyOf"][0]["enum"] == list(library.coils)
    relays = [row.name for row in library.relays.values() if row.kind == "relay"]
    assert shared["row_relays_relay"]["anyOf"][0]["enum"] == relays


def test_every_pointer_leads_somewhere() -> None:
    text = json.dumps(harness_schema(read_library()))
    shared = json.loads(text)["$defs"]
    for part in text.split('"$ref": "#/$defs/')[1:]:
        assert part.split('"')[0] in shared


NUMBERS = st.from_regex(r"[+-]?[0-9]{0,13}\.?[0-9]{0,13}([eE][+-]?[0-9]{0,3})?", fullmatch=True)


@given(
    dimension=st.sampled_from(DIMENSIONS),
    number=NUMBERS | st.sampled_from(["nan", "inf", "1,5", "1 000", "0x1", "1_0", "", "٣"]),
    space=st.sampled_from(["", " ", "  ", "\t", "\n"]),
    other=st.sampled_from(DIMENSIONS),
    data=st.data(),
)
def test_pattern_of_a_quantity_is_what_is_read(
    dimension: Any, number: str, space: str, other: Any, data: st.DataObject
) -> None:
    unit = data.draw(st.sampled_from([*other.units, "", "V A", "v"]))
    text = f"{number}{space}{unit}"
    schema = {"type": "string", "pattern": quantity_pattern(dimension), "maxLength": 40}
    try:
        quantity(text, dimension)
    except QuantityError:
        # JSON Schema lets `$` match before a last line end in some dialects; nothing else differs
        assert text.endswith("\n") or not Draft202012Validator(schema).is_valid(text)
    else:
        assert Draft202012Validator(schema).is_valid(text)


def test_the_command_prints_it() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "circuitcheck", "schema"], capture_output=True, check=True
    )
    assert json.loads(done.stdout) == harness_schema(read_library())
    assert not done.stderr
