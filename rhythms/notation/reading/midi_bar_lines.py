"""The bar lines of a MIDI file, and its clock."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from rhythms.engine import Meter
from rhythms.notation.reading.counted_meter import counted_in


@dataclass(frozen=True)
class BarLine:
    """One measure: ``onset`` and ``length`` in quarters; ``meter`` None where it is not counted."""

    onset: Fraction
    length: Fraction
    meter: Meter | None
    words: tuple[str, ...]

    @property
    def end(self) -> Fraction:
        """The next bar line."""
        return self.onset + self.length


def lines(
    signatures: Sequence[tuple[int, int, int]], ticks_per_quarter: int, last: int, most: int
) -> tuple[BarLine, ...]:
    """The measures up to the one after tick ``last``, and no more than ``most``.

    ``signatures`` are (tick, count, unit), the first at tick 0. One that comes inside a
    measure begins a new one, as sequencers have it.
    """
    made: list[BarLine] = []
    onset, end = Fraction(0), Fraction(last, ticks_per_quarter)
    starts = [Fraction(tick, ticks_per_quarter) for tick, _, _ in signatures]
    while len(made) < most and (not made or made[-1].onset <= end):
        at = bisect_right(starts, onset)
        _, count, unit = signatures[at - 1]
        meter, words = counted_in((count,), unit)
        length = Fraction(4 * max(count, 1), unit)
        if at < len(starts) and starts[at] < onset + length:
            length, meter = starts[at] - onset, None
            words = ("The meter changes before this measure is full.",)
        made.append(BarLine(onset, length, meter, words))
        onset += length
    return tuple(made)


class Clock:
    """``tempos`` are (tick, microseconds a quarter), the first at tick 0."""

    def __init__(self, tempos: Sequence[tuple[int, int]], ticks_per_quarter: int) -> None:
        self.ticks = [tick for tick, _ in tempos]
        self.quarters = [max(tempo, 1) / 1000 for _, tempo in tempos]
        self.ticks_per_quarter = ticks_per_quarter
        self.passed = list(self._passed())

    def _passed(self) -> Iterator[float]:
        """Milliseconds at each change of tempo."""
        now = 0.0
        for place, tick in enumerate(self.ticks):
            if place:
                since = tick - self.ticks[place - 1]
                now += since * self.quarters[place - 1] / self.ticks_per_quarter
            yield now

    def milliseconds(self, tick: int) -> float:
        """How long after the start ``tick`` is."""
        place = bisect_right(self.ticks, tick) - 1
        since = (tick - self.ticks[place]) * self.quarters[place] / self.ticks_per_quarter
        return self.passed[place] + since

    def quarter_at(self, tick: int) -> float:
        """How long a quarter lasts there, in milliseconds."""
        return self.quarters[bisect_right(self.ticks, tick) - 1]
