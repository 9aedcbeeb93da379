"""Break the path: no step-by-step walk along the toms."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.fills.fill import Stroke
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

    def automaton(self, setting: Setting) -> Walk:
        """The walk so far, along the toms of this kit."""
        toms = tuple(tom for tom in FAMILIES["toms"] if tom in setting.kit.surfaces)
        return Walk(toms, self.k, self.repeats == GOES_ON)


@dataclass(frozen=True)
class Walk(EveryNoteAlike):
    """The state is the tom struck last, the walk's direction (0 at its start) and its length."""

    toms: tuple[Surface, ...]
    k: int
    repeats_go_on: bool
    start: tuple[int, int, int] | str = "elsewhere"

    def sees(self, stroke: Stroke) -> Surface | None:
        """The tom it is on."""
        return stroke.surface if stroke.surface in self.toms else None

    def step(
        self, state: tuple[int, int, int] | str, index: int, stroke: Stroke
    ) -> tuple[int, int, int] | str | None:
        """A neighbouring tom in the same direction makes the walk longer."""
        if stroke.surface not in self.toms:
            return "elsewhere"
        at = self.toms.index(stroke.surface)
        if isinstance(state, str):
            return at, 0, 1
        before, direction, length = state
        step = at - before
        if step == 0:
            return state if self.repeats_go_on else (at, 0, 1)
        if abs(step) > 1:
            return at, 0, 1
        length = length + 1 if step == direction else 2
        return (at, step, length) if length < self.k else None
