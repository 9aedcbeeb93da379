"""What is counted aloud: the syllables of a beat, and of places in a bar."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from rhythms.engine.bars.beat_divisions import BETWEEN, Count, Division, Grid, divisions_of
from rhythms.engine.bars.meter import Beat, Meter
from rhythms.engine.errors import NotCountableError


def division_for(beat: Beat, offsets: frozenset[Fraction], meter: Meter) -> Division:
    """The first division of a beat with all of the offsets. Raises NotCountableError."""
    for division in divisions_of(beat, in_eighths=meter.in_eighths):
        if division.holds(offsets):
            return division
    raise NotCountableError(
        f"Beat {beat.number} cannot be counted: it is finer than 32nds, or mixes what is not "
        "counted in one beat."
    )


def count_labels(onsets: tuple[Fraction, ...], meter: Meter) -> tuple[str, ...]:
    """The syllable counted at each of some onsets of one bar. Raises NotCountableError."""
    labels: dict[Fraction, str] = {}
    for beat, inside in _by_beat(onsets, meter):
        counts = division_for(beat, inside, meter).counts
        labels.update({beat.onset + count.offset: count.label for count in counts})
    return tuple(labels[onset] for onset in onsets)


def every_count(onsets: tuple[Fraction, ...], meter: Meter) -> tuple[Count, ...]:
    """All that is said aloud over some onsets of one bar: each beat in as many as they need.

    ``offset`` is from the bar line; of a pick-up only what is written is said. A beat finer than
    counting goes has its numbers alone.
    """
    said = (
        Count(beat.onset + count.offset, count.label)
        for beat, inside in _by_beat(onsets, meter)
        for count in _counted(beat, inside, meter) or _numbers(beat, meter)
    )
    return tuple(count for count in said if count.offset >= meter.opens_at)


def count_names(onsets: tuple[Fraction, ...], meter: Meter) -> tuple[str, ...]:
    """Each onset of one bar by number and syllable: ``2``, ``2 &``; "" if it cannot be counted.

    A 32nd is named with the 16th before it: ``2 ta``, ``2 e ta``.
    """
    names: dict[Fraction, str] = {}
    for beat, inside in _by_beat(onsets, meter):
        number = before = ""
        for count in _counted(beat, inside, meter):
            number = count.label if count.label.isdigit() else number
            spoken = number if count.label == number else f"{number} {count.label}"
            if count.label == BETWEEN:
                spoken = f"{before} {BETWEEN}"
            names[beat.onset + count.offset] = before = spoken
    return tuple(names.get(onset, "") for onset in onsets)


def place_names(onsets: tuple[Fraction, ...], meter: Meter) -> tuple[str, ...]:
    """The same for whoever looks for a place: in a second bar ``bar 2, 2 &``.

    Before the bar line of a pick-up ``pick-up, 4 &``.
    """
    names = zip(onsets, count_names(onsets, meter), strict=True)
    return tuple(name and _bar_name(onset, meter) + name for onset, name in names)


def _bar_name(onset: Fraction, meter: Meter) -> str:
    number = meter.bar_at(onset) + 1 - bool(meter.pickup)
    return {0: "pick-up, ", 1: ""}.get(number, f"bar {number}, ")


def _by_beat(
    onsets: tuple[Fraction, ...], meter: Meter
) -> Iterator[tuple[Beat, frozenset[Fraction]]]:
    """Each beat that is written, with the offsets from it that are in it."""
    for beat in meter.written_beats:
        yield beat, frozenset(on - beat.onset for on in onsets if beat.onset <= on < beat.end)


def _counted(beat: Beat, offsets: frozenset[Fraction], meter: Meter) -> Grid:
    try:
        return division_for(beat, offsets, meter).counts
    except NotCountableError:
        return ()


def _numbers(beat: Beat, meter: Meter) -> Grid:
    return divisions_of(beat, in_eighths=meter.in_eighths)[0].counts
