"""Machines with faults in ngspice, and diagnoses of them in lockstep: what a session would come to.

The machine that is measured is `reference_solvers/faulted_spice.py`: the exported netlist with the
fault written into its text, tolerances drawn evenly over their bands, severities drawn between the
steps of the fault list, a battery that sags. The meter is wrong by a gain of its own and by its
last digits. A person works each button once and says which coil clicked and which light was lit.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
from reference_solvers.faulted_spice import FaultedSpice, Machine, Query

from circuitcheck.diagnosis.candidates import CLICK, INDICATOR
from circuitcheck.diagnosis.causes import VALVE_STUCK, Cause
from circuitcheck.diagnosis.diagnosis import Diagnosis
from circuitcheck.diagnosis.loads import lights_of
from circuitcheck.diagnosis.opening import Workshop, after_readings
from circuitcheck.faults.fault import AddedOhm, CoilSeized, Fault
from circuitcheck.model import instrument as i
from circuitcheck.model.reading import Measurement, Reading, Situation
from circuitcheck.read.harness_file import read_harness
from circuitcheck.read.library.library_tables import read_library

ROOT = Path(__file__).parents[2]
LIBRARY = read_library()
EXAMPLES = ("orchard_sprayer", "salt_spreader_relay_lamp", "road_sweeper_24v")
MOST_READINGS = 14
SIDE_BY_SIDE = 50
"""Diagnoses under way at once: each holds what its pairs of faults would show."""
DECADE_STEP = 10.0**0.5
BLADE_A_SHARE = 0.2
LEADS_OHM = 0.2
FILAMENT_ROUNDS = 4
GAIN = {"V": 0.005, "ohm": 0.008, "A": 0.02}
LAST_DIGITS = {"V": 0.02, "ohm": 0.3, "A": 0.05}

Faults = tuple[Fault, ...]
Chooser = Callable[[Diagnosis], int | None]


def workshop_of(example: str) -> Workshop:
    harness = read_harness(ROOT / "examples" / example / "harness.toml", LIBRARY)
    return Workshop(harness, LIBRARY)


def by_label(workshop: Workshop) -> list[list[Cause]]:
    """Single causes of the circuit, the severities of each together."""
    found: dict[str, list[Cause]] = {}
    for cause in workshop.causes:
        if cause.faults and cause.faults[0].mode != VALVE_STUCK:
            found.setdefault(cause.label, []).append(cause)
    return list(found.values())


def drawn(severities: Sequence[Cause], rng: np.random.Generator) -> Fault:
    """One severity, its resistance anywhere up to the next step."""
    fault = severities[rng.integers(len(severities))].faults[0]
    if not fault.severity:
        return fault
    share = DECADE_STEP ** rng.random()
    changes = tuple(
        replace(change, ohm=change.ohm * share) if isinstance(change, AddedOhm) else change
        for change in fault.changes
    )
    return replace(fault, changes=changes)


class MeasuredMachines:
    """Machines with a fault each, measured in batches."""

    def __init__(
        self, workshop: Workshop, faults: Sequence[Faults], folder: Path, rng: np.random.Generator
    ) -> None:
        self.harness = workshop.full.harness
        self.spice = FaultedSpice(self.harness, LIBRARY, folder)
        self.machines: list[Machine] = [self.spice.machine(one, rng) for one in faults]
        self.gain = rng.uniform(-1.0, 1.0, len(faults))
        self.rng = rng

    def at_first(self, buttons: Sequence[Sequence[Measurement]]) -> list[list[float]]:
        """What each person saw, working the buttons one after the other: a blown fuse stays so."""
        seen: list[list[float]] = [[] for _ in buttons]
        for step in range(max(map(len, buttons))):
            asked = [(run, one[step]) for run, one in enumerate(buttons) if step < len(one)]
            for (run, _), value in zip(asked, self.true(asked), strict=True):
                seen[run].append(value)
            for run, measurement in asked:
                self.spice.keep_fuses(self.machines[run], measurement.situation)
        return seen

    def true(self, asked: Sequence[tuple[int, Measurement]]) -> list[float]:
        """What stands there, by run and measurement."""
        readers = [self._reader(self.machines[run], measurement) for run, measurement in asked]
        values = [math.nan] * len(readers)
        sent: list[float] | None = None
        going = dict(enumerate(readers))
        queries = {k: next(reader) for k, reader in going.items()}
        while queries:
            flat = [query for some in queries.values() for query in some]
            sent = self.spice.readings(flat)
            start, onward = 0, {}
            for k, some in queries.items():
                answers = sent[start : start + len(some)]
                start += len(some)
                try:
                    onward[k] = going[k].send(answers)
                except StopIteration as done:
                    values[k] = done.value
            queries = onward
        return values

    def shown(self, asked: Sequence[tuple[int, Measurement]]) -> list[float]:
        """What the instruments show, their errors added."""
        return [
            self._with_error(run, measurement, value)
            for (run, measurement), value in zip(asked, self.true(asked), strict=True)
        ]

    def _with_error(self, run: int, measurement: Measurement, value: float) -> float:
        row = LIBRARY.instrument(measurement.instrument)
        if row.kind == i.OBSERVATION:
            return round(value)
        if not math.isfinite(value):
            return math.inf
        if row.kind == i.FUSE_MILLIVOLTS:
            return value * (1.0 + 0.005 * self.gain[run])
        gain = GAIN[row.unit] * self.gain[run]
        digits = 0.1 if row.unit == "V" and abs(value) < 2.0 else 1.0
        last = digits * LAST_DIGITS[row.unit] * self.rng.uniform(-1.0, 1.0)
        return value * (1.0 + gain) + last

    def _reader(self, machine: Machine, measurement: Measurement):  # noqa: PLR0911
        """Yield the queries of a measurement, round by round; returns its value."""
        row = LIBRARY.instrument(measurement.instrument)
        at, plus, minus = measurement.situation, measurement.plus, measurement.minus
        if row.kind == i.VOLTMETER:
            ohm = row.load_ohm(self.harness.system_v)
            return (yield [Query(machine, at, "volt", plus, minus, load_ohm=ohm)])[0]
        if row.kind == i.LOADED_VOLTMETER:
            filament = row.filament
            ohm = filament.rated_v / filament.current_a.nominal
            for _ in range(FILAMENT_ROUNDS):
                (volts,) = yield [Query(machine, at, "volt", plus, minus, load_ohm=ohm)]
                amps = abs(filament.current_at_a(volts))
                ohm = abs(volts) / amps if amps > 1e-9 else filament.cold_ohm
            return volts
        if row.kind == i.OHMMETER:
            return (yield [Query(machine, at, "ohm", plus, minus)])[0] + LEADS_OHM
        if row.kind == i.CLAMP_AMMETER:
            return abs((yield [Query(machine, at, "amp", plus)])[0])
        if row.kind == i.FUSE_MILLIVOLTS:
            return (yield from self._fuse_v(machine, at, plus, row.input_ohm))
        if row.name == "steel blade":
            (amps,) = yield [Query(machine, at, "amp", plus)]
            part = self.harness.parts[plus]
            rated = self.harness.system_v / part.resistance_20c_ohm.nominal
            return float(abs(amps) > BLADE_A_SHARE * rated)
        if row.name == "fuse looked at":
            return 1.0 - (yield [Query(machine, at, "fuse open", plus)])[0]
        if row.name == "indicator":
            return (yield [Query(machine, at, "lit", plus)])[0]
        if row.name == "fed directly":
            (ohm,) = yield [Query(machine, at, "ohm", f"{plus}.1", f"{plus}.2")]
            usual = self.harness.parts[plus].resistance_20c_ohm.nominal
            stuck = any(isinstance(c, CoilSeized) for f in machine.faults for c in f.changes)
            return float(
                0.5 * usual < ohm < 2.0 * usual and not (stuck and plus in _seized(machine))
            )
        return (yield [Query(machine, at, "click", plus)])[0]

    def _fuse_v(self, machine: Machine, at: Situation, fuse: str, meter_ohm: float):
        amps, is_open, across = yield [
            Query(machine, at, "amp", fuse),
            Query(machine, at, "fuse open", fuse),
            Query(machine, at, "volt", f"{fuse}.line", f"{fuse}.load", load_ohm=meter_ohm),
        ]
        if is_open:
            return abs(across)
        row = self.harness.parts[fuse].row
        cold, hot = row.resistance_ohm.nominal, row.drop_at_rated_v / row.rating_a
        share = min(abs(amps) / row.rating_a, 2.0)
        return abs(amps) * (cold + (hot - cold) * share**2)


def _seized(machine: Machine) -> set[str]:
    return {c.coil for f in machine.faults for c in f.changes if isinstance(c, CoilSeized)}


@dataclass
class Run:
    """One machine under diagnosis: `names` is what is wrong with it, as a set of labels.

    `places` holds, after the complaint and after each reading, the place of the group that holds
    what is wrong: 1 for the leading one, 0 where none does. What an ended run has come to is kept
    without its diagnosis, which holds much.
    """

    number: int
    names: frozenset[str]
    diagnosis: Diagnosis | None
    places: list[int] = field(default_factory=list)
    effort_s: float = 0.0
    wrong_at: int = -1
    readings: tuple[Reading, ...] = ()
    is_certain: bool = False
    leading: tuple[str, ...] = ()

    @property
    def is_done(self) -> bool:
        return self.diagnosis is None

    @property
    def count(self) -> int:
        """Readings taken after the complaint."""
        return len(self.places) - 1

    @property
    def rank(self) -> int:
        """Place of the group that holds what is wrong, at the end."""
        return self.places[-1]

    @property
    def is_right(self) -> bool:
        """Whether what is wrong is among the leading group."""
        return self.rank == 1

    @property
    def leads_after(self) -> int:
        """Readings after which the right group leads and stays in the lead to the end."""
        behind = [taken for taken, place in enumerate(self.places) if place != 1]
        return behind[-1] + 1 if behind else 0

    def look(self) -> None:
        """Note where the right group stands now."""
        groups = enumerate(self.diagnosis.groups, start=1)
        held = (place for place, group in groups
                if any(_names(cause) == self.names for cause in group.causes))  # fmt: skip
        self.places.append(next(held, 0))

    def end(self) -> None:
        """Keep what the diagnosis has come to."""
        self.readings = self.diagnosis.readings
        self.is_certain = self.diagnosis.is_certain
        self.leading = self.diagnosis.groups[0].labels
        self.diagnosis = None


def _names(cause: Cause) -> frozenset[str]:
    return frozenset(fault.cause for fault in cause.faults)


def first_looks(workshop: Workshop) -> list[tuple[Measurement, float]]:
    """Each coil worked by its own button, each light beside it; and what a sound circuit shows."""
    looks = []
    lights = [part.name for part in lights_of(workshop.full.harness)]
    for name, place in workshop.candidates.places.items():
        looks.append((Measurement(CLICK, name, "", Situation(place.positions[0])), 1.0))
        looks += [
            (Measurement(INDICATOR, light, "", Situation(place.positions[0])), 1.0)
            for light in lights
        ]
    return looks


@dataclass(frozen=True)
class Seen:
    """What a person saw of machine `number` at the buttons, what is not as it should be first."""

    number: int
    readings: tuple[Reading, ...]


def seen_machines(
    workshop: Workshop, faults: Sequence[Faults], folder: Path, rng: np.random.Generator
) -> tuple[MeasuredMachines, list[Seen]]:
    """Machines, and what was seen of those that show a symptom."""
    machines = MeasuredMachines(workshop, faults, folder, rng)
    looks = first_looks(workshop)
    orders = [rng.permutation(len(looks)).tolist() for _ in faults]
    seen = machines.at_first([[looks[k][0] for k in order] for order in orders])
    found = []
    for number, (order, values) in enumerate(zip(orders, seen, strict=True)):
        value_of = dict(zip(order, values, strict=True))
        readings = [
            (Reading(look, float(value_of[k] > 0.5)), value_of[k] == usual)
            for k, (look, usual) in enumerate(looks)
        ]
        readings.sort(key=lambda one: one[1])
        if any(not fine for _, fine in readings):
            found.append(Seen(number, tuple(reading for reading, _ in readings)))
    return machines, found


def opened(workshop: Workshop, machines: MeasuredMachines, seen: Sequence[Seen]) -> list[Run]:
    """The diagnosis of each machine, opened by what the person saw."""
    return [
        Run(
            one.number,
            frozenset(fault.cause for fault in machines.machines[one.number].faults),
            workshop.open(one.readings),
        )
        for one in seen
    ]


def by_worth(diagnosis: Diagnosis) -> int | None:
    """The package's own choice."""
    return None if diagnosis.choice is None else diagnosis.choice.number


def by_half_split(diagnosis: Diagnosis) -> int | None:
    """The reading that splits the groups left most evenly by their number, as good or bad.

    As it is taught: every group counts alike, a reading is either as it should be or not, and what
    it costs does not matter.
    """
    suspects, asked = diagnosis.suspects, diagnosis.asked
    table, count = suspects.table, len(asked.groups)
    likely = table.share(asked.joint, asked.of_cause, count).argmax(axis=2)
    sound = np.array([np.bincount(row).argmax() for row in table.codes[:, 0, :]])
    bad = (likely != sound[:, None]).sum(axis=1)
    useful = diagnosis._easy & (bad > 0) & (bad < count)
    if not useful.any():
        return by_worth(diagnosis)
    return int(np.argmin(np.where(useful, np.abs(bad - 0.5 * count), np.inf)))


def follow(machines: MeasuredMachines, runs: Sequence[Run], choose: Chooser = by_worth) -> None:
    """Take reading after reading until each diagnosis ends, some machines side by side."""
    for first in range(0, len(runs), SIDE_BY_SIDE):
        _follow(machines, runs[first : first + SIDE_BY_SIDE], choose)


def _follow(machines: MeasuredMachines, runs: Sequence[Run], choose: Chooser) -> None:
    going = list(runs)
    while going:
        asked = []
        for run in going:
            now = run.diagnosis
            run.look()
            number = None
            if run.count < MOST_READINGS and not now.is_certain and not now.nothing_fits:
                number = choose(now)
            if number is None:
                run.end()
            else:
                asked.append((run, number, now.suspects.table.measurements[number]))
        values = machines.shown([(run.number, one) for run, _, one in asked])
        for (run, number, measurement), value in zip(asked, values, strict=True):
            run.effort_s += float(run.diagnosis._effort_s[number])
            is_wrong = run.count == run.wrong_at
            typed = wrongly_taken(machines, run, measurement, value) if is_wrong else value
            run.diagnosis = after_readings(run.diagnosis, [Reading(measurement, typed)])
        going = [run for run, _, _ in asked]


def wrongly_taken(
    machines: MeasuredMachines, run: Run, measurement: Measurement, value: float
) -> float:
    """A reading taken wrongly: the probe does not touch, another cavity, seen the wrong way."""
    rng = machines.rng
    row = LIBRARY.instrument(measurement.instrument)
    if row.kind == i.OBSERVATION:
        return 1.0 - value
    if row.kind == i.OHMMETER:
        return math.inf if rng.random() < 0.5 and math.isfinite(value) else 10 ** rng.uniform(0, 5)
    if rng.random() < 0.5 and abs(value) > 0.1:
        return 0.0
    others = [
        m for m in run.diagnosis.suspects.measurements
        if m.instrument == measurement.instrument and m.situation == measurement.situation
        and m.minus == measurement.minus and m.plus != measurement.plus
    ]  # fmt: skip
    if others and rng.random() < 0.6:
        other = others[rng.integers(len(others))]
        return machines.shown([(run.number, other)])[0]
    top = {"V": 1.05 * machines.harness.system_v, "A": 6.0}[row.unit]
    if row.kind == i.FUSE_MILLIVOLTS:
        top = 0.1
    return float(rng.uniform(0.0, top))


def pairs_of_faults(
    workshop: Workshop, count: int, folder: Path, rng: np.random.Generator
) -> list[Faults]:
    """Draw pairs of faults that show different things at the buttons when each is there alone."""
    labels = by_label(workshop)
    pool = [(drawn(labels[rng.integers(len(labels))], rng),) for _ in range(2 * count)]
    _, seen = seen_machines(workshop, pool, folder, rng)
    alone = [
        (pool[one.number][0], frozenset((r.measurement, r.value) for r in one.readings))
        for one in seen
    ]
    found: list[Faults] = []
    while len(found) < count:
        one, other = (alone[k] for k in rng.choice(len(alone), 2, replace=False))
        if one[1] != other[1] and one[0].subject != other[0].subject:
            found.append((one[0], other[0]))
    return found


def showing_themselves(machines: MeasuredMachines, seen: Sequence[Seen]) -> list[Seen]:
    """Those of which a person sees more at the buttons than each fault alone would show."""
    hidden: set[int] = set()
    spice = machines.spice
    alone = [
        (one, replace(machines.machines[one.number], faults=(fault,), number=spice.next_number()))
        for one in seen
        for fault in machines.machines[one.number].faults
    ]
    # the second time after a fuse that the one fault blows has stayed blown
    for _ in range(2):
        queries = [_looked_at(machine, r.measurement) for one, machine in alone
                   for r in one.readings]  # fmt: skip
        values = iter(spice.readings(queries))
        for one, machine in alone:
            if [next(values) for _ in one.readings] == [r.value for r in one.readings]:
                hidden.add(one.number)
            spice.keep_fuses(machine, *(r.measurement.situation for r in one.readings))
    return [one for one in seen if one.number not in hidden]


def _looked_at(machine: Machine, look: Measurement) -> Query:
    kind = "lit" if look.instrument == INDICATOR else "click"
    return Query(machine, look.situation, kind, look.plus)
