"""Frozen records: dataclasses that take a tenth of the time to define.

`@record` gives what records here need of `@dataclass(frozen=True)`: the same constructor, equality,
hash, text and errors; `replace`, `fields`, copies and pickles work on it. The standard library
writes and compiles six methods for each class; here all records share theirs and only the
constructor is compiled, when it is first used. For the hundreds of records of this program that is
0.1 s of 0.76 s of a `check`. What a record cannot have is refused where it is defined: an
`InitVar`, a field named `self` or `_own`, a base class with fields that is no record.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import (
    MISSING,
    Field,
    FrozenInstanceError,
    InitVar,
    dataclass,
    field,
    fields,
)
from operator import attrgetter
from reprlib import recursive_repr
from typing import Any, TypeVar, dataclass_transform, overload

T = TypeVar("T")
_DEFAULT = object()
"""Stands for a default that is made anew for each record."""


@overload
def record(cls: type[T], /) -> type[T]: ...
@overload
def record(*, kw_only: bool = False) -> Callable[[type[T]], type[T]]: ...
@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def record(cls: Any = None, /, *, kw_only: bool = False) -> Any:
    """Make a class a frozen record of its annotated fields; with `kw_only` all go by name.

    What the class itself defines stays. A record may inherit from records alone.
    """
    if cls is None:
        return lambda given: _made(given, kw_only=kw_only)
    return _made(cls, kw_only=kw_only)


def _made(cls: type[T], *, kw_only: bool) -> type[T]:
    own = cls.__dict__
    for name, method in _SHARED.items():
        # Python itself takes the hash from a class with an equality of its own; a record keeps it
        lost = name == "__hash__" and own.get(name) is None and "__eq__" in own
        if name not in own or lost:
            setattr(cls, name, method)
    made: Any = dataclass(cls, init=False, repr=False, eq=False, kw_only=kw_only)
    every = fields(made)
    _refuse_what_no_record_has(made)
    made._compared = _getter([f.name for f in every if f.compare])
    made._hashed = _getter([f.name for f in every if (f.compare if f.hash is None else f.hash)])
    return made  # type: ignore[no-any-return]


def _refuse_what_no_record_has(cls: Any) -> None:
    """Raise TypeError for what the shared methods or the constructor would get wrong."""
    for base in cls.__mro__[1:]:
        if "__dataclass_fields__" in vars(base) and "_compared" not in vars(base):
            raise TypeError(f"{cls.__qualname__}: {base.__qualname__} has fields but is no record")
    known = cls.__dataclass_fields__
    for name, one in known.items():
        if name in ("self", "_own") or one.type.__class__ is InitVar or "InitVar" in str(one.type):
            raise TypeError(f"{cls.__qualname__}: a record cannot have the field {name!r}")
    optional = ""
    for f in fields(cls):
        if not f.init or f.kw_only:
            continue
        if f.default is not MISSING or f.default_factory is not MISSING:
            optional = f.name
        elif optional:
            raise TypeError(
                f"{cls.__qualname__}: {f.name!r} follows {optional!r}, which has a default"
            )


def _getter(names: list[str]) -> Callable[[Any], Any]:
    """Return what reads some fields of a record: a value, or a tuple of several."""
    return attrgetter(*names) if names else staticmethod(lambda _: ())


def _first_use(self: Any, *given: Any, **named: Any) -> None:
    """Compile the constructor of a record's class, then go through it."""
    is_first = (c for c in type(self).__mro__ if c.__dict__.get("__init__") is _first_use)
    cls: Any = next(is_first, None)
    if cls is None:
        # another thread was first, or this was taken from the class before its first use
        cls = next(c for c in type(self).__mro__ if "_compared" in c.__dict__)
    else:
        cls.__init__ = _constructor(cls)
    cls.__init__(self, *given, **named)


def _constructor(cls: Any) -> Callable[..., None]:
    """Return `__init__` of a record: it fills the fields and calls `__post_init__`."""
    ordered = [f for f in fields(cls) if f.init]
    by_name = [f for f in ordered if f.kw_only]
    given = [_parameter(f) for f in ordered if not f.kw_only]
    given += ["*", *(_parameter(f) for f in by_name)] if by_name else []
    lines = [f"def __init__({', '.join(['self', *given])}):", " _own = self.__dict__"]
    known: dict[str, Any] = {"_DEFAULT": _DEFAULT}
    for f in fields(cls):
        lines += _filling(f, known)
    if hasattr(cls, "__post_init__"):
        lines.append(" self.__post_init__()")
    exec("\n".join(lines), known)
    made: Callable[..., None] = known["__init__"]
    made.__qualname__ = f"{cls.__qualname__}.__init__"
    made.__module__ = cls.__module__
    made.__annotations__ = {f.name: f.type for f in ordered} | {"return": None}
    return made


def _parameter(f: Field[Any]) -> str:
    if f.default_factory is not MISSING:
        return f"{f.name}=_DEFAULT"
    return f.name if f.default is MISSING else f"{f.name}=_default_{f.name}"


def _filling(f: Field[Any], known: dict[str, Any]) -> list[str]:
    """Return the lines that fill a field; what they refer to joins `known`."""
    known[f"_default_{f.name}"] = f.default
    if f.default_factory is not MISSING:
        known[f"_new_{f.name}"] = f.default_factory
        given = f" if {f.name} is _DEFAULT else {f.name}" if f.init else ""
        return [f" _own[{f.name!r}] = _new_{f.name}(){given}"]
    if f.init:
        return [f" _own[{f.name!r}] = {f.name}"]
    return [] if f.default is MISSING else [f" _own[{f.name!r}] = _default_{f.name}"]


def _equal(self: Any, other: Any) -> Any:
    if other.__class__ is not self.__class__:
        return NotImplemented
    read = self._compared
    # in tuples: a field is equal to itself even where its value, such as NaN, is not
    return (read(self),) == (read(other),)


def _hash(self: Any) -> Any:
    return hash(self._hashed(self))


@recursive_repr()
def _text(self: Any) -> str:
    shown = ", ".join(f"{f.name}={getattr(self, f.name)!r}" for f in fields(self) if f.repr)
    return f"{type(self).__qualname__}({shown})"


def _no_set(_: object, name: str, value: object) -> None:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _no_delete(_: object, name: str) -> None:
    raise FrozenInstanceError(f"cannot delete field {name!r}")


_SHARED = {
    "__init__": _first_use,
    "__repr__": _text,
    "__eq__": _equal,
    "__hash__": _hash,
    "__setattr__": _no_set,
    "__delattr__": _no_delete,
}
