"""A bar on a kit: what rules are bound to."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import gcd, lcm
from typing import NamedTuple

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.count_line import count_names
from rhythms.engine.bars.meter import Beat
from rhythms.engine.fills.fill import other_hand
from rhythms.engine.kits.drum_kit import Kit


class Slot(NamedTuple):
    """Where a note stands on the bar's grid: counted through the bar, and within its beat."""

    in_bar: int
    in_beat: int


@dataclass(frozen=True)
class Setting:
    """The bar as played and the kit, with the positions that rules ask for.

    ``rested`` holds the sounded notes that the bar as written has as rests.
    """

    bar: Bar
    kit: Kit
    rested: frozenset[int] = frozenset()

    @cached_property
    def counts(self) -> tuple[str, ...]:
        """Each sounded note as it is counted: ``2 &``; "" where a beat cannot be counted."""
        return count_names(tuple(note.onset for note in self.bar.sounded), self.bar.meter)

    @cached_property
    def beats(self) -> tuple[Beat, ...]:
        """The beat of each sounded note."""
        return tuple(self.bar.meter.beat_at(note.onset) for note in self.bar.sounded)

    @cached_property
    def slots(self) -> tuple[Slot, ...]:
        """The grid slot of each sounded note.

        The grid is the coarsest that holds every note of the bar: one step for all duple
        beats, one for all triplet beats, each step a whole part of a quarter (or eighth).
        """
        steps = {beat: self._step(beat) for beat in self.bar.meter.beats}
        before, total = {}, 0
        for beat in self.bar.meter.beats:
            before[beat] = total
            total += int(beat.length / steps[beat])
        return tuple(
            Slot(before[beat] + within, within)
            for note, beat in zip(self.bar.sounded, self.beats, strict=True)
            for within in [int((note.onset - beat.onset) / steps[beat])]
        )

    @cached_property
    def grid_hands(self) -> tuple[str, ...]:
        """The hand of each sounded note, hand to hand by the grid from the leading hand.

        Each beat begins with the leading hand, so that it is on the numbers and, where there are
        16ths, on each "&"; beats of three, or of another odd number of slots, alternate as long as
        they follow each other. Common practice.
        """
        lead, weak = self.kit.leading_hand, other_hand(self.kit.leading_hand)
        begins, parity = {}, 0
        for beat in self.bar.meter.beats:
            slots = int(beat.length / self._step(beat))
            parity = parity if slots % 2 else 0
            begins[beat] = parity
            parity += slots
        return tuple(
            weak if (begins[beat] + slot.in_beat) % 2 else lead
            for beat, slot in zip(self.beats, self.slots, strict=True)
        )

    def _step(self, beat: Beat) -> Fraction:
        triplet = beat in self._triplet_beats
        same = [
            other for other in self.bar.meter.beats if (other in self._triplet_beats) == triplet
        ]
        unit = Fraction(4, self.bar.meter.unit)
        return _common_step([unit] + [part for other in same for part in self._parts(other)])

    @cached_property
    def _triplet_beats(self) -> frozenset[Beat]:
        return frozenset(
            beat
            for beat in self.bar.meter.beats
            if any(part.denominator % 3 == 0 for part in self._parts(beat))
        )

    def _parts(self, beat: Beat) -> list[Fraction]:
        """Offsets of the written notes of a beat and of their ends, where these fall inside it."""
        edges = {note.onset for note in self.bar.notes} | {note.end for note in self.bar.notes}
        return [edge - beat.onset for edge in edges if beat.onset < edge < beat.end]


def _common_step(parts: list[Fraction]) -> Fraction:
    """The greatest step that reaches all of ``parts``."""
    return Fraction(
        gcd(*(part.numerator for part in parts)), lcm(*(part.denominator for part in parts))
    )
