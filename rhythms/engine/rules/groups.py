"""Groups of three or five across the beat, marked by one surface."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from typing import Any, ClassVar

from rhythms.engine.errors import RuleError
from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.rules.base import Field
from rhythms.engine.rules.json_reading import read_text
from rhythms.engine.rules.scope import listed
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.watching import EveryNoteAlike, Watcher

_NUMBERS = {3: "three", 4: "four", 5: "five", 6: "six", 7: "seven"}
_ORDINALS = {3: "third", 4: "fourth", 5: "fifth", 6: "sixth", 7: "seventh"}
_BETWEEN = re.compile(r"[\s,+–-]+")
_PATTERN = re.compile(r"[1-9](-[1-9]){1,7}")
#: How many strokes of the row of groups are past, and the surfaces that may mark their first ones.
Place = tuple[int, frozenset[Surface] | None]


@dataclass(frozen=True)
class Groups(Watcher):
    """One surface begins each group of the hands' strokes, from the first on, and is no other's.

    Groups have ``n`` strokes, or as many as ``pattern`` says: ``3-3-2``, over and over. Both hands
    at once are one stroke, and on the surfaces of both. Feet do not count.
    """

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
        Field(
            "pattern",
            "Or groups of several lengths",
            "text",
            help="Such as 3-3-2, over and over.",
            optional=True,
        ),
    )

    n: int
    pattern: str = ""

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Groups:
        """``3 3 2`` and ``3+3+2`` are read as ``3-3-2``. Raises RuleError."""
        typed = read_text(data, "pattern")
        pattern = {"pattern": _BETWEEN.sub("-", typed)} if typed else {}
        return super().from_json({**data, **pattern})

    def __post_init__(self) -> None:
        if self.pattern and not _PATTERN.fullmatch(self.pattern):
            raise RuleError(
                f"“{self.pattern}” is not a row of groups: write their lengths, from 1 to 9, with "
                "hyphens between them, such as 3-3-2.",
                field="pattern",
            )

    @property
    def lengths(self) -> tuple[int, ...]:
        """How many strokes each group of the row has."""
        return tuple(map(int, self.pattern.split("-"))) if self.pattern else (self.n,)

    def sentence(self) -> str:
        """``Groups of three: one surface has every third stroke, and no other.``"""
        if self.pattern:
            lengths = listed(tuple(map(str, self.lengths)))
            return (
                f"Groups of {lengths}: one surface begins each of them, and is struck nowhere else."
            )
        return (
            f"Groups of {_NUMBERS[self.n]}: one surface has every {_ORDINALS[self.n]} stroke, "
            "from the first on, and no other."
        )

    def automaton(self, setting: Setting) -> Grouping:
        """The place in the group, and what marks it."""
        return Grouping(self.lengths)


@dataclass(frozen=True)
class Grouping(EveryNoteAlike):
    """Of the surfaces of the first stroke those are kept that begin each group and nothing else."""

    lengths: tuple[int, ...]
    start: Place = (0, None)

    def sees(self, stroke: Stroke) -> frozenset[Surface]:
        """The surfaces of the hands."""
        return frozenset(stroke.hand_drums)

    def step(self, state: Place, index: int, stroke: Stroke) -> Place | None:
        """The first stroke of a group is on the surface that marks groups, the others are not."""
        place, marks = state
        struck = self.sees(stroke)
        if not struck:
            return state
        begins = place in self._first
        left = struck if marks is None else marks & struck if begins else marks - struck
        return ((place + 1) % sum(self.lengths), left) if left else None

    @cached_property
    def _first(self) -> frozenset[int]:
        """The strokes of the row that begin a group."""
        return frozenset(accumulate((0, *self.lengths[:-1])))
