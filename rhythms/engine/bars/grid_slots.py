"""The grid of a bar: its beats in equal steps, and where the notes stand on them."""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property
from math import gcd, lcm
from typing import NamedTuple

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.meter import Beat

_HALF = Fraction(1, 2)
_DUPLE, _TRIPLET, _OF_FIVE, _MIXED = "duple", "triplet", "of five", "mixed"
#: Offsets from a beat, in quarters.
Places = tuple[Fraction, ...]


class Slot(NamedTuple):
    """Where a note stands on the bar's grid: counted through the bar, and within its beat."""

    in_bar: int
    in_beat: int


class BarGrid:
    """The coarsest grid that holds every note of ``bar``.

    One step for all duple beats, one for all triplet beats, one for all beats of five, each step a
    whole part of a quarter (or eighth). A beat that mixes them is stepped half by half (or eighth
    by eighth).
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
        return {beat: len(places) for beat, places in self._places.items()}

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
            for within in [self._places[beat].index(note.onset - beat.onset)]
        )

    @cached_property
    def strong(self) -> tuple[bool, ...]:
        """For each sounded note, whether it is the leading hand's, hand to hand by the grid.

        Each beat begins with it, so that it has the numbers and, where there are 16ths, each
        "&"; beats of three steps, or of another odd number, alternate as long as they follow
        each other. Common practice.
        """
        return self._leading(self._places)

    @cached_property
    def strong_on_eighths(self) -> tuple[bool, ...]:
        """The same where the leading hand has every eighth, as if there were 16ths everywhere.

        The other convention of the trade for eighths; triplets alternate. Common practice.
        """
        return self._leading(
            {
                beat: places
                if self._kinds[beat] != _DUPLE or len(places) >= int(4 * beat.length)
                else _even(beat.length, Fraction(1, 4))
                for beat, places in self._places.items()
            }
        )

    def _leading(self, counted: dict[Beat, Places]) -> tuple[bool, ...]:
        """For each sounded note, whether it falls to the leading hand, by what is counted."""
        begins, turn = {}, 0
        for beat, places in counted.items():
            begins[beat] = turn if len(places) % 2 else 0
            turn = begins[beat] + len(places)
        return tuple(
            (begins[beat] + counted[beat].index(note.onset - beat.onset)) % 2 == 0
            for note, beat in zip(self.bar.sounded, self.beats, strict=True)
        )

    @cached_property
    def _places(self) -> dict[Beat, Places]:
        """The offsets of each beat's steps."""
        return {
            beat: self._by_parts(beat) if kind == _MIXED else _even(beat.length, self._step(kind))
            for beat, kind in self._kinds.items()
        }

    def _step(self, kind: str) -> Fraction:
        alike = [beat for beat, other in self._kinds.items() if other == kind]
        unit = Fraction(4, self.bar.meter.unit)
        return _common_step([unit] + [part for beat in alike for part in self._parts[beat]])

    def _by_parts(self, beat: Beat) -> Places:
        """Each half of a quarter, or each eighth, in the steps of its own notes."""
        found: list[Fraction] = []
        for start in _even(beat.length, _HALF):
            inside = [part - start for part in self._parts[beat] if 0 < part - start < _HALF]
            step = _common_step([_HALF, *inside])
            found += [start + offset for offset in _even(_HALF, step)]
        return tuple(found)

    @cached_property
    def _kinds(self) -> dict[Beat, str]:
        return {beat: self._kind(parts) for beat, parts in self._parts.items()}

    def _kind(self, parts: list[Fraction]) -> str:
        if any(part.denominator % 5 == 0 for part in parts):
            return _OF_FIVE
        if not any(part.denominator % 3 == 0 for part in parts):
            return _DUPLE
        sixteenths = any(part.denominator % 3 and part.denominator > 2 for part in parts)
        return _MIXED if sixteenths or self.bar.meter.in_eighths else _TRIPLET

    @cached_property
    def _parts(self) -> dict[Beat, list[Fraction]]:
        """Offsets of the written notes of a beat and of their ends, where these fall inside it."""
        # The notes fill the bar: where one ends, the next one begins.
        edges = [note.onset for note in self.bar.notes]
        return {
            beat: [edge - beat.onset for edge in edges if beat.onset < edge < beat.end]
            for beat in self.bar.meter.beats
        }


def _even(length: Fraction, step: Fraction) -> Places:
    return tuple(number * step for number in range(int(length / step)))


def _common_step(parts: list[Fraction]) -> Fraction:
    """The greatest step that reaches all of ``parts``."""
    return Fraction(
        gcd(*(part.numerator for part in parts)), lcm(*(part.denominator for part in parts))
    )
