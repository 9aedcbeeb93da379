"""How much more often drummers play a line than one step after the other would make it.

A logistic regression of traits and their squares tells human fills from lines drawn step by step
on the same rhythms; its odds are the ratio of the two densities (Sugiyama, Suzuki and Kanamori
2012, section 4; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
#: Traits count to so many deviations from their mean: beyond, nobody knows.
FARTHEST = 3.0
#: Strokes of the prior on the weights of the regression, against learning by heart.
RIDGE = 20.0
_ROUNDS = 30


@dataclass(frozen=True, eq=False)
class PhraseRatio:
    """``mean`` and ``spread`` of the traits, and the ``weights``: of 1, traits, their squares."""

    mean: Floats
    spread: Floats
    weights: Floats

    def log(self, traits: Floats) -> Floats:
        """The logarithm of the ratio for each line: lines by traits, as `traits` gives them."""
        deviations = _deviations(traits, self.mean, self.spread)
        one, plain, squares = np.split(self.weights, (1, 1 + len(self.mean)))
        found = one + deviations @ plain
        deviations *= deviations
        return np.asarray(found + deviations @ squares)


def widened(traits: Floats, mean: Floats, spread: Floats) -> Floats:
    """1, the traits in deviations from their mean, and the squares of these."""
    deviations = _deviations(traits, mean, spread)
    return np.hstack([np.ones((len(traits), 1)), deviations, deviations**2])


def _deviations(traits: Floats, mean: Floats, spread: Floats) -> Floats:
    found = traits - mean
    found /= spread
    np.minimum(found, FARTHEST, out=found)
    np.maximum(found, -FARTHEST, out=found)
    # What a rhythm does not tell is taken for the mean.
    found[np.isnan(found)] = 0.0
    return np.asarray(found)


def learn_ratio(human: Floats, drawn: Floats) -> PhraseRatio:
    """The ratio from traits of human lines and of drawn ones; both kinds count the same.

    Newton's method on the penalised likelihood.
    """
    traits = np.vstack([human, drawn])
    mean, spread = np.nanmean(traits, axis=0), np.nanstd(traits, axis=0) + 1e-9
    matrix = widened(traits, mean, spread)
    is_human = np.repeat([1.0, 0.0], [len(human), len(drawn)])
    counts = np.repeat([len(drawn) / len(human), 1.0], [len(human), len(drawn)])
    penalty = RIDGE * np.eye(matrix.shape[1])
    penalty[0, 0] = 1e-6
    weights = np.zeros(matrix.shape[1])
    for _ in range(_ROUNDS):
        chance = 1 / (1 + np.exp(-matrix @ weights))
        curve = counts * chance * (1 - chance) + 1e-9
        slope = matrix.T @ (counts * (is_human - chance)) - penalty @ weights
        weights += np.linalg.solve((matrix.T * curve) @ matrix + penalty, slope)
    return PhraseRatio(mean, spread, weights)
