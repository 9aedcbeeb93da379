"""The second half answers the first: it begins again as the first did, and goes elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import ClassVar, NamedTuple

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.surfaces import Surface
from rhythms.engine.rules.base import Choice, Field
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.watching import Watcher

_KEEPS = (
    Choice("surfaces", "same surfaces, another end"),
    Choice("moves", "same moves, from elsewhere"),
)
#: So many strokes of the first half are said again: what is remembered multiplies what is counted.
SAID_AGAIN = 3


#: What one stroke is on, in order.
Surfaces = tuple[Surface, ...]


class Role(NamedTuple):
    """What a note is in the answer: ``kind`` and, of those said again, which one."""

    kind: str = "other"
    place: int = 0


@dataclass(frozen=True)
class Answer(Watcher):
    """The second half of the fill says the first one's beginning again.

    Notes answer each other that stand at the same place of their halves. ``keeps`` "surfaces":
    the first SAID_AGAIN of them, without the last of the half, are struck on the same surface
    again, and the halves end on different ones. "moves": between the first SAID_AGAIN + 1 of
    them a stay is answered by a stay and a move by a move, and the halves begin on different
    surfaces. Of what is struck at once all surfaces count together.
    """

    name: ClassVar[str] = "answer"
    title: ClassVar[str] = "The second half answers the first"
    fields: ClassVar[tuple[Field, ...]] = (
        Field("keeps", "The second half", "choice", _KEEPS, "surfaces"),
    )

    keeps: str = "surfaces"

    def sentence(self) -> str:
        """``The second half begins on the same surfaces as the first, and ends elsewhere.``"""
        if self.keeps == "surfaces":
            return "The second half begins on the same surfaces as the first, and ends elsewhere."
        return "The second half stays and moves as the first did, from another surface on."

    def lacks(self, setting: Setting) -> str:
        """Why the bar has no halves that could answer each other."""
        beats = len(setting.bar.meter.beats) - len(setting.bar.lead_in)
        if beats % 2:
            return f"a fill of {beats} beat{'s' if beats > 1 else ''} has no halves"
        if len(_pairs(setting)) < 2:
            return "the halves of this bar have too few notes at the same places"
        return ""

    def automaton(self, setting: Setting) -> SameSurfaces | SameMoves:
        """What of the first half is to be said again."""
        if self.lacks(setting):
            return SameSurfaces((), impossible=True)
        pairs = _pairs(setting)
        roles = [Role() for _ in setting.bar.sounded]
        said = pairs[: SAID_AGAIN + 1] if self.keeps == "moves" else pairs[:-1][:SAID_AGAIN]
        for place, (first, second) in enumerate(said):
            roles[first], roles[second] = Role("said", place), Role("again", place)
        if self.keeps == "moves":
            return SameMoves(tuple(roles), len(said))
        first, second = pairs[-1]
        roles[first], roles[second] = Role("end"), Role("other end")
        return SameSurfaces(tuple(roles))


def _pairs(setting: Setting) -> list[tuple[int, int]]:
    """The notes of both halves that stand at the same place, in order."""
    bar = setting.bar
    start = bar.lead_in[-1].end if bar.lead_in else Fraction(0)
    half = (bar.meter.length - start) / 2
    places = {note.onset: note.index for note in bar.sounded}
    return [
        (index, places[onset + half])
        for onset, index in places.items()
        if onset < start + half and onset + half in places
    ]


class _ByRole:
    """Notes of the same role step alike."""

    roles: tuple[Role, ...]

    def kind(self, index: int) -> Role:
        """Its role."""
        return self.roles[index] if self.roles else Role()

    def sees(self, stroke: Stroke) -> Surfaces:
        """Its surfaces."""
        return stroke.drums


@dataclass(frozen=True)
class SameSurfaces(_ByRole):
    """The state has the surfaces said so far, and that on which the first half ended."""

    every_note_alike: ClassVar[bool] = False
    roles: tuple[Role, ...]
    impossible: bool = False
    start: tuple[tuple[Surfaces, ...], Surfaces | None] = ((), None)

    def step(
        self, state: tuple[tuple[Surfaces, ...], Surfaces | None], index: int, stroke: Stroke
    ) -> tuple[tuple[Surfaces, ...], Surfaces | None] | None:
        """Remember the first half; hold the second one against it."""
        said, end = state
        kind, place = self.kind(index)
        if kind == "said":
            return ((*said, stroke.drums), end) if len(said) == place else None
        if kind == "again":
            return (said[1:], end) if said[:1] == (stroke.drums,) else None
        if kind == "end":
            return (said, stroke.drums) if end is None else None
        return None if kind == "other end" and end in (None, stroke.drums) else state

    def accepts(self, state: object) -> bool:
        """Any state, where the bar has halves."""
        return not self.impossible


class Said(NamedTuple):
    """The first half's first surfaces and its stays; of the half under way, the last surfaces."""

    first: Surfaces | None = None
    stays: tuple[bool, ...] = ()
    last: Surfaces | None = None
    again: int = 0


_NOTHING = Said()


@dataclass(frozen=True)
class SameMoves(_ByRole):
    """``length`` notes of each half are held against each other, stay by stay."""

    every_note_alike: ClassVar[bool] = False
    roles: tuple[Role, ...]
    length: int
    start: Said = _NOTHING

    def step(self, state: Said, index: int, stroke: Stroke) -> Said | None:
        """Remember the first half's stays; hold the second one against them."""
        kind, place = self.kind(index)
        if kind == "said":
            return self._said(state, place, stroke.drums)
        return self._again(state, place, stroke.drums) if kind == "again" else state

    def _said(self, state: Said, place: int, surfaces: Surfaces) -> Said | None:
        if place == 0:
            return Said(surfaces, (), surfaces) if state.first is None else None
        if state.first is None or len(state.stays) != place - 1:
            return None
        return state._replace(stays=(*state.stays, surfaces == state.last), last=surfaces)

    def _again(self, state: Said, place: int, surfaces: Surfaces) -> Said | None:
        if len(state.stays) != self.length - 1 or state.again != place:
            return None
        if place == 0:
            if surfaces == state.first:
                return None
        elif (surfaces == state.last) != state.stays[place - 1]:
            return None
        done = place + 1 == self.length
        return _NOTHING if done else state._replace(last=surfaces, again=place + 1)

    def accepts(self, state: object) -> bool:
        """Any state."""
        return True
