"""The rule of one field, and the reading of a whole table by its rules."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from circuitcheck.model.assumption import Assumption
from circuitcheck.read.forms.forms import Form, refused
from circuitcheck.read.reading import Gap, Place
from circuitcheck.record import record

T = TypeVar("T")


@record
class Field:
    """One key of one table of the harness file.

    `left_out` says what stands in where the key is absent, `unknown` what is assumed for
    `"unknown"` (empty: `"unknown"` is not accepted), `measure` what would settle it.
    """

    key: str
    form: Form
    meaning: str
    required: bool = False
    left_out: str = ""
    unknown: str = ""
    measure: str = ""


@record
class Given:
    """The fields of one table, each read by its form; absent fields are not in `values`.

    `subject` is the part or wire the table belongs to, `prefix` the key of an inner table.
    """

    place: Place
    subject: str
    values: Mapping[str, object]
    fields: tuple[Field, ...]
    prefix: str = ""

    @property
    def broken(self) -> bool:
        """Whether any field, also of an inner table, was refused."""
        return any(_is_broken(value) for value in self.values.values())

    def at(self, key: str) -> Place:
        """Return the place of one key."""
        return self.place.inside(key)

    def has(self, key: str) -> bool:
        """Return whether the file gives a usable value: not absent, unknown or refused."""
        return key in self.values and not isinstance(self.values[key], Gap)

    def is_unknown(self, key: str) -> bool:
        """Return whether the file says `unknown` here."""
        return self.values.get(key) is Gap.UNKNOWN

    def value(self, key: str, kind: type[T], default: T) -> T:
        """Return a value, or `default` where it is absent or unknown; nothing is recorded."""
        value = self.values.get(key)
        return value if isinstance(value, kind) else default

    def optional(self, key: str, kind: type[T]) -> T | None:
        """Return a value, or None where it is absent or unknown; nothing is recorded."""
        value = self.values.get(key)
        return value if isinstance(value, kind) else None

    def settled(self, key: str, kind: type[T], fallback: T, assumed: str) -> T:
        """Return a value; where it is absent or unknown, record and return the fallback."""
        value = self.values.get(key)
        if isinstance(value, kind):
            return value
        self.assume(key, assumed)
        return fallback

    def usual(self, key: str, kind: type[T], fallback: T, assumed: str) -> T:
        """Return a value, else the fallback; recorded only where the file says `unknown`."""
        if self.is_unknown(key):
            self.assume(key, assumed)
        return self.value(key, kind, fallback)

    def assume(self, key: str, assumed: str) -> None:
        """Record what stands in for a field that is absent or unknown, not for a refused one."""
        if self.values.get(key) is Gap.BROKEN:
            return
        measure = next(field.measure for field in self.fields if field.key == key)
        named = f"{self.prefix}.{key}" if self.prefix else key
        record = Assumption(self.subject, named, assumed, measure, self.is_unknown(key))
        # A set in order: the cores of a cable share its fields and need one record for all.
        self.place.reading.assumptions.setdefault(record)


def _is_broken(value: object) -> bool:
    if isinstance(value, Given):
        return value.broken
    if isinstance(value, tuple):
        return any(_is_broken(item) for item in value)
    return value is Gap.BROKEN


@record
class TableOf:
    """An inner table with its own fields."""

    fields: tuple[Field, ...]
    example: str

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return f"table {self.example}"

    def empty(self, outer: Given, key: str) -> Given:
        """Return the fields of a table left out, or unknown as a whole."""
        unknown = outer.is_unknown(key)
        values = {field.key: Gap.UNKNOWN for field in self.fields} if unknown else {}
        return Given(outer.at(key), outer.subject, values, self.fields, key)

    def read(self, value: object, at: Place) -> object:
        """Return a Given."""
        if not isinstance(value, dict):
            return refused(at, value, f"Give a table, for example {self.example}.")
        words = [part for part in at.path[2:] if isinstance(part, str)]
        return read_fields(value, self.fields, at, str(at.path[1]), ".".join(words))


def read_fields(
    table: Mapping[str, object],
    fields: tuple[Field, ...],
    place: Place,
    subject: str,
    prefix: str = "",
    others: tuple[str, ...] = (),
) -> Given:
    """Read every key of a table by its rule; strange and missing keys are problems.

    `others` are keys that are read elsewhere.
    """
    rules = {field.key: field for field in fields}
    values: dict[str, object] = {}
    for key, value in table.items():
        at = place.inside(key)
        if key in rules:
            values[key] = _read_one(rules[key], value, at)
        elif key not in others:
            allowed = f"Keys here: {', '.join((*rules, *others))}."
            at.problem("no such key", place.hint(key, (*rules, *others)) or allowed)
    for field in fields:
        if field.required and field.key not in table:
            unknown = ' or "unknown"' if field.unknown else ""
            place.problem(
                f"{field.key} is missing",
                f"Give {field.key}: {field.meaning} ({field.form.allowed}{unknown}).",
            )
            values[field.key] = Gap.BROKEN
    return Given(place, subject, values, fields, prefix)


def _read_one(field: Field, value: object, at: Place) -> object:
    if value == "unknown":
        if field.unknown:
            return Gap.UNKNOWN
        if field.measure:
            return at.problem('"unknown" is not accepted here', f"To settle it: {field.measure}.")
    return field.form.read(value, at)
