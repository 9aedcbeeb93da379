"""Sticking: a rudiment's hands laid over some notes, and what the other notes do."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, ClassVar

from rhythms.engine.fills.fill import HANDS, Stroke, other_hand
from rhythms.engine.rudiments.letters import Letter
from rhythms.engine.rudiments.overlays import GROUPS, STICKINGS, cycle, in_words
from rhythms.engine.rules.base import Bound, Choice, Field, Opening, Rule
from rhythms.engine.rules.json_reading import read_choice
from rhythms.engine.rules.marked_strokes import InDynamic
from rhythms.engine.rules.scope import EVERY_NOTE, SCOPE_FIELDS, Scope
from rhythms.engine.rules.setting import Setting

_FOLLOW = (Choice("notes", "note by note"), Choice("grid", "by their place on the grid"))
_RESTART = (Choice("never", "run through the bar"), Choice("beat", "start again on each beat"))
_OTHERS = (
    Choice("alternate", "alternate from the stroke before"),
    Choice("grid", "go hand to hand by the grid"),
    Choice("free", "stay free"),
)
_BAR, _RUDIMENT = "bar", "rudiment"
_ACCENTS = (Choice(_RUDIMENT, "those of the rudiment too"), Choice(_BAR, "those of the bar"))
_BOTH = "both hands"
_ACCENTED = InDynamic("accent")
_HAND_NAMES = {"R": "right", "L": "left"}


@dataclass(frozen=True)
class Sticking(Rule):
    """The letters of a rudiment on the notes in ``scope``, with its ornaments.

    ``follow`` "notes": the k-th scoped note takes the k-th letter; "grid": the note in grid
    slot s takes letter s. ``restart`` "beat" counts k or s from each beat. ``others``:
    "alternate" takes the hand opposite to the stroke before (the first one the lead), "grid"
    the hand of its slot (lead on even slots), "free" leaves both hands open. ``accents``
    "rudiment": letters that the rudiment accents are accented besides what the bar accents.
    A letter with an ornament asks for it; the others, and feet, are left alone by that.

    A note that both hands strike has the hand of any letter, but no ornament, and alternates with
    any stroke before it; after it either hand alternates. A foot under a hand changes nothing.
    """

    name: ClassVar[str] = "sticking"
    title: ClassVar[str] = "Which hand plays"
    purpose: ClassVar[str] = "which hand plays"
    fields: ClassVar[tuple[Field, ...]] = (
        *SCOPE_FIELDS,
        Field(
            "rudiment",
            "Sticking",
            "choice",
            tuple(Choice(name, name) for names in GROUPS.values() for name in names),
            "single paradiddle",
            groups=tuple(group for group, names in GROUPS.items() for _ in names),
        ),
        Field("lead", "Lead", "choice", (Choice("R", "right hand"), Choice("L", "left hand")), "R"),
        Field("follow", "Letters go", "choice", _FOLLOW, "notes"),
        Field("restart", "They", "choice", _RESTART, "never"),
        Field("others", "Other notes", "choice", _OTHERS, "alternate"),
        Field("accents", "Accents", "choice", _ACCENTS, _RUDIMENT, unsaid=_BAR),
    )

    rudiment: str
    scope: Scope = EVERY_NOTE
    lead: str = "R"
    follow: str = "notes"
    restart: str = "never"
    others: str = "alternate"
    accents: str = _BAR

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Sticking:
        """Raises RuleError."""
        cls.check_keys(data)
        return cls(
            read_choice(data, "rudiment", tuple(STICKINGS)),
            Scope.from_json(data),
            read_choice(data, "lead", HANDS, "R"),
            read_choice(data, "follow", _values(_FOLLOW), "notes"),
            read_choice(data, "restart", _values(_RESTART), "never"),
            read_choice(data, "others", _values(_OTHERS), "alternate"),
            read_choice(data, "accents", _values(_ACCENTS), _BAR),
        )

    def to_json(self) -> dict[str, Any]:
        """The JSON form."""
        return {
            "rule": self.name,
            **self.scope.to_json(),
            "rudiment": self.rudiment,
            "lead": self.lead,
            "follow": self.follow,
            "restart": self.restart,
            "others": self.others,
            **({} if self.accents == _BAR else {"accents": self.accents}),
        }

    def sentence(self) -> str:
        """``A single paradiddle on the 16ths, right hand first; the other notes alternate …``"""
        where = "all notes" if self.scope.everywhere else f"the {self.scope.words()}"
        parts = [f"{in_words(self.rudiment)} on {where}, {_HAND_NAMES[self.lead]} hand first"]
        if self.follow == "grid":
            parts.append(_label(_FOLLOW, "grid"))
        if self.restart == "beat":
            parts.append("starting again on each beat")
        if self.accents == _RUDIMENT and any(letter.accent for letter in STICKINGS[self.rudiment]):
            parts.append("with its accents")
        sentence = ", ".join(parts)
        if not self.scope.everywhere:
            sentence += f"; the other notes {_label(_OTHERS, self.others)}"
        return f"{sentence}."

    @property
    def speaks_of_hands(self) -> bool:
        """A sticking fixes hands, or leaves them open and counted."""
        return True

    def mirrored(self) -> Sticking:
        """The other hand leads."""
        return replace(self, lead=other_hand(self.lead))

    def bind(self, setting: Setting) -> Bound:
        """Keep the hand, ornament and accent that the letters ask for; feet have no letter."""
        letters = self._letters(setting)
        hands = self._hands(setting, letters)

        def narrow(index: int, strokes: tuple[Stroke, ...]) -> tuple[Stroke, ...]:
            return tuple(
                stroke
                for stroke in strokes
                if stroke.by_foot
                or (
                    (hands[index] in (None, stroke.limb) or stroke.both_hands)
                    and _agrees(stroke, letters[index])
                )
            )

        def opens(index: int) -> Opening:
            letter = letters[index]
            return Opening(
                dynamics=("accent",) if letter and letter.accent else (),
                ornaments=(letter.ornament,) if letter and letter.ornament else (),
            )

        scoped = self.scope.members(setting)
        if self.others != "alternate" or all(scoped):
            return Bound(narrow, opens)
        return Bound(narrow, opens, Alternation(self.lead, scoped))

    def _hands(
        self, setting: Setting, letters: tuple[Letter | None, ...]
    ) -> tuple[str | None, ...]:
        """The hand each note must have, or None where the letters do not say."""
        return tuple(
            self._other(slot.in_bar) if letter is None else letter.hand
            for letter, slot in zip(letters, setting.slots, strict=True)
        )

    def _letters(self, setting: Setting) -> tuple[Letter | None, ...]:
        """The letter that each note takes; None outside the scope."""
        letters = cycle(self.rudiment, self.lead)
        if self.accents != _RUDIMENT:
            letters = tuple(letter._replace(accent=False) for letter in letters)
        return tuple(
            None if place is None else letters[place % len(letters)]
            for place in self._places(setting)
        )

    def _places(self, setting: Setting) -> tuple[int | None, ...]:
        """How many letters come before that of each note; None outside the scope."""
        count, beat = 0, None
        places: list[int | None] = []
        for scoped, slot, at in zip(
            self.scope.members(setting), setting.slots, setting.beats, strict=True
        ):
            if self.restart == "beat" and at != beat:
                count, beat = 0, at
            if not scoped:
                places.append(None)
                continue
            place = count
            if self.follow == "grid":
                place = slot.in_beat if self.restart == "beat" else slot.in_bar
            places.append(place)
            count += 1
        return tuple(places)

    def _other(self, slot: int) -> str | None:
        if self.others != "grid":
            return None
        return self.lead if slot % 2 == 0 else other_hand(self.lead)


@dataclass(frozen=True)
class Alternation:
    """Each note outside the scope takes the hand opposite to the hand stroke before it.

    Both hands at once are opposite to either, and either is opposite to them.
    """

    every_note_alike: ClassVar[bool] = False
    lead: str
    scoped: tuple[bool, ...]
    start: str = ""

    def sees(self, stroke: Stroke) -> str | None:
        """The hand, or both; feet are alike."""
        return _BOTH if stroke.both_hands else None if stroke.by_foot else stroke.limb

    def step(self, state: str, index: int, stroke: Stroke) -> str | None:
        """The state is the hand that struck last, or both; "" before the first."""
        if stroke.by_foot:
            return state
        if stroke.both_hands:
            return _BOTH
        wanted = other_hand(state) if state else self.lead
        if not self.scoped[index] and state != _BOTH and stroke.limb != wanted:
            return None
        return stroke.limb

    def accepts(self, state: str) -> bool:
        """Any hand may be last."""
        return True

    def kind(self, index: int) -> bool:
        """Scoped notes are all alike, and so are the others."""
        return self.scoped[index]


def _agrees(stroke: Stroke, letter: Letter | None) -> bool:
    """Whether the stroke has the accent and the ornament of its letter."""
    if letter is None:
        return True
    return letter.ornament in (None, stroke.ornament) and (not letter.accent or _ACCENTED(stroke))


def _values(choices: tuple[Choice, ...]) -> tuple[str, ...]:
    return tuple(choice.value for choice in choices)


def _label(choices: tuple[Choice, ...], value: str) -> str:
    return next(choice.label for choice in choices if choice.value == value)
