"""Everything a user can do to the circuit: from one switch position to another.

Press, press both at once, release, key on and key off with buttons held. Cranking is not among
them: what the supply does to a coil is a matter of supply events.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cached_property

from circuitcheck.circuit.build import tap_is_live
from circuitcheck.circuit.positions import Position, switch_positions
from circuitcheck.model.harness import Harness
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.record import record

MOST_COMBINATIONS = 8
"""Combinations of buttons up to which each is set out from; beyond, only few and the fullest."""

Buttons = frozenset[tuple[str, str]]


@record
class Action:
    """From one settled switch position to another.

    `name` is what is done: `press left`, `press left + right`, `press left, right held`,
    `release left`, `key on with left held`, `key off with left held`; `, key off` is added where
    a button works although the key is off. `adds` are the buttons pressed, `drops` those released.
    """

    name: str
    before: Position
    after: Position

    @property
    def adds(self) -> Buttons:
        """The buttons that are pressed, as (part, button)."""
        return self.after.pressed - self.before.pressed

    @property
    def drops(self) -> Buttons:
        """The buttons that are released, as (part, button)."""
        return self.before.pressed - self.after.pressed

    @property
    def switches_on(self) -> bool:
        """Whether it presses a button or turns the key on."""
        return bool(self.adds) or (self.after.key, self.before.key) == ("key on", "key off")


def actions(harness: Harness) -> tuple[Action, ...]:
    """Return every action of a harness: what switches on first, fewest buttons held first.

    Two buttons or more that go down or up together do so from and to none other held. Relays are
    at rest in all positions; `settled_action` moves them. Raises CircuitError where buttons make
    too many switch positions.
    """
    return tuple(dict.fromkeys(_Actions(harness).all()))


class _Actions:
    def __init__(self, harness: Harness) -> None:
        self.by = {(p.key, p.pressed): p for p in switch_positions(harness)}
        self.combinations = [pressed for key, pressed in self.by if key == "key on"]
        self.keys = ["key on"]
        taps = harness.of_kind(SupplyTap)
        self.key_matters = any(not tap_is_live(tap, "key off") for tap in taps)
        if any(tap_is_live(tap, "key off") for tap in taps):
            self.keys.append("key off")

    def all(self) -> Iterator[Action]:
        """Yield what switches on, then what switches off."""
        for key in self.keys:
            suffix = "" if key == "key on" else f", {key}"
            for held, more in self._steps():
                name = f"press {self._label(more - held)}{self._held(held)}{suffix}"
                yield Action(name, self.by[key, held], self.by[key, more])
        if self.key_matters:
            for held in self._turned():
                turned = f"key on{self._with(held)}"
                yield Action(turned, self.by["key off", held], self.by["key on", held])
        for key in self.keys:
            suffix = "" if key == "key on" else f", {key}"
            for held, more in self._steps():
                name = f"release {self._label(more - held)}{self._held(held)}{suffix}"
                yield Action(name, self.by[key, more], self.by[key, held])
        if self.key_matters:
            for held in self._turned():
                turned = f"key off{self._with(held)}"
                yield Action(turned, self.by["key on", held], self.by["key off", held])

    def _steps(self) -> Iterator[tuple[Buttons, Buttons]]:
        """Yield pairs of combinations that one or more buttons lie between."""
        for more in self.combinations:
            for button in sorted(more):
                held = more - {button}
                if held in self._known and self._set_out_from(held, button):
                    yield held, more
        nothing: Buttons = frozenset()
        for more in self._together():
            yield nothing, more

    def _set_out_from(self, held: Buttons, button: tuple[str, str]) -> bool:
        if len(self.combinations) <= MOST_COMBINATIONS or not held:
            return True
        return len(held) == self._fullest[button]

    @cached_property
    def _fullest(self) -> dict[tuple[str, str], int]:
        """Most buttons that can be held while a button is pressed besides, by that button."""
        found: dict[tuple[str, str], int] = {}
        for more in self.combinations:
            for button in more:
                if more - {button} in self._known:
                    found[button] = max(found.get(button, 0), len(more) - 1)
        return found

    @cached_property
    def _known(self) -> frozenset[Buttons]:
        return frozenset(self.combinations)

    def _turned(self) -> Iterable[Buttons]:
        """Combinations that may be held while the key is turned: few and all, if there are many."""
        if len(self.combinations) <= MOST_COMBINATIONS:
            return self.combinations
        most = max(len(pressed) for pressed in self.combinations)
        return [held for held in self.combinations if len(held) in (0, 1, most)]

    def _together(self) -> Iterable[Buttons]:
        """Combinations pressed all at once: every pair, and the fullest."""
        fullest = max(len(pressed) for pressed in self.combinations)
        return [c for c in self.combinations if len(c) > 1 and len(c) in (2, fullest)]

    def _label(self, buttons: Buttons) -> str:
        """Return the buttons as the switch positions name them."""
        pressed = self.by.get(("key on", buttons))
        if pressed is not None:
            return pressed.name.removeprefix("key on, ")
        return " + ".join(self._label(frozenset({one})) for one in sorted(buttons))

    def _held(self, held: Buttons) -> str:
        return f", {self._label(held)} held" if held else ""

    def _with(self, held: Buttons) -> str:
        return f" with {self._label(held)} held" if held else ""
