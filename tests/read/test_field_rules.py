"""The table of fields: complete, in step with the library and the model, fit to be printed."""

from __future__ import annotations

import pytest

from circuitcheck import read_library
from circuitcheck.model.harness import Part
from circuitcheck.read.field_rules import FIELDS
from circuitcheck.read.forms.fields import Field, TableOf
from circuitcheck.read.forms.forms import Either, ListOf, OneOrMore
from circuitcheck.read.forms.fuse_style import FuseStyle
from circuitcheck.read.forms.references import COLOUR_WORDS
from circuitcheck.read.harness_file import BUILDERS
from circuitcheck.read.parts.coil_rules import CLASSES
from circuitcheck.read.parts.part_rules import PART_FIELDS
from circuitcheck.read.reading import Gap, Place, Reading
from circuitcheck.read.toml_source import TomlSource

INNER = (TableOf, ListOf, OneOrMore, Either)


def inner_fields(form: object) -> list[Field]:
    if isinstance(form, TableOf):
        return all_fields(form.fields)
    if isinstance(form, ListOf | OneOrMore):
        return inner_fields(form.item)
    return inner_fields(form.other) if isinstance(form, Either) else []


def all_fields(fields: tuple[Field, ...]) -> list[Field]:
    return [f for field in fields for f in (field, *inner_fields(field.form))]


EVERY = [(kind, field) for kind, fields in FIELDS.items() for field in all_fields(fields)]


@pytest.mark.parametrize(("kind", "field"), EVERY, ids=[f"{k}, {f.key}" for k, f in EVERY])
def test_field_can_be_explained(kind: str, field: Field) -> None:
    assert field.meaning
    assert field.form.allowed
    assert not (field.required and field.left_out)
    if field.unknown:
        assert field.measure, "what is unknown must say what to measure"


def test_keys_of_a_table_are_distinct() -> None:
    for fields in FIELDS.values():
        assert len({field.key for field in fields}) == len(fields)


def test_every_kind_of_the_model_has_fields_and_a_builder() -> None:
    kinds = {
        kind
        for record in Part.__args__  # type: ignore[attr-defined]
        for kind in getattr(record, "KINDS", None) or (record.kind,)
    }
    assert kinds == set(PART_FIELDS) == set(BUILDERS)


def test_styles_are_those_of_the_library() -> None:
    library = read_library()
    style = next(field for field in PART_FIELDS["fuse"] if field.key == "style")
    assert isinstance(style.form, FuseStyle)
    place = Place(Reading(TomlSource("f.toml", {}, {}), library), ("part", "F1", "style"))
    for row in library.fuses.values():
        assert style.form.read(row.style, place) == row.style
    assert not place.reading.problems
    assert style.form.read("blades", place) is Gap.BROKEN
    assert "blade" in place.reading.problems[0].right


def test_colour_codes_of_iec_60757() -> None:
    # IEC 60757, codes as reprinted in GOST 28763-90.
    assert " ".join(COLOUR_WORDS.values()) == "BK BN RD OG YE GN BU VT GY WH PK GD TQ SR"


def test_insulation_classes_of_iec_60085() -> None:
    # IEC 60085 thermal classes; N = 200 degC as in coil data sheets.
    assert CLASSES == {"Y": 90, "A": 105, "E": 120, "B": 130, "F": 155, "H": 180, "N": 200}
