"""What fills are picked from: all that hangs on neither the seed nor the history.

A teacher asks for other fills under the same rules, or for those of many students: the last few
spaces are kept, as far as they are small.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable
from functools import cached_property
from threading import Lock
from typing import NamedTuple

import numpy as np

from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.picking.pick_work import PickWork
from rhythms.engine.prior.human_prior import Prior
from rhythms.engine.prior.weighted_space import WeightedSpace
from rhythms.engine.space.fill_space import FillSpace

#: Fills drawn as drummers play, of which so many are more plausible than any pick may be less.
MEASURED, PLAUSIBLE = 200, 0.95
#: So many spaces are kept, each of no more bytes, a few times over.
KEPT, MOST_KEPT = 4, 4_000_000


class Usual(NamedTuple):
    """Of fills that drummers would play: their mean surprise, that of the last of them which is
    plausible, and the mean share of strokes on cymbals and bells.
    """

    surprise: float
    most: float
    brightness: float


class PickSpace:
    """``space`` as ``prior`` plays it at ``tempo``, in quarters a minute, by ``feel``."""

    def __init__(self, space: FillSpace, prior: Prior, tempo: float, feel: Feel = STRAIGHT) -> None:
        self.tempo = tempo
        self.feel = feel
        self.weighted = WeightedSpace(space, prior, tempo, feel)

    @cached_property
    def usual(self) -> Usual:
        """What drummers would play here."""
        weighted, random = self.weighted, np.random.default_rng(0)
        size = PickWork(weighted).pool(MEASURED)
        drawn = weighted.phrased(weighted.graph(1.0), size, 1.0, random)
        surprise = weighted.surprise(drawn)
        return Usual(
            float(surprise.mean()),
            float(np.quantile(surprise, PLAUSIBLE)),
            float(weighted.brightness(drawn).mean()),
        )


_kept: OrderedDict[Hashable, PickSpace] = OrderedDict()
_lock = Lock()


def pick_space(
    space: FillSpace, prior: Prior, tempo: float, feel: Feel = STRAIGHT
) -> PickSpace | None:
    """The space to pick from: one that was made before, where it is kept; None without fills."""
    heard = feel.in_meter(space.setting.bar.meter)
    key = (space.bar, space.rule_set, space.kit, tempo, prior, heard)
    with _lock:
        found = _kept.get(key)
        if found:
            _kept.move_to_end(key)
            return found
    if not space.size:
        return None
    made = PickSpace(space, prior, tempo, heard)
    if made.weighted.bytes <= MOST_KEPT:
        with _lock:
            _kept[key] = made
            while len(_kept) > KEPT:
                _kept.popitem(last=False)
    return made
