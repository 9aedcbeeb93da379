"""Rhythm distances on six 4/4 timelines.

Onsets of the son after Toussaint, "The rhythm that conquered the world"; the other five from
memory. Definitions of the distances after Toussaint (2002, 2004). The tables are worked out
from these definitions, not copied from a published table; that the son is nearest to all
others is Toussaint's published conclusion (Bridges 2002).
"""

from __future__ import annotations

import pytest

from rhythms.engine.rhythm_distance import chronotonic_distance, swap_distance

TIMELINES = {
    "shiko": [0, 4, 6, 10, 12],
    "son": [0, 3, 6, 10, 12],
    "soukous": [0, 3, 6, 10, 11],
    "rumba": [0, 3, 7, 10, 12],
    "bossa": [0, 3, 6, 10, 13],
    "gahu": [0, 3, 6, 10, 14],
}
SWAP = [
    [0, 1, 2, 2, 2, 3],
    [1, 0, 1, 1, 1, 2],
    [2, 1, 0, 2, 2, 3],
    [2, 1, 2, 0, 2, 3],
    [2, 1, 2, 2, 0, 1],
    [3, 2, 3, 3, 1, 0],
]
CHRONOTONIC = [
    [0, 6, 14, 10, 12, 14],
    [6, 0, 8, 6, 6, 8],
    [14, 8, 0, 14, 12, 12],
    [10, 6, 14, 0, 12, 14],
    [12, 6, 12, 12, 0, 6],
    [14, 8, 12, 14, 6, 0],
]


def chronotonic(a: list[int], b: list[int]) -> int:
    return chronotonic_distance(a, b, 16)


@pytest.mark.parametrize(("distance", "table"), [(swap_distance, SWAP), (chronotonic, CHRONOTONIC)])
def test_distances_agree_with_the_table(distance, table):
    onsets = list(TIMELINES.values())
    assert [[distance(a, b) for b in onsets] for a in onsets] == table


@pytest.mark.parametrize("distance", [swap_distance, chronotonic])
def test_the_son_is_nearest_to_all_others(distance):
    sums = {
        name: sum(distance(onsets, other) for other in TIMELINES.values())
        for name, onsets in TIMELINES.items()
    }
    assert min(sums, key=sums.__getitem__) == "son"


def test_swaps_need_equally_many_strokes():
    with pytest.raises(ValueError, match="5 and 4"):
        swap_distance(TIMELINES["son"], [0, 4, 8, 12])


@pytest.mark.parametrize("onsets", [[], [-1, 3], [0, 16]])
def test_a_rhythm_outside_its_grid_is_refused(onsets):
    with pytest.raises(ValueError, match="from 0 to 15"):
        chronotonic_distance(onsets, [0], 16)
