"""Records against frozen dataclasses of the standard library, which they stand in for."""

from __future__ import annotations

import copy
import dataclasses
import math
import pickle
from collections.abc import Callable
from dataclasses import FrozenInstanceError, dataclass, field
from functools import cached_property
from typing import Any

import pytest

from circuitcheck.model.terminal import Terminal
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

MAKERS = [record, dataclass(frozen=True)]


def made(as_record: Callable[[type], Any]) -> Any:
    """Return one class with every kind of field, as a record or as a dataclass."""

    class Sample:
        """A class."""

        own: float
        count: int = 3
        names: tuple[str, ...] = field(default=(), repr=False)
        found: dict[str, int] = field(default_factory=dict, compare=False)
        twice: float = field(init=False, default=0.0)
        late: str = field(default="late", kw_only=True)

        def __post_init__(self) -> None:
            if self.count < 0:
                raise ValueError("count is below 0")

        @cached_property
        def doubled(self) -> float:
            return 2.0 * self.own

    Sample.__qualname__ = "Sample"
    return as_record(Sample)


@pytest.mark.parametrize("maker", MAKERS)
def test_fields_and_defaults(maker: Callable[[type], Any]) -> None:
    cls = made(maker)
    one, other = cls(1.5, late="x"), cls(own=1.5, found={"a": 1}, late="x")
    assert (one.own, one.count, one.names, one.found, one.twice) == (1.5, 3, (), {}, 0.0)
    assert one == other
    assert hash(one) == hash(other)
    assert one != cls(1.5)
    assert one.found is not cls(1.5).found
    assert one.doubled == 3.0
    assert repr(one) == "Sample(own=1.5, count=3, found={}, twice=0.0, late='x')"
    assert dataclasses.replace(one, count=4).count == 4
    assert [f.name for f in dataclasses.fields(cls)] == [
        "own", "count", "names", "found", "twice", "late",
    ]  # fmt: skip
    assert one != "something else"


@pytest.mark.parametrize("maker", MAKERS)
def test_refuses_what_a_frozen_dataclass_refuses(maker: Callable[[type], Any]) -> None:
    cls = made(maker)
    one = cls(1.0)
    with pytest.raises(FrozenInstanceError, match="cannot assign to field 'own'"):
        one.own = 2.0
    with pytest.raises(FrozenInstanceError, match="cannot delete field 'own'"):
        del one.own
    with pytest.raises(TypeError, match="missing 1 required positional argument: 'own'"):
        cls()
    with pytest.raises(TypeError, match="unexpected keyword argument 'twice'"):
        cls(1.0, twice=2.0)
    with pytest.raises(ValueError, match="below 0"):
        cls(1.0, -1)
    with pytest.raises(TypeError, match="positional argument"):
        cls(1.0, 1, (), {}, "late")


@pytest.mark.parametrize("maker", MAKERS)
def test_values_that_are_not_equal_to_themselves(maker: Callable[[type], Any]) -> None:
    cls = made(maker)
    assert cls(math.nan) == cls(math.nan)
    assert cls(float("nan")) != cls(float("nan"))


def test_inherited_fields_and_methods_of_a_class_itself() -> None:
    @record
    class Base:
        first: int

    @record
    class More(Base):  # noqa: PLW1641 - a record keeps its hash
        second: int = 2

        def __repr__(self) -> str:
            return "mine"

        def __eq__(self, other: object) -> bool:
            return isinstance(other, More) and self.first == other.first

    assert More(1, 5) == More(1)
    assert hash(More(1)) == hash((1, 2))
    assert repr(More(1)) == "mine"
    assert Base(1) != More(1)

    class Outside(Base):
        """Not a record itself: made by the record's own constructor."""

    assert Outside(4).first == 4
    assert Base(5).first == 5


def test_names_only_and_no_fields() -> None:
    @record(kw_only=True)
    class Named:
        number: int

    @record
    class Nothing:
        pass

    assert Named(number=1).number == 1
    with pytest.raises(TypeError):
        Named(1)  # type: ignore[misc]
    assert Nothing() == Nothing()
    assert hash(Nothing()) == hash(Nothing())


@pytest.mark.parametrize("one", [Band(1.0, 2.0, 3.0), Terminal("F1", "load")])
def test_copies_and_pickles(one: Any) -> None:
    assert copy.deepcopy(one) == one
    assert pickle.loads(pickle.dumps(one)) == one
    assert pickle.loads(pickle.dumps(one)) is not one


@dataclass
class Mutable:
    number: int = 1


def test_refuses_what_it_cannot_hold() -> None:
    with pytest.raises(TypeError, match="Mutable has fields but is no record"):

        @record
        class Below(Mutable):
            other: int = 2

    with pytest.raises(TypeError, match="cannot have the field 'once'"):

        @record
        class Once:
            once: dataclasses.InitVar[int]

    with pytest.raises(TypeError, match="cannot have the field '_own'"):

        @record
        class Own:
            _own: int

    with pytest.raises(TypeError, match="follows"):

        @record
        class Order:
            first: int = 1
            second: int  # type: ignore[misc]


def test_a_constructor_taken_before_its_first_use_works_later() -> None:
    @record
    class Late:
        number: int

    kept = Late.__init__
    assert Late(1).number == 1
    one = Late.__new__(Late)
    kept(one, 2)
    assert one.number == 2
