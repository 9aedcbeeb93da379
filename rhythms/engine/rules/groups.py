"""Groups of three or five across the beat, marked by one surface."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.rules.base import Field
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.watching import EveryNoteAlike, Watcher

_NUMBERS = {3: "three", 4: "four", 5: "five", 6: "six", 7: "seven"}
_ORDINALS = {3: "third", 4: "fourth", 5: "fifth", 6: "sixth", 7: "seventh"}
#: How many strokes of the group are past, and the surface that marks its first one.
Place = tuple[int, Surface | None]


@dataclass(frozen=True)
class Groups(Watcher):
    """Every ``n``-th stroke of the hands, from the first on, is on one surface; no other is."""

    name: ClassVar[str] = "groups"
    title: ClassVar[str] = "Groups across the beat"
    fields: ClassVar[tuple[Field, ...]] = (
        Field(
            "n",
            "Strokes in a group",
            "number",
            default="3",
            least=min(_NUMBERS),
            most=max(_NUMBERS),
            help="One surface begins each group and is struck nowhere else.",
        ),
    )

    n: int

    def sentence(self) -> str:
        """``Groups of three: one surface has every third stroke, and no other.``"""
        return (
            f"Groups of {_NUMBERS[self.n]}: one surface has every {_ORDINALS[self.n]} stroke, "
            "from the first on, and no other."
        )

    def automaton(self, setting: Setting) -> Grouping:
        """The place in the group, and what marks it."""
        return Grouping(self.n)


@dataclass(frozen=True)
class Grouping(EveryNoteAlike):
    """Feet do not count."""

    n: int
    start: Place = (0, None)

    def sees(self, stroke: Stroke) -> Surface | None:
        """The surface, of a hand."""
        return None if stroke.by_foot else stroke.drum

    def step(self, state: Place, index: int, stroke: Stroke) -> Place | None:
        """The first stroke of a group is on the surface that marks groups, the others are not."""
        place, mark = state
        if stroke.by_foot:
            return state
        if mark is None:
            return 1 % self.n, stroke.drum
        if (stroke.drum is mark) != (place == 0):
            return None
        return (place + 1) % self.n, mark
