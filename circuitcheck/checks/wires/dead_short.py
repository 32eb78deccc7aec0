"""One fuse against one wire in a dead short: the numbers, not the judgement.

Up to its ampacity a wire carries a current for good: the comparison of times starts there, or
where the fuse is sure to open at all if that is more.
"""

from __future__ import annotations

from functools import cached_property

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Term, Working
from circuitcheck.checks.fuses.fuse_ahead import FittedFuse, air_words
from circuitcheck.checks.wires.laid_heat import carried_a, laid_heat
from circuitcheck.checks.wires.wire_limit import LaidWire
from circuitcheck.checks.worst_current import worst_current
from circuitcheck.errors import LibraryError
from circuitcheck.formulas.fuse_clearing import guaranteed_opening_a
from circuitcheck.model.library import FuseOpeningBand, FuseRow
from circuitcheck.record import record
from circuitcheck.solve.shorts.short_circuit import ShortCircuit
from circuitcheck.transient.heat.clearing import ClearingPoint, SlowEdge, least_clearing_margin
from circuitcheck.transient.heat.fuse_rating import rerated_a
from circuitcheck.transient.heat.wire_heat import WireHeat
from circuitcheck.units import text


@record
class ShortAgainstFuse:
    """A short, the wire it runs through and one fuse ahead of it.

    `worth_a` is the fuse in its coldest air, `opens_a` the lowest current at which it must open,
    `start_c` the wire's hottest running temperature, `carried_a` what it carries for good,
    `nearest_a` the most that a short anywhere along it draws (worked out where it matters).
    """

    wire: LaidWire
    heat: WireHeat
    short: ShortCircuit
    fuse: FittedFuse
    band: FuseOpeningBand
    worth_a: float
    opens_a: float
    start_c: float
    carried_a: float
    nearest_a: float

    @property
    def may_never_open(self) -> bool:
        """Whether the weakest short lies below what the fuse must open at."""
        return self.short.weakest_a < self.opens_a

    @property
    def opens_somewhere(self) -> bool:
        """Whether the strongest short is sure to open the fuse."""
        return self.short.strongest_a >= self.opens_a

    @property
    def carried_for_good(self) -> bool:
        """Whether even the strongest short is no more than the wire carries for good."""
        return self.short.strongest_a <= self.carried_a

    @property
    def leaves_it_feeding(self) -> bool:
        """Whether a short along it may go on for good with more than the wire carries."""
        return self.may_never_open and min(self.opens_a, self.nearest_a) > self.carried_a

    @cached_property
    def worst(self) -> ClearingPoint:
        """The current with the least margin, of those at which the fuse is sure to open."""
        return least_clearing_margin(
            min(max(self.short.weakest_a, self.carried_a, self.opens_a), self.short.strongest_a),
            self.short.strongest_a,
            SlowEdge(self.worth_a, self.band.percents, self.band.max_s),
            self.heat,
            self.start_c,
        )

    @property
    def rank(self) -> tuple[float, ...]:
        """What ranks fuses that open: the most to spare; of equals the add-on's."""
        return (self.carried_for_good, 1.0 - self.worst.share, self.fuse.inline)


def short_against_fuse(
    case: Case, wire: LaidWire, short: ShortCircuit, fuse: FittedFuse, row: FuseRow
) -> ShortAgainstFuse:
    """Return the numbers of one fuse in one short.

    The wire's own current is taken for the fuse too: the fuse carries no less. Raises
    LibraryError where a table has no row for it.
    """
    band = case.library.fuse_opening_band(row.style)
    worth_a = rerated_a(case.library, row, fuse.ambient_c.lower)
    start_c, heat = _hottest_c(case, wire), laid_heat(case, wire)
    opens_a = guaranteed_opening_a(worth_a, band.percents, band.max_s)
    if short.strongest_a <= 0.0:
        raise LibraryError(f"no current flows in a short at {short.far_terminal}")
    carried = carried_a(case, wire, heat)
    nearest_a = short.strongest_a
    if short.weakest_a < opens_a and nearest_a <= carried:
        # Its far end is too weak to harm it; nearer to the battery more may flow.
        nearest_a = max(nearest_a, case.shorts.strongest_at_near_end(wire.name))
    return ShortAgainstFuse(
        wire, heat, short, fuse, band, worth_a, opens_a, start_c, carried, nearest_a
    )


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


def short_conditions(at: ShortAgainstFuse) -> tuple[str, ...]:
    """Return in words where the short is and what makes it so weak or strong."""
    short, wire, air_c = at.short, at.wire, at.fuse.ambient_c.lower
    at_strongest = at.opens_somewhere and at.worst.current_a >= short.strongest_a
    words = short.conditions_strongest if at_strongest else short.conditions_weakest
    return (
        f"short at {short.far_terminal} to {short.target}, "
        f"{text(short.weakest_a, 'A')} to {text(short.strongest_a, 'A')}",
        *words,
        air_words(at.fuse, air_c, at.worth_a),
        f"wire {wire.conductor.name} from {at.start_c:.0f} degC to "
        f"{wire.insulation.short_circuit_c:g} degC ({wire.insulation.name})",
    )


def opens_working(at: ShortAgainstFuse) -> Working:
    """Return the lowest current at which the fuse must open."""
    terms = (
        Term("p", at.opens_a / at.worth_a, "1", "share of its rating at which a fuse must open"),
        Term("I_n", at.worth_a, "A", "the fuse in its coldest air"),
    )
    return Working("p * I_n", terms, Term("I_2", at.opens_a, "A", "lowest opening current"))
