"""Break the path: no step-by-step walk along the toms."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.drum_kit import Kit
from rhythms.engine.kits.surfaces import FAMILIES, Surface
from rhythms.engine.rules.base import Choice, Field
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.watching import EveryNoteAlike, Watcher

ENDS, GOES_ON = "ends", "goes on"


@dataclass(frozen=True)
class BreakThePath(Watcher):
    """No walk of ``k`` or more strokes from each tom to its neighbour, down or up.

    ``repeats`` says what a stroke on the same tom does to a walk: "ends" it, so that only
    single strokes make a path, or "goes on", so that doubles down the toms are a path too.
    Where several surfaces are struck at once, no tom of theirs may be a step of such a walk.
    """

    name: ClassVar[str] = "break the path"
    title: ClassVar[str] = "Break the path along the toms"
    fields: ClassVar[tuple[Field, ...]] = (
        Field("k", "No walk of this many toms or more", "number", default="3", least=2),
        Field(
            "repeats",
            "A second stroke on a tom",
            "choice",
            (Choice(ENDS, "ends the walk"), Choice(GOES_ON, "goes on with it")),
            ENDS,
        ),
    )

    k: int
    repeats: str = ENDS

    def sentence(self) -> str:
        """``No walk of 3 or more toms in order, down or up.``"""
        ending = ", doubles or not" if self.repeats == GOES_ON else ""
        return f"No walk of {self.k} or more toms in order, down or up{ending}."

    def sentence_on(self, kit: Kit) -> str:
        """Nothing where the kit has too few toms for such a walk."""
        has_walk = sum(kit.has(tom) for tom in FAMILIES["toms"]) >= self.k
        return self.sentence() if has_walk else ""

    def automaton(self, setting: Setting) -> Walk:
        """The walk so far, along the toms of this kit."""
        toms = tuple(tom for tom in FAMILIES["toms"] if tom in setting.kit.surfaces)
        return Walk(toms, self.k, self.repeats == GOES_ON)


#: For each tom struck last, how many toms the walks down and up that come to it have.
Walks = tuple[tuple[int, int, int], ...]


@dataclass(frozen=True)
class Walk(EveryNoteAlike):
    """The state has the walks so far; it is empty where no tom was struck last."""

    toms: tuple[Surface, ...]
    k: int
    repeats_go_on: bool
    start: Walks = ()

    def sees(self, stroke: Stroke) -> tuple[int, ...]:
        """The places of the toms it is on."""
        return tuple(place for place, tom in enumerate(self.toms) if tom in stroke.drums)

    def step(self, state: Walks, index: int, stroke: Stroke) -> Walks | None:
        """A neighbouring tom in the same direction makes a walk longer."""
        down = {tom: length for tom, length, _ in state}
        up = {tom: length for tom, _, length in state}
        walks = tuple(
            (tom, self._longer(down, tom, tom - 1), self._longer(up, tom, tom + 1))
            for tom in self.sees(stroke)
        )
        return walks if all(max(lengths) < self.k for _, *lengths in walks) else None

    def _longer(self, lengths: dict[int, int], tom: int, neighbour: int) -> int:
        """The walk to ``tom``: from the neighbour, from itself where repeats go on, or anew."""
        stayed = lengths.get(tom, 1) if self.repeats_go_on else 1
        return max(stayed, lengths.get(neighbour, 0) + 1)
