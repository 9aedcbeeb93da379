"""What watchers share: a form read from their fields, and automata that treat every note alike."""

from __future__ import annotations

from abc import abstractmethod
from dataclasses import dataclass
from typing import Any, ClassVar, Self

from rhythms.engine.rules.base import Automaton, Bound, Field, Rule
from rhythms.engine.rules.json_reading import read_choice, read_number
from rhythms.engine.rules.setting import Setting


@dataclass(frozen=True)
class Watcher(Rule):
    """A rule over the sequence of strokes. Its fields, numbers and choices, are its JSON form.

    A choice left at its default is left out of the JSON form.
    """

    purpose: ClassVar[str] = "shape of the line"

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Self:
        """Raises RuleError."""
        cls.check_keys(data)
        return cls(**{field.name: _read(data, field) for field in cls.fields})

    def to_json(self) -> dict[str, Any]:
        """The JSON form."""
        given = {field.name: getattr(self, field.name) for field in self.fields}
        plain = {field.name: field.default for field in self.fields if field.kind == "choice"}
        kept = {key: value for key, value in given.items() if value != plain.get(key)}
        return {"rule": self.name, **kept}

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


def _read(data: dict[str, Any], field: Field) -> Any:
    if field.kind == "number":
        return read_number(data, field.name, field.least, field.most)
    return read_choice(data, field.name, [choice.value for choice in field.choices], field.default)
