"""A bar on a kit: what rules are bound to."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from rhythms.engine.bars.bar import Bar
from rhythms.engine.bars.grid_slots import BarGrid, Slot
from rhythms.engine.bars.meter import Beat
from rhythms.engine.bars.spoken_counts import count_names
from rhythms.engine.fills.hands import grid_hands
from rhythms.engine.kits.drum_kit import Kit


@dataclass(frozen=True)
class Setting:
    """The bar as played and the kit, with the positions that rules ask for.

    ``rested`` holds the sounded notes that the bar as written has as rests, ``by_feet`` those that
    a rule gives to the feet; ``unwritten`` the rules whose rhythm cannot be written.
    """

    bar: Bar
    kit: Kit
    rested: frozenset[int] = frozenset()
    by_feet: frozenset[int] = frozenset()
    unwritten: frozenset[object] = frozenset()

    @cached_property
    def counts(self) -> tuple[str, ...]:
        """Each sounded note as it is counted: ``2 &``; "" where a beat cannot be counted."""
        return count_names(tuple(note.onset for note in self.bar.sounded), self.bar.meter)

    @cached_property
    def _grid(self) -> BarGrid:
        return BarGrid(self.bar)

    @property
    def beats(self) -> tuple[Beat, ...]:
        """The beat of each sounded note."""
        return self._grid.beats

    @property
    def slots(self) -> tuple[Slot, ...]:
        """The grid slot of each sounded note."""
        return self._grid.slots

    @cached_property
    def grid_hands(self) -> tuple[str, ...]:
        """The hand of each sounded note, hand to hand by the grid from the leading hand."""
        return grid_hands(self.bar, self.kit)
