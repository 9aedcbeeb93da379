"""A foot under the hands: the bass drum under every crash, for one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, ClassVar

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.kits.surfaces import FEET, Surface
from rhythms.engine.rules.base import Bound, Choice, Field, Opening, Rule, Under
from rhythms.engine.rules.json_reading import read_choice
from rhythms.engine.rules.one_limb import left_to_one_limb
from rhythms.engine.rules.scope import EVERY_NOTE, SCOPE_FIELDS, Scope
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.surface_choice import SurfaceChoice

ALWAYS, MAYBE = "always", "maybe"
_WHEN = (Choice(ALWAYS, "goes there each time"), Choice(MAYBE, "may go there"))
#: Common practice: a crash has the bass drum under it.
_CRASH = SurfaceChoice((str(Surface.CRASH),))


@dataclass(frozen=True)
class FootUnder(Rule):
    """A hand that strikes one of ``surfaces`` on a note in ``scope`` has ``foot`` under it; with
    ``when`` "maybe" it may have it.

    One of two hands at once is enough. Notes of the feet alone have nothing for it to go under, and
    the hi-hat foot never goes under an open or half-open hi-hat, which it would close.
    """

    name: ClassVar[str] = "foot under"
    title: ClassVar[str] = "A foot under the hands"
    purpose: ClassVar[str] = "feet"
    fields: ClassVar[tuple[Field, ...]] = (
        *SCOPE_FIELDS,
        Field(
            "foot",
            "The foot",
            "choice",
            tuple(Choice(str(surface), f"on the {surface}") for surface in FEET),
            str(Surface.BASS_DRUM),
        ),
        Field("surfaces", "Under strokes", "hand surfaces", default=str(Surface.CRASH)),
        Field("when", "It", "choice", _WHEN, ALWAYS),
    )

    foot: str = str(Surface.BASS_DRUM)
    surfaces: SurfaceChoice = _CRASH
    when: str = ALWAYS
    scope: Scope = EVERY_NOTE

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> FootUnder:
        """Raises RuleError."""
        cls.check_keys(data)
        return cls(
            read_choice(data, "foot", tuple(map(str, FEET)), str(Surface.BASS_DRUM)),
            SurfaceChoice.of_one_hand({"surfaces": _CRASH.to_json()} | data, "surfaces"),
            read_choice(data, "when", (ALWAYS, MAYBE), ALWAYS),
            Scope.from_json(data),
        )

    def to_json(self) -> dict[str, Any]:
        """The JSON form."""
        return {
            "rule": self.name,
            **self.scope.to_json(),
            "foot": self.foot,
            "surfaces": self.surfaces.to_json(),
            **({} if self.when == ALWAYS else {"when": self.when}),
        }

    def sentence(self) -> str:
        """``The bass drum goes under every stroke on the crash.``"""
        the = "The" if self.scope.everywhere else f"On {self.scope.words()}, the"
        goes = "goes under every stroke" if self.when == ALWAYS else "may go under strokes"
        return f"{the} {self.foot} {goes} {self.surfaces.words()}."

    def lacks(self, setting: Setting) -> str:
        """``this kit has no bass drum``."""
        has = self.when == MAYBE or Surface(self.foot) in setting.kit.surfaces
        return "" if has else f"this kit has no {self.foot}"

    def idle_beside(self, rules: Iterable[Rule]) -> str:
        """Notes that another rule leaves to one limb."""
        return left_to_one_limb(self.scope, rules)

    def bind(self, setting: Setting) -> Bound:
        """Open the foot under the hands, and ask for it where it always goes."""
        foot, on = Surface(self.foot), self.surfaces.on(setting.kit)
        scoped = self.scope.members(setting)
        opened = Opening(under=(Under(foot, on),))

        def opens(index: int) -> Opening:
            return opened if scoped[index] else Opening()

        def has_foot(stroke: Stroke) -> bool:
            return on.isdisjoint(stroke.hand_surfaces) or foot in stroke.surfaces

        def narrow(index: int, strokes: tuple[Stroke, ...]) -> tuple[Stroke, ...]:
            return tuple(filter(has_foot, strokes)) if scoped[index] else strokes

        return Bound(narrow, opens) if self.when == ALWAYS else Bound(opens=opens)
