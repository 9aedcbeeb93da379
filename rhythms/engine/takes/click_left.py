"""Where a take that was played to a click slips off it: by a beat that is lost, or bit by bit.

Nothing need be known of what was played: bar by bar it is held against bars before it, which a
groove, or a fill that is practised, repeats. Where it is like none of them nothing is concluded.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from statistics import median
from typing import Any, NamedTuple

import numpy as np

from rhythms.engine.kits.surfaces import base
from rhythms.engine.takes.given_grid import shifted
from rhythms.engine.takes.grid import ESTIMATED, Floats, Grid
from rhythms.engine.takes.hits import TimedHit
from rhythms.engine.takes.split import TIMEKEEPERS

#: A take of fewer bars says nothing; of a longer one so many are looked at.
FEWEST_BARS, MOST_BARS = 4, 120
#: A lost beat is looked for in so many bars that are unlike others: fills are, and a solo is.
MOST_SEARCHES = 40
#: Two bars are alike when as much of their strokes, weighed, is in both, each within about so many
#: ms; what keeps time weighs less, since a lost beat does not change it.
_ALIKE, _NEAR, _TIMEKEEPING = 0.6, 40.0, 0.4
#: What another lag must be better by, in likeness, in two bars in a row.
_CLEARLY = 0.15
#: A player has left the click who is this many ms from it, and this share of a beat, for two bars
#: in a row: nearer, notes are still taken for the ones they are.
LEFT, LEFT_OF_A_BEAT = 80.0, 0.15
#: A lag is followed this far from one bar to the next, as a share of a beat; further is a jump,
#: which is looked for in steps of a quarter of a beat.
_WANDERS, _STEPS, _LEAST = 0.2, 4, 2
#: A stroke so many ms before a bar line or a beat is meant for it.
_EARLY = 60.0
#: Who is off after fewer bars never was on it; and who has not played so many bars that are as
#: much like one before has no pattern that could be shifted.
_BEGUN, _REPEATED = 2, 0.7
#: A bar that is so little less like others than the player's bars are is where it belongs.
_NO_LESS = 0.05
#: Bars that one is held against: the first so many that were alike, and the last so many.
_FIRST, _LAST = 4, 4


class ClickLeft(NamedTuple):
    """From which ``bar`` and ``beat`` on, counted from 1 and by the click, the strokes are off it:
    at once by so many ``beats``, or 0 where they came to be; and by how many ``ms`` at the end,
    late above 0. In half a bar that is like the other half, late and early cannot be told apart.
    ``grid`` goes with the strokes."""

    bar: int
    beat: int
    beats: float
    ms: float
    grid: Grid

    def to_json(self) -> dict[str, Any]:
        """All but the grid; ``beats`` 0 for who went off bit by bit."""
        return {
            "bar": self.bar,
            "beat": self.beat,
            "beats": self.beats,
            "ms": round(self.ms, 1),
        }


class _Bar(NamedTuple):
    """Strokes of one bar: ms from its bar line, what is struck, and how much each weighs."""

    at: Floats
    drums: Floats
    weights: Floats


class _Take(NamedTuple):
    times: Floats
    drums: Floats
    weights: Floats

    def bar(self, start: float, length: float) -> _Bar:
        """What is struck from a little before one bar line to a little before the next."""
        first, last = np.searchsorted(self.times, [start - _EARLY, start + length - _EARLY])
        inside = slice(int(first), int(last))
        return _Bar(self.times[inside] - start, self.drums[inside], self.weights[inside])


class _Jump(NamedTuple):
    """A lag that changes at once: in or before which bar of those looked at, and by how many ms."""

    bar: int
    by: float


class _Follower:
    """Goes through a take bar by bar, and keeps how late each was, in ms."""

    def __init__(self, take: _Take, lines: Sequence[float], length: float, beat: float) -> None:
        self.take, self.lines, self.length, self.beat = take, lines, length, beat
        self.lags: list[float] = []
        self.jump: _Jump | None = None
        self._known: list[tuple[int, _Bar]] = []
        self._latest: list[tuple[int, _Bar]] = []
        self._pending: float | None = None
        self._repeated: list[float] = []
        self._searches = 0

    def go(self) -> None:
        for number in range(len(self.lines)):
            self._one(number)

    def _one(self, number: int) -> None:
        before = self.lags[-1] if self.lags else 0.0
        alike, lag = self.likeness(number, before)
        if self.jump is None and self._has_jumped(number, before, alike):
            before = self.lags[-1]
            alike, lag = self.likeness(number, before)
        self.lags.append(lag if alike >= _ALIKE and number else before)
        if self._pending is None:
            self._remember(number, alike)

    def _bar(self, number: int, lag: float) -> _Bar:
        return self.take.bar(self.lines[number] + lag, self.length)

    def likeness(self, number: int, lag: float) -> tuple[float, float]:
        """How much a bar is like one before it, if it is so late or a little more or less; and
        how late it is then."""
        best, more = self._once(number, lag)
        return max((best, lag + more), self._cut_anew(number, lag + more)) if more else (best, lag)

    def _once(self, number: int, lag: float) -> tuple[float, float]:
        bar, furthest = self._bar(number, lag), _WANDERS * self.beat
        return max([(0.0, 0.0), *(_alike(bar, other, furthest) for other in self._models())])

    def _cut_anew(self, number: int, lag: float) -> tuple[float, float]:
        """Strokes near the bar line may be of another bar there."""
        best, more = self._once(number, lag)
        return best, lag + more

    def _models(self, until: int = MOST_BARS) -> list[_Bar]:
        return [bar for number, bar in (*self._known, *self._latest) if number < until]

    def first_moved_beat(self, jump: _Jump) -> int:
        """From which beat on, counted from the bar before that of the jump, strokes are where
        they belong after it."""
        line, before, after = self.lines[jump.bar - 1], *self.lags[jump.bar - 1 : jump.bar + 1]
        times = self.take.times
        inside = slice(*np.searchsorted(times, [line - _EARLY, line + 2 * self.length]).tolist())
        models = self._models(jump.bar - 1)
        gained = self._belongs(inside, line + after, models)
        gained = gained - self._belongs(inside, line + before, models)
        beats = range(2 * round(self.length / self.beat) + 1)
        starts = [line + before + beat * self.beat - _EARLY for beat in beats]
        worth = [float(gained[times[inside] >= start].sum()) for start in starts]
        return int(np.argmax(worth))

    def _belongs(self, inside: slice, line: float, models: Sequence[_Bar]) -> Floats:
        """How much each stroke is where one is in some bar before, if a bar begins there."""
        at = (self.take.times[inside] - line + _EARLY) % self.length - _EARLY
        found = np.zeros(len(at))
        for other in models:
            if len(other.at):
                there = np.exp(-0.5 * ((at[:, None] - other.at[None, :]) / _NEAR) ** 2)
                same = self.take.drums[inside][:, None] == other.drums[None, :]
                found = np.maximum(found, (there * same).max(axis=1))
        return np.asarray(found * self.take.weights[inside])

    def _has_jumped(self, number: int, before: float, alike: float) -> bool:
        """Whether a bar, and the one before it, is clearly more like others at another lag."""
        pending, self._pending = self._pending, None
        if pending is not None:
            again = self._once(number, before + pending)[0]
            if again >= max(_ALIKE, alike + _CLEARLY):
                self.jump = _Jump(number - 1, pending)
                self.lags[-1] += pending
                return True
        if len(self._repeated) < _BEGUN or alike >= median(self._repeated) - _NO_LESS:
            return False
        if self._searches == MOST_SEARCHES:
            return False
        self._searches += 1
        half = int(self.length / self.beat / 2 * _STEPS)
        steps = [step for step in range(-half, half + 1) if abs(step) >= _LEAST]
        lags = [step * self.beat / _STEPS for step in steps if not self._is_half(step)]
        best, _, by = max((self._once(number, before + lag)[0], -abs(lag), lag) for lag in lags)
        if best >= max(_ALIKE, alike + _CLEARLY):
            self._pending = by
        return False

    def _is_half(self, step: int) -> bool:
        """Half a bar of several beats: its halves are like each other as it is."""
        return abs(step) > _STEPS and 2 * abs(step) * self.beat >= _STEPS * self.length - 1

    def _remember(self, number: int, alike: float) -> None:
        if alike >= _REPEATED:
            self._repeated.append(alike)
        bar = (number, self._bar(number, self.lags[-1]))
        if alike < 1 - _CLEARLY and len(self._known) < _FIRST:
            self._known.append(bar)
        else:
            self._latest = [*self._latest, bar][-_LAST:]


def click_left(given: Grid, hits: Sequence[TimedHit]) -> ClickLeft | None:
    """Where the strokes leave a steady grid that they began on; None where they stay, or never
    were on it."""
    if not hits:
        return None
    meter = given.meter.one_bar
    quarters = float(meter.length)
    length = quarters * 60_000 / given.tempo
    grid = _at_the_start(given, hits, length)
    first = int(np.floor(grid.quarters(hits[0].ms + _EARLY) / quarters))
    last = int(np.floor(grid.quarters(hits[-1].ms) / quarters))
    bars = range(first, min(last + 1, first + MOST_BARS))
    if len(bars) < FEWEST_BARS:
        return None
    lines = [grid.ms(bar * quarters) for bar in bars]
    follower = _Follower(_struck(hits), lines, length, length / len(meter.beats))
    follower.go()
    if follower.jump:
        return _jumped(grid, bars, follower, follower.jump)
    return _drifted(grid, bars, follower)


def _at_the_start(given: Grid, hits: Sequence[TimedHit], length: float) -> Grid:
    """The grid moved to the strokes of the first two bars."""
    until = hits[0].ms + 2 * length
    return shifted([hit for hit in hits if hit.ms < until], given)


def _drifted(grid: Grid, bars: range, follower: _Follower) -> ClickLeft | None:
    furthest = max(LEFT, LEFT_OF_A_BEAT * follower.beat)
    off = [abs(lag) > furthest for lag in follower.lags]
    left = next((here for here, two in enumerate(pairwise(off)) if all(two)), 0)
    if left < _BEGUN:
        return None
    own = replace(grid, anchors=tuple(_bar_lines(grid, bars, follower)), known=ESTIMATED)
    return ClickLeft(bars[left] + 1, 1, 0.0, follower.lags[-1], own)


def _jumped(grid: Grid, bars: range, follower: _Follower, jump: _Jump) -> ClickLeft:
    """A grid that is steady up to the jump and from there on: who waits goes on where they
    stopped, who hurries leaves out what was there."""
    quarters = float(grid.meter.one_bar.length)
    per_bar = round(follower.length / follower.beat)
    before, after = follower.lags[jump.bar - 1], follower.lags[jump.bar]
    beat = follower.first_moved_beat(jump)
    at = bars[jump.bar - 1] * quarters + beat * quarters / per_bar
    stops = grid.ms(at) + before - _EARLY
    resumes = stops + max(0.0, after - before)
    lines = _bar_lines(grid, bars, follower)
    anchors = [one for one in lines[: jump.bar] if one[1] < stops - 2 * _EARLY]
    anchors.append((grid.quarters(stops - _EARLY - before), stops - _EARLY))
    anchors.append((grid.quarters(resumes - after), resumes))
    anchors += [one for one in lines[jump.bar :] if one[1] > resumes + _EARLY]
    return ClickLeft(
        bars[jump.bar - 1] + beat // per_bar + 1,
        beat % per_bar + 1,
        round(jump.by / follower.beat * _STEPS) / _STEPS,
        follower.lags[-1],
        replace(grid, anchors=tuple(anchors), known=ESTIMATED),
    )


def _bar_lines(grid: Grid, bars: range, follower: _Follower) -> list[tuple[float, float]]:
    """Where each bar that was looked at begins, and the last one ends: quarters and ms."""
    quarters = float(grid.meter.one_bar.length)
    ms = [line + lag for line, lag in zip(follower.lines, follower.lags, strict=True)]
    return [
        *zip((bar * quarters for bar in bars), ms, strict=True),
        ((bars[-1] + 1) * quarters, ms[-1] + follower.length),
    ]


def _struck(hits: Sequence[TimedHit]) -> _Take:
    drums = [base(hit.surface) for hit in hits]
    numbers = {drum: number for number, drum in enumerate(dict.fromkeys(drums))}
    return _Take(
        np.array([hit.ms for hit in hits]),
        np.array([numbers[drum] for drum in drums], dtype=float),
        np.array([_TIMEKEEPING if drum in TIMEKEEPERS else 1.0 for drum in drums]),
    )


def _alike(bar: _Bar, other: _Bar, furthest: float) -> tuple[float, float]:
    """How much two bars are alike, and how many ms later the first one is then."""
    if not (len(bar.at) and len(other.at)):
        return 0.0, 0.0
    apart = bar.at[:, None] - other.at[None, :]
    apart = np.where(bar.drums[:, None] == other.drums[None, :], apart, np.inf)
    nearest = apart[np.arange(len(bar.at)), np.argmin(np.abs(apart), axis=1)]
    near = nearest[np.abs(nearest) <= furthest]
    late = float(np.median(near)) if len(near) else 0.0
    return max((_share(bar, other, apart - more), more) for more in (0.0, late))


def _share(bar: _Bar, other: _Bar, apart: Floats) -> float:
    there = np.exp(-0.5 * (apart / _NEAR) ** 2)
    both = bar.weights @ there.max(axis=1) + other.weights @ there.max(axis=0)
    return float(both / (bar.weights.sum() + other.weights.sum()))
