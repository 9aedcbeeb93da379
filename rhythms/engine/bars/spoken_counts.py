"""What is counted aloud: the syllables of a beat, and of places in a bar."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from rhythms.engine.bars.meter import Beat, Meter
from rhythms.engine.errors import NotCountableError


class Count(NamedTuple):
    """One place of a grid: ``offset`` from its beginning in quarters, and its syllable."""

    offset: Fraction
    label: str


Grid = tuple[Count, ...]


@lru_cache(maxsize=256)
def grids(beat: Beat, in_eighths: bool) -> tuple[Grid, ...]:
    """The grids a beat can be counted in, coarsest first."""
    if in_eighths:
        eighths = round(beat.length * 2)
        numbers = [Count(Fraction(k, 2), str(beat.number + k)) for k in range(eighths)]
        ands = [Count(Fraction(2 * k + 1, 4), "&") for k in range(eighths)]
        return tuple(numbers), tuple(sorted(numbers + ands))
    number = str(beat.number)
    return tuple(
        tuple(Count(Fraction(k, len(labels)), label) for k, label in enumerate(labels))
        for labels in (
            (number,),
            (number, "&"),
            (number, "e", "&", "a"),
            (number, "trip", "let"),
            (number, "trip", "let", "&", "trip", "let"),
        )
    )


def grid_for(beat: Beat, offsets: frozenset[Fraction], meter: Meter) -> Grid:
    """The coarsest grid of a beat with all of the offsets. Raises NotCountableError."""
    for grid in grids(beat, meter.in_eighths):
        if offsets <= {count.offset for count in grid}:
            return grid
    raise NotCountableError(
        f"Beat {beat.number} cannot be counted: it is finer than 16ths or mixes them with triplets."
    )


def count_labels(onsets: tuple[Fraction, ...], meter: Meter) -> tuple[str, ...]:
    """The syllable counted at each of some onsets of one bar. Raises NotCountableError."""
    labels: dict[Fraction, str] = {}
    for beat, inside in _by_beat(onsets, meter):
        grid = grid_for(beat, inside, meter)
        labels.update({beat.onset + count.offset: count.label for count in grid})
    return tuple(labels[onset] for onset in onsets)


def every_count(onsets: tuple[Fraction, ...], meter: Meter) -> tuple[Count, ...]:
    """All that is said aloud over some onsets of one bar: each beat in as many as they need.

    ``offset`` is from the bar line. A beat finer than counting goes has its numbers alone.
    """
    return tuple(
        Count(beat.onset + count.offset, count.label)
        for beat, inside in _by_beat(onsets, meter)
        for count in _counted(beat, inside, meter) or grids(beat, meter.in_eighths)[0]
    )


def count_names(onsets: tuple[Fraction, ...], meter: Meter) -> tuple[str, ...]:
    """Each onset of one bar by number and syllable: ``2``, ``2 &``; "" if it cannot be counted."""
    names: dict[Fraction, str] = {}
    for beat, inside in _by_beat(onsets, meter):
        number = ""
        for count in _counted(beat, inside, meter):
            number = count.label if count.label.isdigit() else number
            spoken = number if count.label == number else f"{number} {count.label}"
            names[beat.onset + count.offset] = spoken
    return tuple(names.get(onset, "") for onset in onsets)


def place_names(onsets: tuple[Fraction, ...], meter: Meter) -> tuple[str, ...]:
    """The same for whoever looks for a place: in a second bar ``bar 2, 2 &``."""
    names = zip(onsets, count_names(onsets, meter), strict=True)
    return tuple(
        f"bar {bar + 1}, {name}" if name and (bar := meter.bar_at(onset)) else name
        for onset, name in names
    )


def _by_beat(
    onsets: tuple[Fraction, ...], meter: Meter
) -> Iterator[tuple[Beat, frozenset[Fraction]]]:
    """Each beat with the offsets from it that are in it."""
    for beat in meter.beats:
        yield beat, frozenset(on - beat.onset for on in onsets if beat.onset <= on < beat.end)


def _counted(beat: Beat, offsets: frozenset[Fraction], meter: Meter) -> Grid:
    try:
        return grid_for(beat, offsets, meter)
    except NotCountableError:
        return ()
