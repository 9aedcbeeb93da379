"""Learning the prior from lines that people played."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import groupby
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.prior.human_prior import Player, Prior
from rhythms.engine.prior.phrase_ratio import learn_ratio
from rhythms.engine.prior.phrase_traits import codes_of, traits
from rhythms.engine.prior.played_line import Line, place_in_beat, times_since
from rhythms.engine.prior.surface_groups import GROUP_OF, GROUPS
from rhythms.engine.prior.surface_table import SurfaceTable

#: Lines are judged by tables that did not see them: each of so many parts by the other parts.
PARTS = 4
#: Lines drawn on each human rhythm, for the ratio.
DRAWN = 8
_KIT = Kit.standard()
#: The share of runs that are usual.
USUAL = 0.95


class _Played(NamedTuple):
    name: str
    line: Line
    part: int


def learn(played: Mapping[str, Sequence[Line]]) -> Prior:
    """The prior of what some players played. Reproducible."""
    lines = [
        _Played(name, line, place % PARTS)
        for name, theirs in sorted(played.items())
        for place, line in enumerate(theirs)
    ]
    players = _players(lines)
    random = np.random.default_rng(0)
    human, drawn = [], []
    for part in range(PARTS):
        others = _players([one for one in lines if one.part != part])
        for line in (one.line for one in lines if one.part == part):
            human.append(traits(line.onsets, codes_of([line.surfaces])))
            drawn.append(traits(line.onsets, _draw(others, line.onsets, random)))
    told = [(a, b) for a, b in zip(human, drawn, strict=True) if not np.isnan(a).all()]
    ratio = learn_ratio(np.vstack([a for a, _ in told]), np.vstack([b for _, b in told]))
    return Prior(players, ratio, _usual_runs([one.line for one in lines]))


def _usual_runs(lines: Sequence[Line]) -> tuple[int, ...]:
    runs: list[list[int]] = [[1] for _ in range(GROUPS)]
    for line in lines:
        for group, run in groupby(GROUP_OF[surface] for surface in line.surfaces):
            runs[group].append(len(list(run)))
    return tuple(int(np.quantile(of_group, USUAL, method="higher")) for of_group in runs)


def _players(lines: Sequence[_Played]) -> tuple[Player, ...]:
    by_name: dict[str, list[Line]] = {}
    for one in lines:
        by_name.setdefault(one.name, []).append(one.line)
    return tuple(
        Player(name, len(theirs), SurfaceTable.of(theirs)) for name, theirs in by_name.items()
    )


def _draw(
    players: Sequence[Player], onsets: Sequence[Fraction], random: np.random.Generator
) -> NDArray[np.int64]:
    """Lines on one rhythm, step by step, each by one of the players."""
    fills = np.array([player.fills for player in players])
    whose = random.choice(len(players), DRAWN, p=fills / fills.sum())
    return codes_of([line_by(players[place].table, onsets, random) for place in whose.tolist()])


def line_by(
    table: SurfaceTable, onsets: Sequence[Fraction], random: np.random.Generator
) -> list[Surface]:
    """A line drawn step by step from one player's table."""
    before = last = 0
    line = []
    for onset, time in zip(onsets, times_since(onsets), strict=True):
        running = table.chances(_KIT, 2, time, place_in_beat(onset))[before, last].cumsum()
        found = int(np.searchsorted(running, random.random() * running[-1]))
        line.append(_KIT.hand_surfaces[found])
        before, last = last, found + 1
    return line
