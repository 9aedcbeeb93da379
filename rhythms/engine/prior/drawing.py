"""Drawing fills as drummers would play them, or anything the rules allow, or in between."""

from __future__ import annotations

from random import Random

import numpy as np

from rhythms.engine.fills.fill import Fill
from rhythms.engine.prior.human_prior import Prior, human_prior
from rhythms.engine.prior.weighted_space import WeightedSpace
from rhythms.engine.space.fill_space import FillSpace

#: How far from what drummers play first, as a teacher says it: powers of the weights.
CLOSE_TO_HOME, A_STEP_OUT, ANYTHING = 1.0, 0.75, 0.0
DIALS = {
    "close to home": CLOSE_TO_HOME,
    "a step out": A_STEP_OUT,
    "anything the rules allow": ANYTHING,
}
#: Draws that bring nothing new before the weights are made milder, down to none at all.
_IN_VAIN = 4
_MILDER = 0.25


def draw(
    space: FillSpace,
    n: int,
    seed: int | str = 0,
    dial: float = CLOSE_TO_HOME,
    prior: Prior | None = None,
) -> tuple[Fill, ...]:
    """Up to ``n`` different fills of ``space``, fewer only where it has fewer.

    With ``dial`` 0 uniformly; with 1 as drummers play: each by one of the players of the prior,
    step by step in proportion to the weights of what comes next, and of several such fills one
    in proportion to the ratio of phrases. In between the weights to that power. Fills that are
    drawn twice are drawn again; where nothing new comes any more, the weights become milder.
    The same arguments give the same fills. Raises ValueError for a dial outside 0 to 1.
    """
    if not 0 <= dial <= 1:
        raise ValueError(f"The dial goes from 0 to 1; {dial} was given.")
    n = min(n, space.size)
    if not dial or not n:
        return space.sample(n, seed)
    weighted = WeightedSpace(space, prior or human_prior())
    random = generator(space, seed)
    found: dict[Fill, None] = {}
    while len(found) < n and dial > 0:
        graph = weighted.graph(dial)
        in_vain = 0
        while len(found) < n and in_vain < _IN_VAIN:
            before = len(found)
            drawn = weighted.phrased(graph, n - before, dial, random)
            found.update(dict.fromkeys(weighted.fills(drawn)))
            in_vain = in_vain + 1 if len(found) == before else 0
        dial -= _MILDER
    if len(found) < n:
        found.update(dict.fromkeys(space.sample(min(space.size, 2 * n), seed)))
    return tuple(found)[:n]


def generator(space: FillSpace, seed: int | str) -> np.random.Generator:
    """Random numbers for a seed, others for each bar: one seed makes no two bars sound alike."""
    mixed = Random(f"{seed} {space.bar.to_json()}")  # noqa: S311 - reproducible on purpose
    return np.random.default_rng(mixed.getrandbits(64))
