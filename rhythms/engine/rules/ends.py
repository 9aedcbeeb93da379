"""What "start on" and "end on" share: one stroke, the first or the last, has its surfaces."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar, Self

from rhythms.engine.errors import RuleError
from rhythms.engine.fills.fill import Stroke
from rhythms.engine.rules.base import Bound, Field, Opening, Rule
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.surface_choice import SurfaceChoice


@dataclass(frozen=True)
class End(Rule):
    """The stroke at one end of the fill goes to ``surfaces``; by both hands as `Placement` says."""

    purpose: ClassVar[str] = "where notes go"
    fields: ClassVar[tuple[Field, ...]] = (Field("surfaces", "On", "surfaces"),)
    verb: ClassVar[str]
    last: ClassVar[bool]

    surfaces: SurfaceChoice

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Self:
        """Raises RuleError."""
        cls.check_keys(data)
        if "surfaces" not in data:
            raise RuleError("Choose at least one surface.", field="surfaces")
        return cls(SurfaceChoice.from_json(data["surfaces"]))

    def to_json(self) -> dict[str, Any]:
        """The JSON form."""
        return {"rule": self.name, "surfaces": self.surfaces.to_json()}

    def sentence(self) -> str:
        """``The fill starts on the floor tom.``"""
        return f"The fill {self.verb}s {self.surfaces.words()}."

    def lacks(self, setting: Setting) -> str:
        """``this kit has no cowbell``."""
        return self.surfaces.lacks(setting.kit)

    def bind(self, setting: Setting) -> Bound:
        """Keep the strokes on the chosen surfaces, on one note."""
        keep, feet = self.surfaces.kept(setting.kit), self.surfaces.feet(setting.kit)
        opened = Opening(feet, ways=self.surfaces.ways(setting.kit))
        place = len(setting.bar.sounded) - 1 if self.last else 0

        def narrow(index: int, strokes: tuple[Stroke, ...]) -> tuple[Stroke, ...]:
            return keep(strokes) if index == place else strokes

        return Bound(narrow, lambda index: opened if index == place else Opening())
