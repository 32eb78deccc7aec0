"""How much a reading is expected to tell, in bit, and which reading is worth its effort.

    H(p) = -sum p log2 p;   information = H(outcome) - sum over causes p(cause) H(outcome | cause)

The second is the mutual information of cause and outcome: the entropy of the causes now less the
entropy expected after the reading. Source: Shannon 1948; used to choose the next probe of a
circuit by de Kleer and Williams 1987, Artificial Intelligence 32, 97-130.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


def entropy_bit(probability: FloatArray) -> FloatArray:
    """Return -sum p log2 p over the last axis; 0 log 0 counts as 0. [bit]

    >>> float(entropy_bit(np.array([0.5, 0.25, 0.25])))
    1.5
    """
    p = np.asarray(probability, dtype=float)
    logarithm = np.log2(p, out=np.zeros_like(p), where=p > 0.0)
    return np.asarray(-(p * logarithm).sum(axis=-1))


def expected_information_bit(weight: FloatArray, outcome: FloatArray) -> FloatArray:
    """Return the information that each reading is expected to give about the cause. [bit]

    `weight` is the probability of each cause, (causes,); `outcome` is P(outcome | cause),
    (..., causes, outcomes), each row summing to one. Returns an array (...,).
    """
    share = np.asarray(weight, dtype=float)
    share = share / share.sum()
    rows = np.asarray(outcome, dtype=float)
    mixed = np.einsum("c,...co->...o", share, rows)
    within = np.einsum("c,...c->...", share, entropy_bit(rows))
    # Rounding may leave a hair below nothing where a reading tells nothing.
    return np.asarray(np.maximum(entropy_bit(mixed) - within, 0.0))


def best_value(information_bit: FloatArray, effort: FloatArray) -> int:
    """Return the index of the reading with the most information per effort, the first of equals.

    A reading that is not to be taken has an information below zero. `effort` is in any unit above
    zero. Values that differ by rounding alone count as equal.
    """
    value = np.asarray(information_bit, dtype=float) / np.asarray(effort, dtype=float)
    return int(np.flatnonzero(value >= value.max() * (1.0 - 1e-9))[0])
