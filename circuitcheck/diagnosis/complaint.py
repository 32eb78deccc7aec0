"""What a person complains of, in a few fixed forms of words, as the observations that it is.

    VL does not click            no click, in the first position that asks for VL
    VL is weak                   it may click, the valve does not move
    VL clicks but does not move  a click, no movement
    VL works unasked             a click with no button worked
    F1 blows                     the fuse is found blown
    H1 does not light            the indicator is dark; H1 lights unasked

Each may end with `in` and the name of a switch position.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from circuitcheck.diagnosis.candidates import CLICK, FUSE_LOOKED_AT, INDICATOR, MOVES, CoilPlace
from circuitcheck.diagnosis.loads import lights_of
from circuitcheck.errors import CircuitError
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.harness import Harness
from circuitcheck.model.reading import Measurement, Reading, Situation
from circuitcheck.record import record

COIL, LIGHT, FUSE = "coil", "indicator", "fuse"


@record
class _Form:
    """Words after the name, what they are said of, what was seen, and whether it was asked for."""

    words: str
    of: str
    seen: tuple[tuple[str, float], ...]
    asked: bool = True


FORMS = (
    _Form("does not click", COIL, ((CLICK, 0.0),)),
    _Form("does not work", COIL, ((MOVES, 0.0),)),
    _Form("does not move", COIL, ((MOVES, 0.0),)),
    _Form("is weak", COIL, ((MOVES, 0.0),)),
    _Form("clicks but does not move", COIL, ((CLICK, 1.0), (MOVES, 0.0))),
    _Form("works", COIL, ((CLICK, 1.0), (MOVES, 1.0))),
    _Form("works unasked", COIL, ((CLICK, 1.0),), asked=False),
    _Form("does not light", LIGHT, ((INDICATOR, 0.0),)),
    _Form("lights", LIGHT, ((INDICATOR, 1.0),)),
    _Form("lights unasked", LIGHT, ((INDICATOR, 1.0),), asked=False),
    _Form("blows", FUSE, ((FUSE_LOOKED_AT, 0.0),)),
)


class ComplaintReader:
    """Reads complaints on one harness; `positions` are the names of its switch positions."""

    def __init__(
        self, harness: Harness, places: Mapping[str, CoilPlace], positions: Iterable[str]
    ) -> None:
        self.harness, self.places = harness, places
        self.positions = tuple(positions)
        self.kind_of = {
            **dict.fromkeys(places, COIL),
            **{part.name: LIGHT for part in lights_of(harness)},
            **{part.name: FUSE for part in harness.of_kind(Fuse)},
        }

    def read(self, words: str) -> tuple[Reading, ...]:
        """Return the observations in a complaint. Raises CircuitError with the forms allowed."""
        said = " ".join(words.split())
        before, _, position = said.partition(" in ")
        for form in sorted(FORMS, key=lambda form: -len(form.words)):
            name = before.removesuffix(f" {form.words}")
            if name != before:
                if self.kind_of.get(name) != form.of:
                    raise CircuitError(self._no_such(name, form.of))
                return self._readings(name, form, position)
        raise CircuitError(
            f'"{said}" is no complaint that can be read; say for example: '
            + "; ".join(self.examples())
        )

    def examples(self) -> tuple[str, ...]:
        """Return what can be said of this harness, one part of each kind."""
        first: dict[str, str] = {}
        for name, kind in self.kind_of.items():
            first.setdefault(kind, name)
        return tuple(f"{first[form.of]} {form.words}" for form in FORMS if form.of in first)

    def _no_such(self, name: str, kind: str) -> str:
        known = ", ".join(part for part, of in self.kind_of.items() if of == kind)
        return f'no {kind} "{name}" in this file; there are: {known or "none"}'

    def _readings(self, name: str, form: _Form, position: str) -> tuple[Reading, ...]:
        if position and position not in self.positions:
            known = "; ".join(self.positions)
            raise CircuitError(f'no switch position "{position}"; there are: {known}')
        situation = Situation(position or self._usual(name, form))
        return tuple(
            Reading(Measurement(instrument, name, "", situation), value, place="complaint")
            for instrument, value in form.seen
        )

    def _usual(self, name: str, form: _Form) -> str:
        """The position that is meant where none is named."""
        at_rest = next((p for p in self.positions if p.startswith("key on")), self.positions[0])
        if not form.asked:
            return at_rest
        own = self.places[name].positions if name in self.places else ()
        others = [place.positions[0] for place in self.places.values() if place.positions]
        return next(iter((*own, *others)), at_rest)
