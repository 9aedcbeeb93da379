"""Rules whose JSON form is their own fields: numbers, choices and texts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Self

from rhythms.engine.rules.base import Field, Rule
from rhythms.engine.rules.json_reading import read_choice, read_number, read_text


@dataclass(frozen=True)
class OwnFields(Rule):
    """A choice or text left at its default is left out of the JSON form."""

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Self:
        """Raises RuleError."""
        cls.check_keys(data)
        return cls(**{field.name: _read(data, field) for field in cls.fields})

    def to_json(self) -> dict[str, Any]:
        """The JSON form."""
        given = {field.name: getattr(self, field.name) for field in self.fields}
        plain = {field.name: field.default for field in self.fields if field.kind != "number"}
        kept = {key: value for key, value in given.items() if value != plain.get(key)}
        return {"rule": self.name, **kept}


def _read(data: dict[str, Any], field: Field) -> Any:
    if field.kind == "number":
        return read_number(data, field.name, field.least, field.most)
    if field.kind == "text":
        return read_text(data, field.name, field.default)
    return read_choice(data, field.name, [choice.value for choice in field.choices], field.default)
