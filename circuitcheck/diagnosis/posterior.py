"""How probable each cause is after the readings, tolerances, meter and mistakes counted.

    P(cause | readings) ~ P(cause) mean over draws of product over readings of
                          (1 - w) P(reading | cause, draw) + w P(reading | taken wrongly)

A draw is one machine within its tolerances; it stays the same for all readings, so that an unknown
supply or a coil at its upper end explains them together. w is how often a reading is taken wrongly
(probe not touching, wrong cavity, meter at fault): no single reading can then rule a cause out
for good. Bayes' rule; the mixture for outliers is that of Box and Tiao 1968, Biometrika 55,
119-129.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from circuitcheck.diagnosis.information import FloatArray
from circuitcheck.record import record


@record
class Witness:
    """What one reading says of each cause.

    `sound` is the density of the value read where the reading was taken rightly, (causes, draws);
    `wrong` its density where it was not, which is so in `wrong_share` of the cases; `strange` where
    the circuit does what no cause of the list would make it do. An observation has its mistakes in
    `sound`: its `wrong_share` is 0, and `wrong` how probable it is as a mistake.
    """

    sound: FloatArray
    wrong: float
    strange: float
    wrong_share: float

    @cached_property
    def log_density(self) -> FloatArray:
        """Logarithm of the density of the reading, taken rightly or wrongly, (causes, draws)."""
        right = (1.0 - self.wrong_share) * self.sound
        return np.asarray(np.log(right + self.wrong_share * self.wrong + SMALLEST))

    @cached_property
    def taken_wrongly(self) -> FloatArray:
        """Probability that the reading was taken wrongly, if that is the cause, (causes, draws)."""
        wrong = self.wrong_share * self.wrong if self.wrong_share > 0.0 else self.wrong
        return np.asarray(np.minimum(wrong / np.exp(self.log_density), 1.0))


@record
class Belief:
    """Causes with their priors, and what the readings say of them.

    `prior` is (causes,) and sums, with `none_prior`, to one; `none_prior` is the probability that
    the cause is none of the list.
    """

    prior: FloatArray
    none_prior: float
    witnesses: tuple[Witness, ...]
    draws: int

    def _joint(self, leave_out: int | None = None) -> tuple[FloatArray, float]:
        """Return the weights of cause and draw, and of no cause of the list; together one."""
        causes = self.prior.size
        logs = np.broadcast_to(
            np.log(np.maximum(self.prior, SMALLEST))[:, None] - np.log(self.draws),
            (causes, self.draws),
        ).copy()
        none = float(np.log(max(self.none_prior, SMALLEST)))
        for number, one in enumerate(self.witnesses):
            if number != leave_out:
                logs += one.log_density
                none += float(np.log(one.strange + SMALLEST))
        top = max(float(logs.max()), none)
        joint, rest = np.exp(logs - top), float(np.exp(none - top))
        total = float(joint.sum()) + rest
        return joint / total, rest / total

    @cached_property
    def joint(self) -> FloatArray:
        """Weight of each cause and draw, (causes, draws)."""
        return self._with_all[0]

    @cached_property
    def _with_all(self) -> tuple[FloatArray, float]:
        return self._joint()

    @cached_property
    def probability(self) -> FloatArray:
        """Probability of each cause, (causes,); with `none` it sums to one."""
        return np.asarray(self.joint.sum(axis=1))

    @cached_property
    def none(self) -> float:
        """Probability that no cause of the list is the right one."""
        return self._with_all[1]

    @cached_property
    def _each_without(self) -> tuple[FloatArray, ...]:
        return tuple(self._joint(leave_out=n)[0] for n in range(len(self.witnesses)))

    def joint_without(self, number: int) -> FloatArray:
        """Return the weights of causes and draws with one reading set aside, (causes, draws)."""
        return self._each_without[number]

    def without(self, number: int) -> FloatArray:
        """Return the probability of each cause with one reading set aside, (causes,)."""
        return np.asarray(self._each_without[number].sum(axis=1))

    @cached_property
    def taken_wrongly(self) -> FloatArray:
        """Probability of each reading to have been taken wrongly, (readings,)."""
        return np.array([float((self.joint * w.taken_wrongly).sum()) for w in self.witnesses])

    def speaks_for(self, chosen: NDArray[np.bool_]) -> FloatArray:
        """Return how much each reading speaks for the chosen causes, (readings,). [bit]

        log2 of P(reading | chosen) over P(reading | all other causes), each reading by itself: what
        others have told already does not count against it.
        """
        bits = []
        for one in self.witnesses:
            told = np.exp(one.log_density).mean(axis=1)
            shares = [
                ((told * self.prior)[some].sum() + TINY) / (self.prior[some].sum() + TINY)
                for some in (chosen, ~chosen)
            ]
            bits.append(np.log2(shares[0] / shares[1]))
        return np.array(bits)


SMALLEST, TINY = 1e-300, 1e-30
