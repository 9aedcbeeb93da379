"""What watchers share, and automata that treat every note alike."""

from __future__ import annotations

from abc import abstractmethod
from dataclasses import dataclass
from typing import Any, ClassVar

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.rules.base import Automaton, Bound
from rhythms.engine.rules.own_fields import OwnFields
from rhythms.engine.rules.setting import Setting


@dataclass(frozen=True)
class Watcher(OwnFields):
    """A rule over the sequence of strokes."""

    purpose: ClassVar[str] = "shape of the line"

    @abstractmethod
    def automaton(self, setting: Setting) -> Automaton:
        """The rule as an automaton on this bar and kit."""

    def bind(self, setting: Setting) -> Bound:
        """Watch; every stroke stays open."""
        return Bound(automaton=self.automaton(setting))


@dataclass(frozen=True)
class EveryNoteAlike:
    """An automaton whose steps do not depend on the note, and that may end in any state."""

    every_note_alike: ClassVar[bool] = True

    def kind(self, index: int) -> bool:
        """One kind for all notes."""
        return True

    def accepts(self, state: Any) -> bool:
        """Any state may be the last."""
        return True


@dataclass(frozen=True)
class Never(EveryNoteAlike):
    """Nothing may stand, not even a bar without strokes."""

    start: str = "never"

    def sees(self, stroke: Stroke) -> None:
        """All strokes are alike."""

    def step(self, state: str, index: int, stroke: Stroke) -> None:
        """None may stand."""

    def accepts(self, state: object) -> bool:
        """No end is good."""
        return False
