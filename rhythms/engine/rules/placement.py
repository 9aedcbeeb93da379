"""Placement: which surfaces some notes may go to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from rhythms.engine.errors import RuleError
from rhythms.engine.fills.fill import Stroke
from rhythms.engine.rules.base import Bound, Field, Opening, Rule
from rhythms.engine.rules.scope import EVERY_NOTE, SCOPE_FIELDS, Scope
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.surface_choice import SurfaceChoice


@dataclass(frozen=True)
class Placement(Rule):
    """Notes in ``scope`` go to ``surfaces``. Several placements on one note intersect.

    A note that both hands strike goes there with either of them, and "anywhere but" there with
    neither; a foot under the hands says nothing, unless ``surfaces`` names one of its own.
    """

    name: ClassVar[str] = "placement"
    title: ClassVar[str] = "Where notes go"
    purpose: ClassVar[str] = "where notes go"
    fields: ClassVar[tuple[Field, ...]] = (*SCOPE_FIELDS, Field("surfaces", "Go to", "surfaces"))

    surfaces: SurfaceChoice
    scope: Scope = EVERY_NOTE

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Placement:
        """Raises RuleError."""
        cls.check_keys(data)
        if "surfaces" not in data:
            raise RuleError("Choose at least one surface.", field="surfaces")
        return cls(SurfaceChoice.from_json(data["surfaces"]), Scope.from_json(data))

    def to_json(self) -> dict[str, Any]:
        """The JSON form."""
        return {"rule": self.name, **self.scope.to_json(), "surfaces": self.surfaces.to_json()}

    def sentence(self) -> str:
        """``Eighths go on the snare.``"""
        words = self.scope.words()
        return f"{words[0].upper()}{words[1:]} go {self.surfaces.words()}."

    def lacks(self, setting: Setting) -> str:
        """``this kit has no cowbell``."""
        return self.surfaces.lacks(setting.kit)

    def bind(self, setting: Setting) -> Bound:
        """Keep the strokes on the chosen surfaces; of the feet's notes it says nothing, unless it
        names one of theirs."""
        keep, feet = self.surfaces.kept(setting.kit), self.surfaces.feet(setting.kit)
        opened = Opening(feet, ways=self.surfaces.ways(setting.kit))
        scoped = self.scope.members(setting)

        def narrow(index: int, strokes: tuple[Stroke, ...]) -> tuple[Stroke, ...]:
            if not scoped[index] or (index in setting.by_feet and not feet):
                return strokes
            return keep(strokes)

        return Bound(narrow, lambda index: opened if scoped[index] else Opening())
