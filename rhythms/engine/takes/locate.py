"""A known fill found in strokes that came without a click: when, how fast, how often."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.fills.fill import Fill
from rhythms.engine.takes.grid import ESTIMATED, Grid
from rhythms.engine.takes.hits import Hit

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
#: The tempo is searched in so many strokes: the longest block of bars and more.
_A_STRETCH = 450
#: Fewer strokes than this make no line.
_FOR_A_LINE = 4
#: Where it is clear, other tries are looked for this near the tempo of the best, as a factor.
_ALIKE = 1.06


class _Heard(NamedTuple):
    """Onsets of the fill in quarters, times of the strokes in ms, and which stroke is on the
    surface of which note: strokes by notes."""

    notes: Floats
    times: Floats
    same: NDArray[np.bool_]


def locate(fill: Fill, hits: Sequence[Hit], tempo: float | None = None) -> Grid | None:
    """A grid whose bar lines stand where the fill starts; None where it is not to be found.

    ``tempo``, in quarters a minute, is where the player was asked to be.
    """
    if len(fill.strokes) < 2 or not hits:
        return None
    low, high = (tempo / NEAR_THE_HINT, tempo * NEAR_THE_HINT) if tempo else (SLOWEST, FASTEST)
    heard = _heard(fill, hits)
    middle = max(0, (len(hits) - _A_STRETCH) // 2)
    part = slice(middle, middle + _A_STRETCH)
    stretch = heard._replace(times=heard.times[part], same=heard.same[part])
    found = [
        (float(_starts(stretch, pace)[1].max()), pace)
        for pace in _paces(max(low, SLOWEST), min(high, FASTEST))
    ]
    score, pace = max(found, key=lambda one: (round(one[0], 3), -_from(one[1], tempo)))
    if score < ENOUGH:
        return None
    return _through_all(fill, heard, pace)


def _heard(fill: Fill, hits: Sequence[Hit]) -> _Heard:
    same = [[hit.surface is stroke.surface for stroke in fill.strokes] for hit in hits]
    return _Heard(
        np.array([float(note.onset) for note in fill.bar.sounded]),
        np.array([hit.ms for hit in hits]),
        np.array(same, dtype=bool),
    )


def _from(pace: float, tempo: float | None) -> float:
    return float(abs(np.log(pace / tempo))) if tempo else 0.0


def _paces(low: float, high: float) -> Floats:
    steps = max(1, int(np.log(high / low) / np.log(_STEP)) + 1)
    return np.asarray(low * _STEP ** np.arange(steps))


def _starts(heard: _Heard, pace: float) -> tuple[Floats, Floats]:
    """Every start that puts some note on some stroke, and the share of notes it explains."""
    notes, times, same = heard
    implied = times[:, None] - notes[None, :] * (60_000 / pace)
    starts = np.unique(np.round(implied[same] / 10) * 10) if same.any() else implied[:, 0]
    return starts, _support(starts, implied, np.where(same, 1.0, _RHYTHM_ALONE))


def _support(starts: Floats, implied: Floats, weights: Floats) -> Floats:
    """For each start, the share of notes that are explained, each by the stroke that says most.

    ``implied`` is when the fill starts if a stroke is a note, ``weights`` what that counts: both
    strokes by notes.
    """
    reach, notes = 2 * _CLOSE, np.arange(implied.shape[1])
    moved = implied[0] - implied[0, 0]
    sought = starts[:, None] - moved
    first = np.searchsorted(implied[:, 0], sought - reach)
    last = np.searchsorted(implied[:, 0], sought + reach)
    most = np.zeros(first.shape)
    for after in range(int((last - first).max(initial=0))):
        stroke = np.minimum(first + after, len(implied) - 1)
        near = np.maximum(0.0, 1 - np.abs(implied[stroke, notes] - starts[:, None]) / reach)
        most = np.maximum(most, near * weights[stroke, notes])
    return np.asarray(most.sum(axis=1) / len(notes))


def _through_all(fill: Fill, heard: _Heard, pace: float) -> Grid:
    """A grid through every place where the fill is played at about this pace."""
    found = [
        (score, start, near)
        for near in _paces(pace / _ALIKE, pace * _ALIKE)
        for start, score in zip(*_starts(heard, near), strict=True)
        if score >= ENOUGH
    ]
    length = float(fill.bar.meter.length)
    kept: list[tuple[float, float]] = []
    for _, start, near in sorted(found, key=lambda one: -one[0]):
        bar = length * 60_000 / near
        if all(abs(start - other) > 0.85 * bar for other, _ in kept):
            kept.append((start, near))
    return _grid(fill, [_refined(heard, *one) for one in sorted(kept)])


def _refined(heard: _Heard, start: float, pace: float) -> tuple[float, float]:
    """Start and pace by least squares through the strokes near the notes."""
    notes, times, same = heard
    at = start + notes * 60_000 / pace
    places = np.argmin(np.abs(times[None, :] - at[:, None]), axis=1)
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
