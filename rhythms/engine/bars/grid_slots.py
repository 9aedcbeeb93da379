"""The grid of a bar: its beats in equal steps, and where the notes stand on them."""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property
from math import gcd, lcm
from typing import NamedTuple

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.meter import Beat


class Slot(NamedTuple):
    """Where a note stands on the bar's grid: counted through the bar, and within its beat."""

    in_bar: int
    in_beat: int


class BarGrid:
    """The coarsest grid that holds every note of ``bar``.

    One step for all duple beats, one for all triplet beats, each step a whole part of a quarter
    (or eighth).
    """

    def __init__(self, bar: Bar) -> None:
        self.bar = bar

    @cached_property
    def beats(self) -> tuple[Beat, ...]:
        """The beat of each sounded note."""
        return tuple(self.bar.meter.beat_at(note.onset) for note in self.bar.sounded)

    @cached_property
    def steps(self) -> dict[Beat, int]:
        """How many steps each beat has."""
        return {beat: int(beat.length / self._step(beat)) for beat in self.bar.meter.beats}

    @cached_property
    def slots(self) -> tuple[Slot, ...]:
        """The slot of each sounded note."""
        before, total = {}, 0
        for beat, steps in self.steps.items():
            before[beat] = total
            total += steps
        return tuple(
            Slot(before[beat] + within, within)
            for note, beat in zip(self.bar.sounded, self.beats, strict=True)
            for within in [int((note.onset - beat.onset) * self.steps[beat] / beat.length)]
        )

    @cached_property
    def strong(self) -> tuple[bool, ...]:
        """For each sounded note, whether it is the leading hand's, hand to hand by the grid.

        Each beat begins with it, so that it has the numbers and, where there are 16ths, each
        "&"; beats of three steps, or of another odd number, alternate as long as they follow
        each other. Common practice.
        """
        return self._leading(dict(self.steps))

    @cached_property
    def strong_on_eighths(self) -> tuple[bool, ...]:
        """The same where the leading hand has every eighth, as if there were 16ths everywhere.

        The other convention of the trade for eighths; triplets alternate. Common practice.
        """
        return self._leading(
            {
                beat: steps if beat in self._triplet_beats else max(steps, int(4 * beat.length))
                for beat, steps in self.steps.items()
            }
        )

    def _leading(self, counted: dict[Beat, int]) -> tuple[bool, ...]:
        """For each sounded note, whether it falls to the leading hand: ``counted`` steps a beat."""
        begins, turn = {}, 0
        for beat, steps in counted.items():
            begins[beat] = turn if steps % 2 else 0
            turn = begins[beat] + steps
        return tuple(
            (begins[beat] + int((note.onset - beat.onset) * counted[beat] / beat.length)) % 2 == 0
            for note, beat in zip(self.bar.sounded, self.beats, strict=True)
        )

    def _step(self, beat: Beat) -> Fraction:
        triplet = beat in self._triplet_beats
        same = [
            other for other in self.bar.meter.beats if (other in self._triplet_beats) == triplet
        ]
        unit = Fraction(4, self.bar.meter.unit)
        return _common_step([unit] + [part for other in same for part in self._parts[other]])

    @cached_property
    def _triplet_beats(self) -> frozenset[Beat]:
        return frozenset(
            beat
            for beat in self.bar.meter.beats
            if any(part.denominator % 3 == 0 for part in self._parts[beat])
        )

    @cached_property
    def _parts(self) -> dict[Beat, list[Fraction]]:
        """Offsets of the written notes of a beat and of their ends, where these fall inside it."""
        # The notes fill the bar: where one ends, the next one begins.
        edges = [note.onset for note in self.bar.notes]
        return {
            beat: [edge - beat.onset for edge in edges if beat.onset < edge < beat.end]
            for beat in self.bar.meter.beats
        }


def _common_step(parts: list[Fraction]) -> Fraction:
    """The greatest step that reaches all of ``parts``."""
    return Fraction(
        gcd(*(part.numerator for part in parts)), lcm(*(part.denominator for part in parts))
    )
