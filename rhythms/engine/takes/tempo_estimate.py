"""Tempo and phase of a take that came without a click.

The strokes are read as drawn from a mixture: most lie near the places that a beat is divided
into, spread by a normal distribution, some anywhere. The beat's length and phase of greatest
likelihood are searched, then followed through the take as a player's tempo wanders.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.bars.meter import Meter
from rhythms.engine.kits.surfaces import Surface, base
from rhythms.engine.takes.grid import ESTIMATED, Grid
from rhythms.engine.takes.hits import TimedHit
from rhythms.engine.takes.swung_places import places_struck

Floats = NDArray[np.float64]
#: Beats a minute that are searched, and where most music is (common practice): a normal
#: distribution over the logarithm, this wide.
SLOWEST, FASTEST = 42.0, 230.0
USUAL, USUALLY_WITHIN = 105.0, 0.45
#: The same width around a tempo that a player was asked for, and around one they say they played.
ASKED, STATED = 0.2, 0.02
_STEP = 1.012
_PHASES = 48
#: How far strokes stray, as a standard deviation in ms, and the share that means nothing.
STRAY, LOOSE = 18.0, 0.06
#: How often a stroke stands at each place of a beat that is played in halves and quarters, in
#: thirds and sixths; and how often a beat of quarters is played in either.
_BY_TWO = ((0.0, 0.42), (0.5, 0.3), (0.25, 0.13), (0.75, 0.15))
_BY_THREE = (
    *((0.0, 0.4), (1 / 3, 0.21), (2 / 3, 0.22)),
    *((1 / 6, 0.05), (0.5, 0.07), (5 / 6, 0.05)),
)
#: Where the pulse is an eighth, most strokes stand on it.
_OF_EIGHTHS = ((0.0, 0.68), (0.5, 0.24), (0.25, 0.04), (0.75, 0.04))
_IN_TWOS, _IN_THREES = 0.85, 0.15
#: Strokes this near, in ms, are one moment; with fewer moments than these there is no tempo.
TOGETHER, FOR_A_TEMPO = 25.0, 4
#: The tempo is searched in the fullest stretch of this many ms.
_STRETCH = 9_000.0
#: The beat is followed in strides of so many beats, by the strokes of so many beats ahead, where
#: there are enough; how far it may shift at once, in beats, and stretch, as a factor.
_STRIDE, _WINDOW, _ENOUGH = 2, 8, 3
_SHIFT_TRIES, _STRETCH_TRIES = np.linspace(-0.08, 0.08, 9), np.linspace(0.985, 1.015, 7)
_SHIFTS, _FACTORS = (tries.ravel() for tries in np.meshgrid(_SHIFT_TRIES, _STRETCH_TRIES))
_UNLIKELY = 0.5 * ((_SHIFTS / 0.03) ** 2 + ((_FACTORS - 1) / 0.008) ** 2)
#: A beat never grows or shrinks beyond this factor: a take is not followed into a roll.
_AS_FAR = 2.5
#: How much more must speak for the off-beats being the beats.
_CLEARLY = 1.3


def estimate(
    hits: Sequence[TimedHit],
    meter: Meter,
    tempo: float | None = None,
    within: float = ASKED,
    feel: Feel = STRAIGHT,
) -> Grid | None:
    """The grid of greatest likelihood; None with fewer than ``FOR_A_TEMPO`` moments to go by.

    ``tempo``, in quarters a minute, is what is likely beforehand; ``within``, the standard
    deviation of its logarithm, how near the strokes will be to it. ``feel`` is what they are in.
    """
    moments = _moments(hits)
    if len(moments) < FOR_A_TEMPO:
        return None
    stretch = _fullest(moments)
    pulse = _pulse(meter)
    likely = (tempo / float(pulse), within) if tempo else None
    families = _families(meter, feel)
    length, phase = _best_beat(stretch, meter, likely, families)
    beats = _followed(moments, length, phase, families)
    per_bar = round(meter.length / pulse)
    beats, first = _counted(hits, beats, per_bar)
    anchors = tuple(((k - first) * float(pulse), float(at)) for k, at in enumerate(beats))
    return Grid(meter, anchors, ESTIMATED)


def fit(hits: Sequence[TimedHit], grid: Grid, feel: Feel = STRAIGHT, finer: float = 1.0) -> float:
    """The mean log likelihood per moment of the strokes on a grid, against none at all.

    Above 0 the grid says something; two grids of one take can be compared. ``finer`` is how many
    times as fast it is counted.
    """
    return float(fits(hits, grid, np.zeros(1), feel, finer)[0])


def fits(
    hits: Sequence[TimedHit],
    grid: Grid,
    shifts: Floats,
    feel: Feel = STRAIGHT,
    finer: float = 1.0,
) -> Floats:
    """The same for the grid moved by each of the shifts, in ms."""
    moments = _moments(hits)
    if not len(moments):
        return np.zeros(len(shifts))
    beat = float(_pulse(grid.meter)) / finer
    at = grid.quarters_of(moments[None, :] - shifts[:, None]) / beat
    length = beat * 60_000 / grid.tempo
    return _log_likelihood(at, length, _any_division(grid.meter, feel))


def how_many(hits: Sequence[TimedHit]) -> int:
    """How many moments there are to go by."""
    return len(_moments(hits))


def _moments(hits: Sequence[TimedHit]) -> Floats:
    times: list[float] = []
    for hit in hits:
        if not times or hit.ms - times[-1] > TOGETHER:
            times.append(hit.ms)
    return np.array(times)


def _pulse(meter: Meter) -> Fraction:
    """The felt beat in quarters, or the eighth where beats differ in length."""
    lengths = {beat.length for beat in meter.beats}
    return lengths.pop() if len(lengths) == 1 else Fraction(4, meter.unit)


_Families = tuple[tuple[float, tuple[tuple[float, float], ...]], ...]


def _families(meter: Meter, feel: Feel) -> _Families:
    """The ways in which a beat may be divided: how often, and where its strokes stand."""
    pulse, swung = _pulse(meter), feel.warp(meter, ())
    if pulse == 1:
        return ((_IN_TWOS, places_struck(_BY_TWO, pulse, swung)), (_IN_THREES, _BY_THREE))
    return ((1.0, places_struck(_BY_THREE if pulse > 1 else _OF_EIGHTHS, pulse, swung)),)


def _any_division(meter: Meter, feel: Feel) -> _Families:
    """The same, none more likely than another: nobody is off the click for playing triplets."""
    families = _families(meter, feel)
    return tuple((1 / len(families), places) for _, places in families)


def _fullest(moments: Floats) -> Floats:
    if moments[-1] - moments[0] <= _STRETCH:
        return moments
    ends = np.searchsorted(moments, moments + _STRETCH)
    start = int(np.argmax(ends - np.arange(len(moments))))
    return moments[start : ends[start]]


def _places(families: _Families) -> set[float]:
    return {place for _, places in families for place, _ in places}


def _log_likelihood(
    at: Floats,
    length: float | Floats,
    families: _Families,
    spreads: Mapping[float, Floats] | None = None,
) -> Floats:
    """Per moment, one row a grid: ``at`` in beats, ``length`` of a beat in ms, one for each row
    or the same for all; ``spreads`` by place, where they are known.

    The strokes of one beat are divided alike; which way, is summed over.
    """
    rows, count = at.shape
    beats = np.floor(at + 0.5 / 6).astype(np.int64)
    beats -= beats.min()
    cells = beats + np.arange(rows)[:, None] * (beats.max() + 1)
    size = rows * int(beats.max() + 1)
    total = np.full(size, -np.inf)
    spreads = spreads or {place: _spread(at, length, place) for place in _places(families)}
    for share, places in families:
        density = np.log(_density(spreads, length, places)).ravel()
        summed = np.bincount(cells.ravel(), density, minlength=size)
        total = np.logaddexp(total, np.log(share) + summed)
    # A beat without strokes says nothing either way: its shares add up to 1.
    return np.asarray(total.reshape(rows, -1).sum(axis=1) / count)


def _spread(at: Floats, length: float | Floats, place: float) -> Floats:
    """The normal density, per ms, of strokes meant for one place of the beat."""
    shifted = at - place + 0.5
    off = shifted - np.floor(shifted) - 0.5
    spread: Floats = np.exp(-0.5 * (off * length / STRAY) ** 2) / (STRAY * np.sqrt(2 * np.pi))
    return spread


def _density(
    spreads: Mapping[float, Floats], length: float | Floats, places: Sequence[tuple[float, float]]
) -> Floats:
    density = np.full_like(next(iter(spreads.values())), LOOSE)
    for place, share in places:
        density += (1 - LOOSE) * share * length * spreads[place]
    return density


def _best_beat(
    moments: Floats, meter: Meter, expected: tuple[float, float] | None, families: _Families
) -> tuple[float, float]:
    """Length of a beat and time of one, in ms; ``expected`` in beats a minute, with its width."""
    faster = 1.0 if _pulse(meter) >= 1 else 2.0
    middle, width = expected or (faster * USUAL, USUALLY_WITHIN)
    best = (-np.inf, 0.0, 0.0)
    for tempo in _tempos(middle, faster * SLOWEST, faster * FASTEST):
        length = 60_000 / tempo
        shifts = np.arange(_PHASES)[:, None] / _PHASES
        at = (moments - moments[0])[None, :] / length - shifts
        likely = _log_likelihood(at, length, families, _by_phase(at, length, families))
        likely = likely * len(moments) - 0.5 * (np.log(tempo / middle) / width) ** 2
        place = int(np.argmax(likely))
        if likely[place] > best[0]:
            best = (float(likely[place]), length, float(moments[0] + shifts[place, 0] * length))
    return best[1], best[2]


def _by_phase(at: Floats, length: float, families: _Families) -> dict[float, Floats]:
    """The spreads where row after row is a phase further: at any place they are those of the
    beat itself, so many rows on, since ``_PHASES`` divides a beat as finely as places do (swung
    ones within a hundredth)."""
    on_the_beat = _spread(at, length, 0.0)
    twice_around = np.concatenate((on_the_beat, on_the_beat))
    starts = {place: round(place * _PHASES) for place in _places(families)}
    return {place: twice_around[start : start + _PHASES] for place, start in starts.items()}


def _tempos(middle: float, slowest: float, fastest: float) -> Floats:
    """From the slowest to the fastest, in equal steps that meet the middle, and around that."""
    low, high = np.log(np.array([slowest, fastest]) / middle) / np.log(_STEP)
    steps = np.arange(min(np.ceil(low), -2), max(np.floor(high), 2) + 1)
    return np.asarray(middle * _STEP**steps)


def _followed(moments: Floats, length: float, phase: float, families: _Families) -> Floats:
    """The times of beats from before the first moment to after the last."""
    onward = _walk(moments, phase, length, families, moments[-1], 1)
    back = _walk(moments, phase, length, families, moments[0], -1)
    return np.array([*back[:0:-1], *onward])


def _walk(
    moments: Floats, at: float, length: float, families: _Families, until: float, way: int
) -> list[float]:
    """Beat times from ``at``, in one direction, until past ``until``.

    Every few beats the place and length of the next ones are made likeliest, near to what they
    were: players do not jump.
    """
    beats, shortest, longest = [at], length / _AS_FAR, length * _AS_FAR
    while (until - beats[-1]) * way > -0.1 * length:
        ahead = (moments - beats[-1]) * way
        near = ahead[(ahead > -0.5 * length) & (ahead < _WINDOW * length)]
        shift, length = _adjusted(near, length, families)
        length = min(max(length, shortest), longest)
        start = beats[-1] + way * shift
        beats += [start + way * length * step for step in range(1, _STRIDE + 1)]
    return beats


def _adjusted(near: Floats, length: float, families: _Families) -> tuple[float, float]:
    """A shift in ms and a new length of the beat, from the strokes of the beats ahead."""
    if len(near) < _ENOUGH:
        return 0.0, length
    lengths = length * _FACTORS[:, None]
    at = (near[None, :] - _SHIFTS[:, None] * length) / lengths
    likely = _log_likelihood(at, lengths, families) * len(near) - _UNLIKELY
    best = int(np.argmax(likely))
    return float(_SHIFTS[best]) * length, float(lengths[best, 0])


def _counted(hits: Sequence[TimedHit], beats: Floats, per_bar: int) -> tuple[Floats, int]:
    """The beats, or the times halfway between them where those carry bass drum and snare; and
    which of them is the *one* before the first stroke."""
    between = (beats[1:] + beats[:-1]) / 2
    off_beat = np.array([2 * beats[0] - between[0], *between, 2 * beats[-1] - between[-1]])
    scores = _ones(hits, beats, per_bar)
    off_scores = _ones(hits, off_beat, per_bar)
    if off_scores.max() > _CLEARLY * max(1.0, scores.max()):
        beats, scores = off_beat, off_scores
    first = int(np.argmax(scores))
    opening = int(np.argmin(np.abs(beats - hits[0].ms)))
    while first > opening:
        first -= per_bar
    return beats, first


def _ones(hits: Sequence[TimedHit], beats: Floats, per_bar: int) -> Floats:
    """How much speaks for each of the first beats being *one*: bass drum and crash there, snare
    on backbeats, and where the take begins."""
    scores = np.zeros(per_bar)
    tolerance = 0.12 * float(np.mean(np.diff(beats)))
    for hit in hits:
        beat = int(np.argmin(np.abs(beats - hit.ms)))
        if abs(beats[beat] - hit.ms) > tolerance:
            continue
        for first in range(per_bar):
            scores[first] += _speaks_for_one(base(hit.surface), (beat - first) % per_bar, per_bar)
    opening = int(np.argmin(np.abs(beats - hits[0].ms)))
    scores[opening % per_bar] += 0.5
    return scores


def _speaks_for_one(surface: Surface, place: int, per_bar: int) -> float:
    if surface is Surface.BASS_DRUM:
        return 1.0 if place == 0 else 0.3 if 2 * place == per_bar else 0.0
    if surface is Surface.CRASH:
        return 1.5 if place == 0 else 0.0
    if surface is Surface.SNARE:
        return 0.6 if place % 2 and per_bar % 2 == 0 else -0.3 if place == 0 else 0.0
    return 0.0
