"""A known fill found in strokes that came without a click: when, how fast, how often."""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.surfaces import Surface, base
from rhythms.engine.takes.grid import ESTIMATED, Grid
from rhythms.engine.takes.hits import TimedHit
from rhythms.engine.takes.swung_places import onsets_struck

Floats = NDArray[np.float64]
#: Tempos tried, in quarters a minute, each this much above the one before.
SLOWEST, FASTEST, _STEP = 30.0, 240.0, 1.015
#: Without a click a player is seldom further from the tempo they were given, as a factor.
NEAR_THE_HINT = 1.6
#: A start is tried at every stroke that could be a note; strokes this near, in ms, support it.
_CLOSE = 40.0
#: What a stroke in place on another surface counts.
_RHYTHM_ALONE = 0.35
#: The share of the notes that must be there for it to be this fill.
ENOUGH = 0.55
#: The tempo is searched in so many strokes, the longest block of bars and more, within so many ms.
_A_STRETCH, _AT_MOST = 450, 180_000
#: Starts are tried this far apart, strokes looked up in steps of this size, in ms; and so many
#: starts are tried at one tempo, those first that most strokes speak for.
_APART, _TICK, MOST_STARTS = 10, 2, 8_000
#: Fewer strokes than this make no line.
_FOR_A_LINE = 4
#: Where it is clear, other tries are looked for this near the tempo of the best, in steps.
_ALIKE = 4


class _Heard(NamedTuple):
    """Onsets of the fill in quarters, times of the strokes in ms, and which stroke is on a drum of
    which note: strokes by notes."""

    notes: Floats
    times: Floats
    same: NDArray[np.bool_]


class _Support(NamedTuple):
    """What the strokes say for a note at each tick from ``origin`` ms on: a row for all that is
    struck at once somewhere in the fill, ``rows`` has that of each note."""

    origin: float
    ticks: NDArray[np.float32]
    rows: Sequence[int]


def locate(
    fill: Fill, hits: Sequence[TimedHit], tempo: float | None = None, feel: Feel = STRAIGHT
) -> Grid | None:
    """A grid whose bar lines stand where the fill starts; None where it is not to be found.

    ``tempo``, in quarters a minute, and ``feel`` are what the player was asked for.
    """
    if len(fill.strokes) < 2 or not hits:
        return None
    low, high = (tempo / NEAR_THE_HINT, tempo * NEAR_THE_HINT) if tempo else (SLOWEST, FASTEST)
    heard = _heard(fill, hits, feel)
    support = _support(fill, heard)
    stretch = _stretch(heard)
    found = [
        (float(_starts(stretch, support, pace)[1].max(initial=0.0)), pace)
        for pace in _paces(max(low, SLOWEST), min(high, FASTEST))
    ]
    score, pace = max(found, key=lambda one: (round(one[0], 3), -_from(one[1], tempo)))
    if score < ENOUGH:
        return None
    return _through_all(fill, heard, support, pace)


def _heard(fill: Fill, hits: Sequence[TimedHit], feel: Feel) -> _Heard:
    drums = _drums(fill)
    same = [[base(hit.surface) in struck for struck in drums] for hit in hits]
    return _Heard(
        np.array(onsets_struck(fill, feel)),
        np.array([hit.ms for hit in hits]),
        np.array(same, dtype=bool),
    )


def _drums(fill: Fill) -> list[frozenset[Surface]]:
    """What each note of the fill strikes."""
    return [frozenset(map(base, stroke.surfaces)) for stroke in fill.strokes]


def _stretch(heard: _Heard) -> _Heard:
    """The strokes in the middle, by which the tempo is found."""
    first = max(0, (len(heard.times) - _A_STRETCH) // 2)
    last = np.searchsorted(heard.times, heard.times[first] + _AT_MOST, side="right")
    part = slice(first, min(first + _A_STRETCH, int(last)))
    return heard._replace(times=heard.times[part], same=heard.same[part])


def _from(pace: float, tempo: float | None) -> float:
    return float(abs(np.log(pace / tempo))) if tempo else 0.0


def _paces(low: float, high: float) -> Floats:
    steps = max(1, int(np.log(high / low) / np.log(_STEP)) + 1)
    return np.asarray(low * _STEP ** np.arange(steps))


def _support(fill: Fill, heard: _Heard) -> _Support:
    """A stroke speaks for a note near it, the less the further off, and less on another surface."""
    drums = _drums(fill)
    surfaces = list(dict.fromkeys(drums))
    rows = [surfaces.index(struck) for struck in drums]
    reach = 2 * _CLOSE
    origin = heard.times[0] - reach - _TICK
    size = int((heard.times[-1] + reach - origin) / _TICK) + 2
    anything = _RHYTHM_ALONE * _nearness(heard.times - origin, size, reach)
    ticks = np.empty((len(surfaces), size), dtype=np.float32)
    for row in range(len(surfaces)):
        on_it = heard.times[heard.same[:, rows.index(row)]] - origin
        np.maximum(anything, _nearness(on_it, size, reach), out=ticks[row])
    return _Support(float(origin), ticks, rows)


def _nearness(times: Floats, size: int, reach: float) -> NDArray[np.float32]:
    """At each tick, 1 at a stroke, and in a straight line down to 0 at ``reach`` ms from it."""
    at = np.arange(size, dtype=np.float32) * _TICK
    if not len(times):
        return np.zeros(size, dtype=np.float32)
    after = np.minimum(np.searchsorted(times, at), len(times) - 1)
    off = np.minimum(np.abs(times[after] - at), np.abs(times[np.maximum(after - 1, 0)] - at))
    return np.asarray(np.maximum(0.0, 1 - off / reach), dtype=np.float32)


def _starts(heard: _Heard, support: _Support, pace: float) -> tuple[Floats, Floats]:
    """Starts that put notes enough on strokes, in order, and the share of notes each explains."""
    quarter = 60_000 / pace
    put = np.round((heard.times[:, None] - heard.notes[None, :] * quarter)[heard.same] / _APART)
    if not len(put):
        return np.empty(0), np.empty(0)
    first = int(put.min())
    votes = np.bincount(put.astype(np.int64) - first)
    starts = _APART * (first + _spoken_for(votes, len(heard.notes)).astype(float))
    return starts, _scores(starts, heard.notes * quarter, support)


def _spoken_for(votes: NDArray[np.intp], notes: int) -> NDArray[np.intp]:
    """The places with votes, where there are enough around them for the fill to be there."""
    around = int(2 * _CLOSE / _APART) + 1
    total = np.concatenate(([0], np.cumsum(votes)))
    places = np.flatnonzero(votes)
    last = np.minimum(places + around + 1, len(votes))
    near = total[last] - total[np.maximum(places - around, 0)]
    least = notes * (ENOUGH - _RHYTHM_ALONE) / (1 - _RHYTHM_ALONE)
    places, near = places[near >= least], near[near >= least]
    return np.sort(places[np.argsort(-near, kind="stable")[:MOST_STARTS]])


def _scores(starts: Floats, after: Floats, support: _Support) -> Floats:
    """For each start, the share of notes that are explained, each by the stroke that says most.

    ``after`` is how many ms after the start each note comes.
    """
    from_origin = starts - support.origin
    total, most = np.zeros(len(starts)), support.ticks.shape[1] - 1
    for row, later in zip(support.rows, after, strict=True):
        tick = np.rint((from_origin + later) / _TICK).astype(np.int64)
        total += support.ticks[row].take(tick.clip(0, most, out=tick))
    return total / len(after)


def _through_all(fill: Fill, heard: _Heard, support: _Support, pace: float) -> Grid | None:
    """A grid through every place where the fill is played at about this pace."""
    # The pace itself among them: what was found at it is found again.
    paces = pace * _STEP ** np.arange(-_ALIKE, _ALIKE + 1)
    tried = [(near, *_starts(heard, support, near)) for near in paces]
    found = sorted(
        (-score, float(near), start)
        for near, starts, scores in tried
        for start, score in zip(*_enough(starts, scores), strict=True)
    )
    length = float(fill.bar.meter.length)
    kept: list[tuple[float, float]] = []
    for _, near, start in found:
        if _is_free(kept, start, 0.85 * length * 60_000 / near):
            insort(kept, (start, near))
    return _grid(fill, sorted(_refined(heard, *one) for one in kept)) if kept else None


def _enough(starts: Floats, scores: Floats) -> tuple[list[float], list[float]]:
    at = scores >= ENOUGH
    return starts[at].tolist(), scores[at].tolist()


def _is_free(kept: Sequence[tuple[float, float]], start: float, apart: float) -> bool:
    """Whether nothing that is kept, in order, starts within so many ms."""
    at = bisect_left(kept, (start,))
    return all(abs(start - other) > apart for other, _ in kept[max(0, at - 1) : at + 1])


def _refined(heard: _Heard, start: float, pace: float) -> tuple[float, float]:
    """Start and pace by least squares through the strokes near the notes."""
    notes, times, same = heard
    at = start + notes * 60_000 / pace
    after = np.minimum(np.searchsorted(times, at), len(times) - 1)
    before = np.maximum(after - 1, 0)
    places = np.where(at - times[before] <= times[after] - at, before, after)
    near = np.abs(times[places] - at) <= _CLOSE
    near &= same[places, np.arange(len(notes))]
    if near.sum() < _FOR_A_LINE or np.ptp(notes[near]) < 1:
        return start, pace
    quarter, begins = np.polyfit(notes[near], times[places][near], 1)
    return float(begins), float(60_000 / quarter)


def _grid(fill: Fill, kept: Sequence[tuple[float, float]]) -> Grid:
    length = float(fill.bar.meter.length)
    anchors: list[tuple[float, float]] = []
    at = 0.0
    for place, (start, pace) in enumerate(kept):
        bar = length * 60_000 / pace
        if place:
            before, slower = kept[place - 1]
            between = (bar + length * 60_000 / slower) / 2
            at += length * max(1, round((start - before) / between))
        anchors.append((at, start))
        following = kept[place + 1][0] if place + 1 < len(kept) else np.inf
        if start + 1.05 * bar < following:
            anchors.append((at + length, start + bar))
    if len(anchors) == 1:
        anchors.append((at + length, kept[0][0] + length * 60_000 / kept[0][1]))
    return Grid(fill.bar.meter, tuple(anchors), ESTIMATED)
