"""Surfaces as the data tell them apart, and what stands in for those that they lack.

The human fills have no cowbell, splash or china, hardly a ride bell, and cross-stick only as a
kind of snare: each of these shares what is known of the surface that it takes the place of, in
shares that are common practice, not measurements. A group that a kit has nothing of hands its
strokes to the next one that it has. A left-handed player goes the same way round a mirrored kit.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import WAYS, Surface, base

Floats = NDArray[np.float64]
SNARE, HIGH, MID, FLOOR, HI_HAT, RIDE, CRASH = range(7)
GROUPS = 7
#: The share of each surface in the strokes of its group.
MEMBERS: tuple[dict[Surface, float], ...] = (
    {Surface.SNARE: 0.97, Surface.CROSS_STICK: 0.03},
    {Surface.HIGH_TOM: 1.0},
    {Surface.MID_TOM: 1.0},
    {Surface.FLOOR_TOM: 1.0},
    {Surface.HI_HAT: 1.0},
    {Surface.RIDE: 0.75, Surface.RIDE_BELL: 0.1, Surface.COWBELL: 0.15},
    {Surface.CRASH: 0.7, Surface.SPLASH: 0.15, Surface.CHINA: 0.15},
)
#: Of players who strike one rack tom only: how its strokes are handed out to two.
RACK: dict[Surface, float] = {Surface.HIGH_TOM: 0.55, Surface.MID_TOM: 0.45}
#: The share of a group's strokes that goes to the one of it that was struck last, or before that.
SAME_AGAIN, SAME_RACK = 0.8, 0.7
#: Who takes the strokes of a group that the kit lacks: the first of these that it has.
_NEXT = (
    (HIGH, MID, FLOOR, HI_HAT, RIDE, CRASH),
    (MID, FLOOR, SNARE, HI_HAT, RIDE, CRASH),
    (HIGH, FLOOR, SNARE, HI_HAT, RIDE, CRASH),
    (MID, HIGH, SNARE, HI_HAT, RIDE, CRASH),
    (RIDE, CRASH, SNARE, FLOOR, HIGH, MID),
    (HI_HAT, CRASH, SNARE, FLOOR, HIGH, MID),
    (RIDE, HI_HAT, FLOOR, SNARE, HIGH, MID),
)
GROUP_OF = {surface: group for group, members in enumerate(MEMBERS) for surface in members}
# Sticks are struck where the hands are at rest, over the snare; ways of striking as what they are
# played on.
GROUP_OF[Surface.STICKS] = SNARE
GROUP_OF |= {way: GROUP_OF[base(way)] for way in WAYS}


@lru_cache(maxsize=64)
def handed_out(kit: Kit, *, one_rack: bool) -> Floats:
    """The share of each hand surface of ``kit`` in the strokes of each group.

    By the surface struck before last and the one struck last (numbered as the kit has them, 0 for
    none): before last, last, group, surface. Each group's shares add up to 1.
    """
    surfaces = kit.hand_surfaces
    shares = np.empty((len(surfaces) + 1, len(surfaces) + 1, GROUPS, len(surfaces)))
    for group in range(GROUPS):
        members = _members_on(kit, group, one_rack=one_rack)
        plain = np.array([members.get(surface, 0.0) for surface in surfaces])
        keep = SAME_RACK if members.keys() == RACK.keys() else SAME_AGAIN
        shares[:, :, group] = plain
        for place, surface in enumerate(surfaces, start=1):
            if surface in members:
                kept = (1 - keep) * plain
                kept[place - 1] += keep
                shares[place, :, group] = kept
        for place, surface in enumerate(surfaces, start=1):
            if surface in members:
                shares[:, place, group] = (1 - keep) * plain
                shares[:, place, group, place - 1] += keep
    return shares


def _members_on(kit: Kit, group: int, *, one_rack: bool) -> dict[Surface, float]:
    for candidate in (group, *_NEXT[group]):
        rack = one_rack and candidate in (HIGH, MID)
        members = RACK if rack else MEMBERS[candidate]
        there = {surface: share for surface, share in members.items() if surface in kit.surfaces}
        if there:
            total = sum(there.values())
            return {surface: share / total for surface, share in there.items()}
    raise AssertionError("A kit has a surface for the hands.")
