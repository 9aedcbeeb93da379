"""What the hands can come to in time, by what they struck last."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.move_time import move_time

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]
ROUNDING = 1e-9


def hands_of(stroke: Stroke) -> Stroke:
    """Where the hands are in a stroke, touches and feet aside."""
    plain = stroke._replace(dynamic="normal", ornament=None, beside=())
    if not stroke.both_hands:
        return plain
    return plain._replace(beside=(stroke.beside[0]._replace(dynamic="normal"),))


@lru_cache(maxsize=64)
def in_reach(struck: tuple[Stroke, ...], now: tuple[Stroke, ...], gaps: tuple[float, ...]) -> Mask:
    """Which strokes some hands can play after one or two others: before last, last, now.

    What came before is numbered from 1, and 0 is none. ``gaps`` are the seconds between the
    strokes, the latest last: one or two. Hands may be open; touches fit alike, and feet are none
    of them. Kept: most bars ask for the same.
    """
    kinds = list(dict.fromkeys(map(hands_of, now)))
    mask = np.ones((len(struck) + 1, len(struck) + 1, len(kinds)), dtype=bool)
    # By the same hand, or by two; where nothing came before these, that is all.
    at_once = _one_hand(struck, kinds) & (_seconds(struck, kinds) <= gaps[-1] + ROUNDING)
    by_two = _two_hands(struck, kinds)
    mask[:, 1:] = at_once | by_two
    if len(gaps) > 1:
        mask[1:, 1:] = at_once | by_two & _goes_on(struck, kinds, gaps)
    # Where both hands strike at once nothing is left out here: that is looked at afterwards.
    mask |= np.array([stroke.both_hands for stroke in kinds])
    both_before = np.array([False, *(stroke.both_hands for stroke in struck)])
    mask |= (both_before[:, None] | both_before)[:, :, None]
    of_kind = [kinds.index(hands_of(stroke)) for stroke in now]
    return mask[:, :, of_kind]


def _goes_on(struck: Sequence[Stroke], now: Sequence[Stroke], gaps: tuple[float, ...]) -> Mask:
    """Whether the other hand than the last one can play: before last, last, now."""
    # Where it struck before, it comes from there.
    comes = _one_hand(struck, now) & (_seconds(struck, now) <= gaps[-2] + gaps[-1] + ROUNDING)
    in_turn = _two_hands(struck, struck)[:, :, None] & comes[:, None]
    # Else the last hand struck before as well, and had to come to the last stroke.
    in_time = _seconds(struck, struck) <= gaps[-2] + ROUNDING
    return np.asarray(in_turn | (_one_hand(struck, struck) & in_time)[:, :, None])


def _seconds(origins: Sequence[Stroke], targets: Sequence[Stroke]) -> Floats:
    return np.array([[move_time(a.surface, b.surface) for b in targets] for a in origins])


def _one_hand(a: Sequence[Stroke], b: Sequence[Stroke]) -> Mask:
    """Whether one hand may play both, where hands may be open."""
    return np.array([[None in (x.limb, y.limb) or x.limb == y.limb for y in b] for x in a])


def _two_hands(a: Sequence[Stroke], b: Sequence[Stroke]) -> Mask:
    return np.array([[None in (x.limb, y.limb) or x.limb != y.limb for y in b] for x in a])
