"""Feet that keep going: what they play is part of the block.

Where the hi-hat foot falls it closes the hi-hat: no hand strikes it open there.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, ClassVar

from rhythms.engine.bars.meter import Meter
from rhythms.engine.errors import CountLineError, MeterError, RuleError
from rhythms.engine.fills.fill import Stroke
from rhythms.engine.fills.ostinato import Ostinato
from rhythms.engine.kits.surfaces import OPEN_HATS, Surface
from rhythms.engine.playback.ostinato_library import (
    FOUR_ON_THE_FLOOR,
    NAMES,
    meters_of,
    ostinato_named,
    typed_ostinato,
)
from rhythms.engine.rules.base import Bound, Choice, Field, Rule
from rhythms.engine.rules.json_reading import read_choice
from rhythms.engine.rules.scope import listed
from rhythms.engine.rules.setting import Setting
from rhythms.engine.rules.watching import Never

TYPED = "typed"
_LABELS = {
    FOUR_ON_THE_FLOOR: f"{FOUR_ON_THE_FLOOR}: bass drum on every beat",
    TYPED: "as typed below",
}
_PATTERNS = tuple(Choice(name, _LABELS.get(name, name)) for name in (*NAMES, TYPED))
#: The field of each foot's line.
_LINES = {"bass_drum": Surface.BASS_DRUM, "hi_hat_foot": Surface.HI_HAT_FOOT}
_LONGEST = 200
_COMMON_TIME = Meter(4, 4)


@dataclass(frozen=True)
class FeetKeepGoing(Rule):
    """The feet play ``pattern`` under every fill, and under the groove where that leaves them free.

    No hand strikes an open or half-open hi-hat where the foot is on it, nor does the second stroke
    of a diddle.

    ``lines`` are count lines in ``meter``, by field, where the pattern is typed.
    """

    name: ClassVar[str] = "feet keep going"
    title: ClassVar[str] = "Feet keep going"
    purpose: ClassVar[str] = "feet"
    fields: ClassVar[tuple[Field, ...]] = (
        Field(
            "pattern",
            "They play",
            "choice",
            _PATTERNS,
            NAMES[0],
            help="Under every fill; under the groove too, with a foot that it leaves free. "
            "Where the hi-hat foot falls, no stroke is on the open hi-hat.",
        ),
        Field(
            "bass_drum",
            "Bass drum",
            "text",
            help="Count where it is struck: 1 3 &. An accent is 1>, a soft stroke 3<.",
            optional=True,
            rare=True,
        ),
        Field(
            "hi_hat_foot",
            "Hi-hat foot",
            "text",
            help="Counted alike: 2 4.",
            optional=True,
            rare=True,
        ),
        Field(
            "meter",
            "Meter",
            "text",
            help="Of these counts, as 4/4 or 6/8; 4/4 unless you say.",
            optional=True,
            rare=True,
        ),
    )

    fold: ClassVar[str] = "Feet as you type them"

    pattern: str = NAMES[0]
    lines: tuple[tuple[str, str], ...] = ()
    meter: Meter = _COMMON_TIME

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> FeetKeepGoing:
        """Raises RuleError, with the column where a line cannot be read."""
        cls.check_keys(data)
        pattern = read_choice(data, "pattern", (*NAMES, TYPED), NAMES[0])
        lines = tuple((name, text) for name in _LINES if (text := _text(data, name)))
        rule = cls(pattern, lines, _meter(data))
        rule.check_lines()
        return rule

    def check_lines(self) -> None:
        """Raises RuleError naming the line that cannot be read, or that there is none."""
        for name, text in self.lines:
            try:
                typed_ostinato(TYPED, self.meter, {_LINES[name]: text})
            except CountLineError as error:
                raise RuleError(error.message, field=name) from error
        if self.pattern == TYPED and not self._typed.hits:
            raise RuleError(
                "Type when a foot plays, 2 4 for the hi-hat foot, say; or choose what they play.",
                field="hi_hat_foot",
            )
        if self.pattern != TYPED and self.lines:
            raise RuleError(
                f"These counts are not played with “{self.pattern}”: "
                "choose “as typed below”, or clear them.",
                field=self.lines[0][0],
            )

    def to_json(self) -> dict[str, Any]:
        """The JSON form."""
        typed = {**dict(self.lines), "meter": str(self.meter)} if self.pattern == TYPED else {}
        return {"rule": self.name, "pattern": self.pattern, **typed}

    def sentence(self) -> str:
        """``The feet keep going: samba.``; ``The feet keep going: hi-hat foot on 2 4, in 4/4.``"""
        where = f", in {self.meter}" if self.pattern == TYPED else ""
        return f"The feet keep going: {self._said}{where}."

    @property
    def _said(self) -> str:
        if self.pattern != TYPED:
            return self.pattern
        return ", ".join(f"{_LINES[name]} on {text}" for name, text in self.lines)

    @property
    def _typed(self) -> Ostinato:
        lines = {_LINES[name]: text for name, text in self.lines}
        return typed_ostinato(self._said, self.meter, lines)

    def _in(self, meter: Meter) -> Ostinato | None:
        if self.pattern != TYPED:
            return ostinato_named(self.pattern, meter)
        return self._typed if meter == self.meter else None

    def keeps_going(self, setting: Setting) -> Ostinato | None:
        """The pattern in the bar's meter, on a kit that has all it needs."""
        return None if self.lacks(setting) else self._in(setting.bar.meter.one_bar)

    def lacks(self, setting: Setting) -> str:
        """``this kit has no hi-hat foot``; ``samba is for 2/4 and 4/4, and this bar is in 3/4``."""
        meter = setting.bar.meter
        going = self._in(meter.one_bar)
        if going is None:
            meters = (str(self.meter),) if self.pattern == TYPED else meters_of(self.pattern)
            what = "what is typed" if self.pattern == TYPED else f"“{self.pattern}”"
            return f"{what} is for {listed(meters)}, and this bar is in {meter}"
        missing = [str(one) for one in Surface if one in going.surfaces - {*setting.kit.surfaces}]
        return f"this kit has no {listed(tuple(missing))}" if missing else ""

    def why(self, setting: Setting, note: int | None = None) -> str:
        """``the foot closes the hi-hat on 1 & and 2 &``; of one note ``… there``."""
        if self.lacks(setting):
            return ""
        if note is not None:
            return "the foot closes the hi-hat there"
        closed = self._closed(setting)
        notes = zip(setting.bar.sounded, setting.counts, strict=True)
        counts = [count for note, count in notes if note.onset in closed and count]
        return f"the foot closes the hi-hat on {listed(tuple(counts))}" if counts else ""

    def _closed(self, setting: Setting) -> frozenset[Fraction]:
        """When the foot closes the hi-hat."""
        going = self.keeps_going(setting)
        feet = going.over(setting.bar.meter.bars) if going else ()
        return frozenset(hit.onset for hit in feet if hit.surface is Surface.HI_HAT_FOOT)

    def idle_beside(self, rules: Iterable[Rule]) -> str:
        """That a rule before this one says already what the feet play."""
        first = next(rule for rule in rules if isinstance(rule, FeetKeepGoing))
        if first is self:
            return ""
        said = first.sentence().rstrip(".")
        return f"“{said}” says already what they play: take one of the two rules out."

    def bind(self, setting: Setting) -> Bound:
        """Leave out the open hi-hat where the foot is on it; all, where the feet cannot play."""
        if self.lacks(setting):
            return Bound(automaton=Never())
        closed, notes = self._closed(setting), setting.bar.sounded

        def is_open(stroke: Stroke) -> bool:
            return not OPEN_HATS.isdisjoint(stroke.hand_surfaces)

        def narrow(index: int, strokes: tuple[Stroke, ...]) -> tuple[Stroke, ...]:
            at, half = notes[index].onset, notes[index].length / 2
            struck, bounced = at in closed, at + half in closed
            if not (struck or bounced):
                return strokes
            left = tuple(
                stroke
                for stroke in strokes
                if not is_open(stroke) or not (struck or stroke.ornament == "diddle")
            )
            return strokes if len(left) == len(strokes) else left

        return Bound(narrow) if closed else Bound()


def _text(data: dict[str, Any], name: str) -> str:
    text = data.get(name, "")
    if not isinstance(text, str) or len(text) > _LONGEST:
        raise RuleError(f"A line takes at most {_LONGEST} signs.", field=name)
    return text.strip()


def _meter(data: dict[str, Any]) -> Meter:
    try:
        return Meter.parse(str(data.get("meter") or _COMMON_TIME))
    except MeterError as error:
        raise RuleError(error.message, field="meter") from error
