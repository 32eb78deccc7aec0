"""Switch positions: what an interlock takes away, how they are named, how many are too many."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuitcheck.circuit.positions import KEY_STATES, MOST_POSITIONS, Position, switch_positions
from circuitcheck.errors import CircuitError
from circuitcheck.model.harness import Harness
from circuitcheck.model.switch import Interlock, SwitchContact, SwitchHandle
from circuitcheck.model.tolerance_band import Band


def handle(name: str, *buttons: str, locks: tuple[Interlock, ...] = ()) -> SwitchHandle:
    contacts = tuple(SwitchContact(b, "momentary", ("feed", f"out_{b}")) for b in buttons)
    return SwitchHandle(name, "cab", contacts, locks, (), Band.exact(0.01))


def with_handles(harness: Harness, *handles: SwitchHandle) -> Harness:
    """The harness with its own handle taken out and others put in; no wire need reach them."""
    parts = {n: p for n, p in harness.parts.items() if not isinstance(p, SwitchHandle)}
    return replace(harness, parts={**parts, **{h.name: h for h in handles}})


def names(positions: tuple[Position, ...], key: str = "key on") -> list[str]:
    return [p.name for p in positions if p.key == key]


@pytest.fixture(scope="session")
def good(harness_of: Callable[..., Harness]) -> Harness:
    return harness_of()


def test_a_habit_removes_nothing(harness_of: Callable[..., Harness]) -> None:
    free = harness_of(GRIP={"interlock": '{ kind = "none", between = ["left", "right"] }'})
    assert names(switch_positions(free)) == [
        "key on",
        "key on, left",
        "key on, right",
        "key on, left + right",
    ]
    silent = harness_of(GRIP={"interlock": None})
    assert switch_positions(silent) == switch_positions(free)


@pytest.mark.parametrize("kind", ["mechanical", "electrical"])
def test_an_interlock_removes_both_together(kind: str, harness_of: Callable[..., Harness]) -> None:
    locked = harness_of(GRIP={"interlock": f'{{ kind = "{kind}", between = ["left", "right"] }}'})
    assert names(switch_positions(locked)) == ["key on", "key on, left", "key on, right"]


def test_every_key_state_has_every_combination(good: Harness) -> None:
    positions = switch_positions(good)
    assert [p.key for p in positions] == [key for key in KEY_STATES for _ in range(3)]
    assert KEY_STATES == ("key off", "key on", "cranking")


def test_an_interlock_of_three_lets_one_through(good: Harness) -> None:
    lock = Interlock("mechanical", ("a", "b", "c"))
    positions = switch_positions(with_handles(good, handle("H", *"abcd", locks=(lock,))))
    worked = {frozenset(button for _, button in p.pressed) for p in positions}
    assert worked == {
        frozenset(chosen)
        for n in range(5)
        for chosen in combinations("abcd", n)
        if len(set(chosen) & set("abc")) <= 1
    }


def test_an_interlock_binds_its_own_handle_only(good: Harness) -> None:
    lock = Interlock("mechanical", ("up", "down"))
    two = with_handles(good, handle("H1", "up", "down", locks=(lock,)), handle("H2", "up", "down"))
    found = names(switch_positions(two))
    assert "key on, H2 up + H2 down" in found
    assert "key on, H1 up + H2 down" in found
    assert not [name for name in found if "H1 up + H1 down" in name]


def test_buttons_of_the_same_name_are_told_apart_by_their_part(good: Harness) -> None:
    two = with_handles(good, handle("H1", "up", "lamp"), handle("H2", "up"))
    assert names(switch_positions(two))[:4] == [
        "key on",
        "key on, H1 up",
        "key on, lamp",
        "key on, H2 up",
    ]


def test_a_button_that_is_called_like_another_ones_full_name(good: Harness) -> None:
    three = with_handles(good, handle("L", "up"), handle("R", "up"), handle("X", "L up"))
    found = names(switch_positions(three))
    assert len(found) == len(set(found)) == 8


@given(st.data())
def test_names_are_never_alike(good: Harness, data: st.DataObject) -> None:
    buttons = st.lists(st.sampled_from(["up", "H1 up", "H2 up", "a"]), min_size=1, unique=True)
    handles = [handle(f"H{k}", *data.draw(buttons)) for k in (1, 2)]
    found = [p.name for p in switch_positions(with_handles(good, *handles))]
    assert len(found) == len(set(found))


def test_one_button_may_work_several_contacts(good: Harness) -> None:
    contacts = (
        SwitchContact("float", "maintained", ("feed", "a")),
        SwitchContact("float", "maintained", ("feed", "b")),
    )
    one = SwitchHandle("H", "cab", contacts, (), (), Band.exact(0.01))
    positions = switch_positions(with_handles(good, one))
    assert names(positions) == ["key on", "key on, float"]
    pressed = positions[-1]
    assert all(pressed.closes(one, contact) for contact in contacts)


def test_a_normally_closed_contact_opens_when_worked(good: Harness) -> None:
    make = SwitchContact("b", "momentary", ("feed", "a"))
    rest = SwitchContact("b", "momentary", ("feed", "c"), normally_closed=True)
    one = SwitchHandle("H", "cab", (make, rest), (), (), Band.exact(0.01))
    at_rest, worked = [p for p in switch_positions(with_handles(good, one)) if p.key == "key on"]
    assert (at_rest.closes(one, make), at_rest.closes(one, rest)) == (False, True)
    assert (worked.closes(one, make), worked.closes(one, rest)) == (True, False)


def test_eight_free_buttons_are_the_most(good: Harness) -> None:
    letters = "abcdefghi"
    assert len(switch_positions(with_handles(good, handle("H", *letters[:8])))) == MOST_POSITIONS
    with pytest.raises(CircuitError, match=r"^9 free buttons make more than 768 .* interlocks"):
        switch_positions(with_handles(good, handle("H", *letters)))


def test_interlocked_buttons_do_not_count_towards_the_most(good: Harness) -> None:
    letters = "abcdefghij"
    lock = Interlock("electrical", tuple(letters))
    found = switch_positions(with_handles(good, handle("H", *letters, locks=(lock,))))
    assert len(found) == 3 * (1 + len(letters))


def test_a_hundred_buttons_are_refused_at_once(good: Harness) -> None:
    with pytest.raises(CircuitError, match="100 free buttons"):
        switch_positions(with_handles(good, *(handle(f"H{k}", *"abcdefghij") for k in range(10))))


def test_a_harness_without_switches_has_the_key_alone(good: Harness) -> None:
    assert [p.name for p in switch_positions(with_handles(good))] == list(KEY_STATES)
