"""One fuse against one wire in a dead short: the numbers, not the judgement.

Both times are straight on logarithmic scales between the listed points of the fuse, so the ends
of the range and those points decide for all of it. Up to its ampacity a wire carries a current
for good: the comparison starts there.
"""

from __future__ import annotations

from dataclasses import dataclass

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Term, Working
from circuitcheck.checks.fuse_ahead import FittedFuse, air_words
from circuitcheck.checks.wire_limit import LaidWire, wire_limit
from circuitcheck.checks.worst_current import worst_current
from circuitcheck.errors import LibraryError
from circuitcheck.formulas.adiabatic import adiabatic_k
from circuitcheck.formulas.fuse_clearing import (
    ClearingPoint,
    guaranteed_opening_a,
    least_clearing_margin,
)
from circuitcheck.model.library import FuseRow
from circuitcheck.solve.shorts.short_circuit import ShortCircuit
from circuitcheck.transient.fuse_rating import rerated_a
from circuitcheck.units import text


@dataclass(frozen=True)
class ShortAgainstFuse:
    """A short, the wire it runs through and one fuse ahead of it.

    `worth_a` is the fuse in its coldest air, `opens_a` the lowest current at which it must open,
    `start_c` the wire's hottest running temperature, `carried_a` what it carries for good (0
    where the library does not know). `worst` is the current with the least margin.
    """

    wire: LaidWire
    short: ShortCircuit
    fuse: FittedFuse
    worth_a: float
    opens_a: float
    start_c: float
    carried_a: float
    worst: ClearingPoint

    @property
    def may_never_open(self) -> bool:
        """Whether the weakest short lies below what the fuse must open at."""
        return self.short.weakest_a < self.opens_a

    @property
    def carried_for_good(self) -> bool:
        """Whether even the strongest short is no more than the wire carries for good."""
        return self.short.strongest_a <= self.carried_a

    @property
    def rank(self) -> tuple[float, ...]:
        """What ranks fuses: clears with most to spare, else opens lowest; the add-on's first."""
        if self.may_never_open:
            return (-self.opens_a, 0.0, 0.0, self.fuse.inline)
        margin = 1.0 - self.worst.clearing_s / self.worst.withstand_s
        return (1.0, self.carried_for_good, margin, self.fuse.inline)


def short_against_fuse(
    case: Case, wire: LaidWire, short: ShortCircuit, fuse: FittedFuse, row: FuseRow
) -> ShortAgainstFuse:
    """Return the numbers of one fuse in one short.

    The wire's own current is taken for the fuse too: the fuse carries no less. Raises
    LibraryError where a table has no row for it.
    """
    band = case.library.fuse_opening_band(row.style)
    worth_a = rerated_a(case.library, row, fuse.ambient_c.lower)
    start_c, carried_a = _hottest_c(case, wire), _carried_a(case, wire.name)
    opens_a = guaranteed_opening_a(worth_a, band.percents, band.max_s)
    if short.strongest_a <= 0.0:
        raise LibraryError(f"no current flows in a short at {short.far_terminal}")
    # Below `opens_a` there is no clearing time to compare: that case is told by itself.
    worst = least_clearing_margin(
        min(max(short.weakest_a, carried_a, opens_a), short.strongest_a),
        short.strongest_a,
        worth_a,
        band.percents,
        band.max_s,
        area_mm2=wire.conductor.area_min_mm2,
        initial_c=start_c,
        final_c=wire.insulation.short_circuit_c,
        metal=wire.metal,
    )
    return ShortAgainstFuse(wire, short, fuse, worth_a, opens_a, start_c, carried_a, worst)


def short_guesses(case: Case, wire: LaidWire) -> tuple[str, ...]:
    """Return what a short through a wire rests on without being known: sizes and lengths."""
    unknown = tuple(
        f"{a.subject}, {a.key} unknown: look at {a.measure}"
        for a in case.harness.assumptions
        if a.stated_unknown and a.key.removeprefix("upstream.") in ("gauge", "length")
    )
    return tuple(dict.fromkeys((*wire.guesses, *unknown)))


def _hottest_c(case: Case, wire: LaidWire) -> float:
    air_c = max(case.harness.zone_of(zone).ambient_c.upper for zone in wire.route)
    running = worst_current(case, wire.name)
    start_c = max(air_c, running.temperature_c) if running else air_c
    if start_c >= wire.insulation.short_circuit_c:
        raise LibraryError(
            f"{wire.name} runs at {start_c:.0f} degC, above the fault limit of "
            f"{wire.insulation.name}; look at wire ampacity first"
        )
    return start_c


def _carried_a(case: Case, wire: str) -> float:
    try:
        return wire_limit(case, wire).ampacity_a
    except LibraryError:
        return 0.0  # not known: then the adiabatic limit alone decides


def short_conditions(at: ShortAgainstFuse) -> tuple[str, ...]:
    """Return in words where the short is and what makes it so weak or strong."""
    short, wire, air_c = at.short, at.wire, at.fuse.ambient_c.lower
    at_strongest = not at.may_never_open and at.worst.current_a >= short.strongest_a
    words = short.conditions_strongest if at_strongest else short.conditions_weakest
    return (
        f"short at {short.far_terminal} to {short.target}, "
        f"{text(short.weakest_a, 'A')} to {text(short.strongest_a, 'A')}",
        *words,
        air_words(at.fuse, air_c, at.worth_a),
        f"wire {wire.conductor.name} from {at.start_c:.0f} degC to "
        f"{wire.insulation.short_circuit_c:g} degC ({wire.insulation.name})",
    )


def withstand_working(at: ShortAgainstFuse) -> Working:
    """Return how long the wire stands the worst current of the short."""
    final_c = at.wire.insulation.short_circuit_c
    k, metal = adiabatic_k(at.start_c, final_c, at.wire.metal), at.wire.material.name
    terms = (
        Term("k", k, "A*s**0.5/mm2", f"{metal}, {at.start_c:.0f} degC to {final_c:g} degC"),
        Term("A", at.wire.conductor.area_min_mm2, "mm2", "least area of the conductor"),
        Term("I", at.worst.current_a, "A", "current of the short, the worst of its range"),
    )
    result = Term("t_wire", at.worst.withstand_s, "s", "time that the wire stands it")
    return Working("(k * A / I) ** 2", terms, result)


def opens_working(at: ShortAgainstFuse) -> Working:
    """Return the lowest current at which the fuse must open."""
    terms = (
        Term("p", at.opens_a / at.worth_a, "1", "share of its rating at which a fuse must open"),
        Term("I_n", at.worth_a, "A", "the fuse in its coldest air"),
    )
    return Working("p * I_n", terms, Term("I_2", at.opens_a, "A", "lowest opening current"))
