"""Two faults at once: made where no single one explains the readings without one taken wrongly.

For each likely first fault the readings that it leaves unexplained point to the second one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

import numpy as np

from circuitcheck.diagnosis.causes import pair_causes
from circuitcheck.diagnosis.diagnosis import Diagnosis
from circuitcheck.diagnosis.information import FloatArray
from circuitcheck.diagnosis.lots import Picked, Pool
from circuitcheck.diagnosis.posterior import Belief
from circuitcheck.diagnosis.suspects import Suspects

FIRST, SECOND, KEPT = 8, 10, 20
"""First faults tried, second faults for each, and pairs that are kept."""
SOLVED_AT_ONCE, KEPT_AT_ONCE = 30, 5
"""Where a person waits for the next reading: pairs times situations that are solved to try them,
beside pairs kept before, and new ones kept; the most promising first. The others have their turn
after the readings that follow, all of them before the end."""
ALIKE = 1
"""Severities of one cause that are tried: the likeliest, which covers all up to the next step."""
LOOSE_SHARE = 0.3
"""Share of wrong readings under which a cause that explains part of them is still thought of."""
DOUBT = 0.3
"""A reading as likely as this to be wrong, or no listed cause, and pairs are looked at."""
UNEXPLAINED = 0.3


def doubted(diagnosis: Diagnosis) -> frozenset[int]:
    """Return the readings that none of the suspects explains well, or all where no cause does."""
    belief = diagnosis.belief
    if belief.none >= DOUBT:
        return frozenset(range(len(diagnosis.readings)))
    return frozenset(np.flatnonzero(belief.taken_wrongly >= DOUBT).tolist())


def needs_pairs(diagnosis: Diagnosis) -> bool:
    """Return whether a reading is in doubt that was not when pairs were made last.

    Or whether pairs still wait for their turn; or two things that were complained of are about to
    be put down to one cause, or a pair is about to be called certain that was made before the
    latest readings.
    """
    if diagnosis.tried:
        return True
    if diagnosis.leading_share >= diagnosis.certainty:
        if diagnosis.paired_for is None and troubles(diagnosis) > 1:
            return True
        is_pair = len(diagnosis.groups[0].causes[0].faults) > 1
        if is_pair and diagnosis.paired_at < len(diagnosis.readings):
            return True
    return not doubted(diagnosis) <= (diagnosis.paired_for or frozenset())


def sound_cause(diagnosis: Diagnosis) -> int:
    """Return the number of the cause that is no fault."""
    return next(k for k, cause in enumerate(diagnosis.suspects.causes) if not cause.faults)


def troubles(diagnosis: Diagnosis) -> int:
    """Return how many of the complaints a sound circuit would not show."""
    sound = sound_cause(diagnosis)
    shown = [one.sound[sound].mean() for one in diagnosis.belief.witnesses[: diagnosis.complaints]]
    return sum(share < 0.5 for share in shown)


def with_pairs(diagnosis: Diagnosis, *, is_hurried: bool) -> Diagnosis:
    """Return the diagnosis with pairs of plausible causes among its suspects.

    Of all pairs tried only those go further that the readings so far leave likely. Hurried, so
    many as a person waits for; `needs_pairs` tells that others wait.
    """
    old = diagnosis.suspects.single
    # pairs belong to this diagnosis; others with the same single causes have their own
    pool = diagnosis.suspects.pool or Pool(old.parts[0].lot)
    promising = _promising(diagnosis.with_suspects(old))
    made, share = pair_causes(old.causes, old.prior, promising)
    if not made:
        return _marked(diagnosis)
    had = [pair.name in diagnosis.tried for pair in made]
    order = sorted(range(len(made)), key=lambda number: had[number])
    situations = len({reading.measurement.situation for reading in diagnosis.readings})
    tried, new = (
        (-(-SOLVED_AT_ONCE // situations), KEPT_AT_ONCE) if is_hurried else (len(made), KEPT)
    )
    turn = _turn(order, [pool.has_kept(pair) for pair in made], tried, len(made))
    is_all = {number for number in order if not had[number]} <= set(turn)
    made, share = tuple(made[number] for number in turn), share[turn]
    every = diagnosis.with_suspects(_joined(old, pool, pool.tried(made), share))
    likely = np.argsort(-every.belief.probability[len(old.causes) :], kind="stable").tolist()
    kept = _turn(likely, [pool.has_kept(pair) for pair in made], new, KEPT)
    picked = pool.kept([made[number] for number in kept])
    after = diagnosis.with_suspects(_joined(old, pool, picked, share[kept]))
    if is_all and set(kept) == set(likely[:KEPT]):
        return _marked(after)
    had_turn = diagnosis.tried | {pair.name for pair in made}
    return replace(_marked(after), paired_for=frozenset(), tried=had_turn)


def _turn(order: Iterable[int], known: Sequence[bool], most_new: int, most: int) -> list[int]:
    """Return the first numbers in an order, in their own: not more new ones than those given."""
    taken: list[int] = []
    new = 0
    for number in order:
        if not known[number]:
            if new == most_new:
                continue
            new += 1
        taken.append(number)
        if len(taken) == most:
            break
    return sorted(taken)


def _marked(diagnosis: Diagnosis) -> Diagnosis:
    """Note for which readings, and how many, pairs were made: all that were to be tried."""
    paired_at = len(diagnosis.readings)
    return replace(diagnosis, paired_for=doubted(diagnosis), paired_at=paired_at, tried=frozenset())


def _promising(single: Diagnosis) -> list[tuple[int, int]]:
    """Return likely first faults, each with second faults for what it leaves unexplained.

    The most promising pair is the first: by its places in the two lists, one times the other.
    """
    places: dict[tuple[int, int], int] = {}
    for rank, (first, seconds) in enumerate(_ranked(single), start=1):
        for place, second in enumerate(seconds, start=1):
            if second != first:
                pair = (min(first, second), max(first, second))
                places[pair] = min(places.get(pair, rank * place), rank * place)
    return sorted(places, key=lambda pair: (places[pair], pair))


def _ranked(single: Diagnosis) -> Iterator[tuple[int, list[int]]]:
    """Yield each likely first fault and the second faults for it, the likeliest first."""
    belief = single.belief
    witnesses = tuple(
        replace(one, wrong_share=LOOSE_SHARE, wrong=max(one.wrong, one.strange))
        for one in belief.witnesses
    )
    loose = Belief(belief.prior, 0.0, witnesses, belief.draws)
    # density of each reading under each cause, its draws by how likely they are, (readings, causes)
    density = np.array([np.exp(one.log_density).mean(axis=1) for one in belief.witnesses])
    wrong = np.array([_mean(one.taken_wrongly, loose.joint) for one in witnesses])
    sound = sound_cause(single)
    for first in _leading(loose.probability, single, FIRST):
        unexplained = wrong[:, first] >= UNEXPLAINED
        # what a sound circuit shows too, the second fault must not upset
        usual = ~unexplained & (density[:, sound] >= UNEXPLAINED * density[:, first])
        upset = np.minimum(density[usual] / density[usual][:, [sound]], 1.0)
        score = belief.prior * np.prod(density[unexplained], axis=0) * np.prod(upset, axis=0)
        yield first, list(_leading(score, single, SECOND))


def _mean(values: FloatArray, weights: FloatArray) -> FloatArray:
    """Weighted mean over the draws of each cause."""
    total = np.maximum(weights.sum(axis=1), 1e-300)
    return np.asarray((values * weights).sum(axis=1) / total)


def _leading(score: FloatArray, single: Diagnosis, most: int) -> Iterator[int]:
    """Yield the causes of highest score, at most ALIKE severities of one label."""
    _, label_of = single.suspects.labels
    taken: dict[int, int] = {}
    for cause in np.argsort(-score, kind="stable").tolist():
        label = int(label_of[cause])
        if taken.get(label, 0) >= ALIKE:
            continue
        taken[label] = taken.get(label, 0) + 1
        yield cause
        if len(taken) >= most:
            return


def _joined(old: Suspects, pool: Pool, picked: Sequence[Picked], share: FloatArray) -> Suspects:
    """Return suspects with pairs behind the single causes; all priors still sum to the same."""
    prior = np.concatenate([old.prior, share])
    kept = float(old.prior.sum()) / float(prior.sum())
    return Suspects([*old.parts, *picked], prior * kept, old.candidates, old, pool)
