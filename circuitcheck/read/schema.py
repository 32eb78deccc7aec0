"""JSON Schema of the harness file, made from the table of fields, for editors to complete by.

It says what JSON Schema can say: which tables and keys there are, how each value is written, which
are required. What hangs on another value (a name that must exist, a limit of a quantity) is said
in the descriptions and judged by the reader alone: the schema never refuses what is read.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import Any

from circuitcheck.model.library import Library
from circuitcheck.read.branch_rules import BRANCH, PLACE, SLACK, BranchEnd
from circuitcheck.read.field_rules import (
    CABLE,
    CONDITIONS,
    CORE,
    TOP,
    USE,
    WIRE,
    ZONE,
)
from circuitcheck.read.forms.fields import Field, TableOf
from circuitcheck.read.forms.file_beside import FileBeside
from circuitcheck.read.forms.forms import (
    NAME,
    TERMINAL_NAME,
    Button,
    Count,
    Either,
    Form,
    ListOf,
    Name,
    Number,
    OneOrMore,
    TerminalName,
    Text,
    Word,
    YesNo,
)
from circuitcheck.read.forms.fuse_style import FuseStyle
from circuitcheck.read.forms.quantities import GAUGE, Amount, Gauge, Range, Spread
from circuitcheck.read.forms.references import (
    CAVITY,
    COLOURS,
    TERMINAL,
    Cavity,
    Colour,
    Cores,
    LibraryRow,
    TerminalRef,
)
from circuitcheck.read.parts.part_rules import NEEDED, PART_FIELDS
from circuitcheck.read.zones import ANYWHERE
from circuitcheck.units import LONGEST_QUANTITY, SHARE, quantity_pattern

Schema = dict[str, Any]
DRAFT = "https://json-schema.org/draft/2020-12/schema"
CORE_NAME = "^[A-Za-z0-9_-]{1,23}$"
MOST_BUTTON = 30


def harness_schema(library: Library | None = None) -> Schema:
    """Return the JSON Schema (draft 2020-12) of a harness file, as plain dicts and lists.

    With a library the names of its rows are offered where a row is named; others are let through,
    for a harness file may bring rows of its own.
    """
    writer = _Writer(library)
    top = writer.table(TOP)
    named = {
        "zone": {**_named(writer.table(ZONE), not_called=(ANYWHERE,)), "minProperties": 1},
        "part": _named({"$ref": "#/$defs/part"}),
        "wire": _named(writer.table(WIRE)),
        "cable": _named(writer.table(CABLE)),
        "branch": _named(writer.table(BRANCH)),
    }
    top["properties"] |= {
        "conditions": writer.table(CONDITIONS),
        "use": writer.table(USE),
        "slack": writer.table(SLACK),
        **named,
    }
    top["required"] += ["zone", "part"]
    return {
        "$schema": DRAFT,
        "title": "Harness file of circuitcheck",
        "description": "One add-on circuit of a 12 V or 24 V machine: parts, wires, zones, use.",
        **top,
        "$defs": {"part": _part(), **writer.parts(), **writer.shared},
    }


def _named(item: Schema, not_called: tuple[str, ...] = ()) -> Schema:
    """Return the schema of tables by name, `[part.F1]`."""
    names: Schema = {"pattern": _whole(NAME)}
    if not_called:
        names["not"] = {"enum": list(not_called)}
    return {"type": "object", "propertyNames": names, "additionalProperties": item}


def _part() -> Schema:
    """Return the schema of a part: by its kind one of the tables of parts."""
    return {
        "type": "object",
        "properties": {"kind": {"enum": list(PART_FIELDS), "description": "kind of part"}},
        "required": ["kind"],
        "allOf": [
            {
                "if": {"properties": {"kind": {"const": kind}}, "required": ["kind"]},
                "then": {"$ref": f"#/$defs/{_key(kind)}"},
            }
            for kind in PART_FIELDS
        ],
    }


def _key(kind: str) -> str:
    return kind.replace(" ", "_")


def _whole(pattern: re.Pattern[str]) -> str:
    """Return a pattern as JSON Schema writes it: anchored, with plain groups."""
    return f"^(?:{re.sub(r'[(][?]P<[a-z0-9_]+>', '(?:', pattern.pattern)})$"


def _any(*choices: Schema) -> Schema:
    return {"anyOf": list(choices)}


def _text(pattern: str, **more: object) -> Schema:
    return {"type": "string", "pattern": pattern, **more}


def _list(item: Schema, least: int, most: int) -> Schema:
    return {"type": "array", "items": item, "minItems": least, "maxItems": most}


class _Writer:
    """Writes the schema of fields and forms; the library's names go into the choices.

    What stands in many places is written once, in `shared`, and pointed to.
    """

    def __init__(self, library: Library | None) -> None:
        self._library = library
        self.shared: Schema = {}

    def _share(self, key: str, written: Schema) -> Schema:
        self.shared.setdefault(key, written)
        return {"$ref": f"#/$defs/{key}"}

    def parts(self) -> Schema:
        """Return the schema of each kind of part, by its key in $defs."""
        found = {}
        for kind, fields in PART_FIELDS.items():
            table = self.table(fields)
            table["properties"] = {"kind": {"const": kind}, **table["properties"]}
            if kind in NEEDED:
                table["anyOf"] = [{"required": list(keys)} for keys in NEEDED[kind]]
            found[_key(kind)] = table
        return found

    def table(self, fields: Iterable[Field]) -> Schema:
        """Return the schema of a table with these fields and no others."""
        listed = tuple(fields)
        return {
            "type": "object",
            "properties": {field.key: self._field(field) for field in listed},
            "required": [field.key for field in listed if field.required],
            "additionalProperties": False,
        }

    def _field(self, field: Field) -> Schema:
        said = [field.meaning]
        if field.left_out:
            said.append(f"Left out: {field.left_out}.")
        if field.unknown:
            said.append(f'"unknown": {field.unknown}.')
        if field.measure:
            said.append(f"To settle it: {field.measure}.")
        written = self.form(field.form)
        if field.unknown:
            written = _any(written, {"const": "unknown"})
        description = f"{said[0]} ({field.form.allowed}). {' '.join(said[1:])}".strip()
        return {"description": description, **written}

    def form(self, form: Form) -> Schema:
        """Return the schema of one form. Raises KeyError for a class of form it does not know."""
        return _FORMS[type(form)](self, form)

    def row(self, form: LibraryRow) -> Schema:
        """Return a name; the library's rows are offered."""
        if self._library is None:
            return {"type": "string"}
        names = _any({"enum": list(form.rows(self._library))}, {"type": "string"})
        return self._share("_".join(("row", form.table, *form.kinds)).replace(" ", "_"), names)

    def style(self, form: FuseStyle) -> Schema:
        """Return the style of a fuse; the library's are offered."""
        if self._library is None:
            return {"type": "string"}
        return _any({"enum": list(self._library.fuse_opening_bands)}, {"type": "string"})

    def amount(self, form: Amount) -> Schema:
        """Return a quantity; a minus sign only where a negative value can be."""
        below_zero = form.least < 0.0 or (form.least == 0.0 and not form.above)
        dimension = form.dimension
        pattern = quantity_pattern(dimension, signed=below_zero)
        written = _text(pattern, maxLength=LONGEST_QUANTITY, examples=[dimension.example])
        key = f"{dimension.name}{'' if below_zero else ' above zero'}"
        return self._share(key.replace(" ", "_"), written)

    def range(self, form: Range) -> Schema:
        """Return one quantity, or lower and upper."""
        one = self.amount(form.amount)
        return _any(one, _list(one, 2, 2))

    def spread(self, form: Spread) -> Schema:
        """Return one quantity, a range, or a value with its tolerance."""
        one = self.amount(form.amount)
        share = self.amount(Amount(SHARE, 0.0, 0.9))
        table = {
            "type": "object",
            "properties": {form.key: one, "tolerance": share},
            "required": [form.key],
            "additionalProperties": False,
        }
        return _any(one, _list(one, 2, 2), table)

    def cores(self, form: Cores) -> Schema:
        """Return cores by name, or in a list."""
        core = self.table(CORE)
        by_name = {
            "type": "object",
            "propertyNames": {"pattern": CORE_NAME},
            "additionalProperties": core,
            "minProperties": 1,
        }
        return _any(by_name, {"type": "array", "items": core, "minItems": 1})

    def list_of(self, form: ListOf) -> Schema:
        """Return a list."""
        found = _list(self.form(form.item), form.least, form.most)
        return {**found, "uniqueItems": True} if form.distinct else found

    def one_or_more(self, form: OneOrMore) -> Schema:
        """Return one value, or a list of them."""
        item = self.form(form.item)
        return _any(item, _list(item, 0, form.most))

    def either(self, form: Either) -> Schema:
        """Return one of a few words, or another form."""
        return _any({"enum": list(form.words)}, self.form(form.other))


def _colour() -> str:
    """Return the pattern of one or two colour codes, in small or capital letters."""
    codes = "|".join("".join(f"[{c}{c.lower()}]" for c in code) for code in COLOURS)
    return f"^(?:(?:{codes})(?:/(?:{codes}))?|[Gg][Nn][Yy][Ee])$"


# What a form is to JSON Schema. A button's letters may be of any language, which the pattern
# dialects of JSON Schema do not agree on: only the signs of position names are kept out.
_FORMS: dict[type, Callable[[_Writer, Any], Schema]] = {
    FileBeside: lambda _, form: {"type": "string", "minLength": 1},
    Text: lambda _, form: {"type": "string", "maxLength": form.most},
    Word: lambda _, form: {"enum": list(form.words)},
    Name: lambda _, form: _text(_whole(NAME)),
    Button: lambda _, form: _text("^[^+,]+$", maxLength=MOST_BUTTON),
    TerminalName: lambda _, form: _text(_whole(TERMINAL_NAME)),
    YesNo: lambda _, form: {"type": "boolean"},
    Count: lambda _, form: {"type": "integer", "minimum": form.least, "maximum": form.most},
    Number: lambda _, form: {"type": "number", "minimum": form.least, "maximum": form.most},
    Gauge: lambda _, form: _text(_whole(GAUGE), examples=["16 AWG", "1.5 mm2"]),
    TerminalRef: lambda _, form: _text(_whole(TERMINAL), examples=["F1.line", "X1.plug.2"]),
    BranchEnd: lambda _, form: _text(_whole(PLACE), examples=["GRIP", "X1.plug", "B1"]),
    Cavity: lambda _, form: _text(_whole(CAVITY), examples=["plug.1"]),
    Colour: lambda _, form: _text(_colour(), examples=["RD", "RD/WH"]),
    TableOf: lambda writer, form: writer.table(form.fields),
    Cores: _Writer.cores,
    LibraryRow: _Writer.row,
    FuseStyle: _Writer.style,
    Amount: _Writer.amount,
    Range: _Writer.range,
    Spread: _Writer.spread,
    ListOf: _Writer.list_of,
    OneOrMore: _Writer.one_or_more,
    Either: _Writer.either,
}
