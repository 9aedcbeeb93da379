"""Dynamics: accents and ghost notes, on all of some notes or on a number of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from rhythms.engine.fills.fill import Stroke
from rhythms.engine.rules.base import Bound, Choice, Field, Opening, Rule
from rhythms.engine.rules.counting_off import HOW_MANY, CountOff, too_few
from rhythms.engine.rules.json_reading import read_choice, read_number
from rhythms.engine.rules.marked_strokes import InDynamic
from rhythms.engine.rules.scope import EVERY_NOTE, SCOPE_FIELDS, Scope
from rhythms.engine.rules.setting import Setting

_DYNAMICS = (Choice("accent", "accented"), Choice("ghost", "ghosted"))
_NOUNS = {"accent": "accent", "ghost": "ghost note"}


@dataclass(frozen=True)
class Dynamics(Rule):
    """Notes in ``scope`` are accented or ghosted; with ``n``, exactly ``n`` of them, anywhere.

    Two hands at once have one dynamic; a foot under the hands has none.
    """

    name: ClassVar[str] = "dynamics"
    title: ClassVar[str] = "Accents and ghost notes"
    purpose: ClassVar[str] = "touch"
    fields: ClassVar[tuple[Field, ...]] = (
        *SCOPE_FIELDS,
        Field("dynamic", "These notes are", "choice", _DYNAMICS, "accent"),
        HOW_MANY,
    )

    dynamic: str
    scope: Scope = EVERY_NOTE
    n: int | None = None

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Dynamics:
        """Raises RuleError."""
        cls.check_keys(data)
        return cls(
            read_choice(data, "dynamic", ("accent", "ghost")),
            Scope.from_json(data),
            None if data.get("n") is None else read_number(data, "n", 0, 64),
        )

    def to_json(self) -> dict[str, Any]:
        """The JSON form."""
        number = {} if self.n is None else {"n": self.n}
        return {"rule": self.name, **self.scope.to_json(), "dynamic": self.dynamic, **number}

    def sentence(self) -> str:
        """``16ths off the beat are ghosted.``; ``Exactly 3 accents among the 16ths.``"""
        words = self.scope.words()
        if self.n is None:
            label = dict(_DYNAMICS)[self.dynamic]
            return f"{words[0].upper()}{words[1:]} are {label}."
        among = words if self.scope.everywhere else f"the {words}"
        plural = "" if self.n == 1 else "s"
        return f"Exactly {self.n} {_NOUNS[self.dynamic]}{plural} among {among}."

    def lacks(self, setting: Setting) -> str:
        """Notes enough for the number asked for."""
        return too_few(self.scope.members(setting), self.n, self.scope.everywhere)

    def bind(self, setting: Setting) -> Bound:
        """Open the dynamic on the scoped notes, and ask for it."""
        scoped = self.scope.members(setting)
        mark = InDynamic(self.dynamic)
        opened = (self.dynamic,) if self.n is None else ("normal", self.dynamic)

        def opens(index: int) -> Opening:
            return Opening(dynamics=opened if scoped[index] else ())

        if self.n is not None:
            return Bound(opens=opens, automaton=CountOff(scoped, self.n, mark))

        def narrow(index: int, strokes: tuple[Stroke, ...]) -> tuple[Stroke, ...]:
            if not scoped[index]:
                return strokes
            return tuple(stroke for stroke in strokes if mark(stroke))

        return Bound(narrow, opens)
