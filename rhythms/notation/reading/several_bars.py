"""Measures that are one fill of two bars, as the count line that comes along has it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from rhythms.notation.reading.raw import RawMeasure, Strike


def with_several_bars(measures: Sequence[RawMeasure]) -> Iterator[RawMeasure]:
    """The measures, those of one fill as one.

    A file holds no measure after its last stroke: what is missing is silent.
    """
    place = 0
    while place < len(measures):
        bars = _bars_from(measures[place])
        group = measures[place : place + bars]
        whole = all(_is_like(measure, group[0]) for measure in group)
        yield _in_one(group, bars) if bars > 1 and whole else measures[place]
        place += len(group) if bars > 1 and whole else 1


def _bars_from(measure: RawMeasure) -> int:
    """How many bars the fill has that starts here; 1 where nothing is told of it."""
    meter = measure.counted.meter if measure.counted else None
    if meter is None or meter.pickup or meter.one_bar != measure.meter:
        return 1
    return meter.bars


def _is_like(measure: RawMeasure, first: RawMeasure) -> bool:
    """Whether it is a whole bar of the same meter."""
    meter = first.meter
    return meter is not None and measure.meter == meter and measure.length == meter.length


def _in_one(group: Sequence[RawMeasure], bars: int) -> RawMeasure:
    first, length = group[0], group[0].length
    strikes: list[Strike] = []
    for number, measure in enumerate(group):
        start = number * length
        if strikes and measure.held and strikes[-1].end == start:
            strikes[-1] = replace(strikes[-1], end=start + measure.held)
        strikes += [
            replace(strike, onset=strike.onset + start, end=strike.end + start)
            for strike in measure.strikes
        ]
    missing = (number * length for number in range(len(group), bars))
    rests = [rest + number * length for number, one in enumerate(group) for rest in one.rests]
    return replace(
        first,
        meter=first.meter and first.meter.over(bars),
        length=bars * length,
        strikes=tuple(strikes),
        rests=(*rests, *missing),
        words=tuple(dict.fromkeys(_all_words(group))),
    )


def _all_words(group: Iterable[RawMeasure]) -> Iterator[str]:
    for measure in group:
        yield from measure.words
