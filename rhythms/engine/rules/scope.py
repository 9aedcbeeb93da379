"""Which notes of a bar a rule speaks of."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from rhythms.engine.bars.values import LENGTHS, plural
from rhythms.engine.errors import RuleError
from rhythms.engine.rules.base import Choice, Field
from rhythms.engine.rules.json_reading import read_choice, read_names
from rhythms.engine.rules.setting import Setting

ON_THE_BEAT, OFF_THE_BEAT = "on the beat", "off the beat"
ACCENTED, NOT_ACCENTED = "accented", "not accented"
_COUNT = re.compile(r"\d{1,2}( (e|&|a|trip|let|ka|di|mi|ti|((e|&|a) )?ta))?")
_MOST_COUNTS = 64

SCOPE_FIELDS = (
    Field("values", "Notes", "values", help="Leave all unticked for every note.", optional=True),
    Field(
        "position",
        "Of these, the notes",
        "choice",
        (Choice("", "anywhere"), *(Choice(name, name) for name in (ON_THE_BEAT, OFF_THE_BEAT))),
        optional=True,
        rare=True,
    ),
    Field(
        "counts",
        "On the counts",
        "words",
        help="Such as 1, 2 &, 4 e. Leave empty for all.",
        optional=True,
        rare=True,
    ),
    Field(
        "accent",
        "Written in the bar",
        "choice",
        (
            Choice("", "with an accent or without"),
            *(Choice(name, name) for name in (ACCENTED, NOT_ACCENTED)),
        ),
        optional=True,
        rare=True,
    ),
)


@dataclass(frozen=True)
class Scope:
    """Notes that meet every condition given; all notes where none is.

    ``values`` are value classes, ``counts`` places as counted ("2 &"), ``accent`` speaks of
    the accents written in the bar. Notes that were written as rests are in no scope.
    """

    values: tuple[str, ...] = ()
    position: str = ""
    counts: tuple[str, ...] = ()
    accent: str = ""

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Scope:
        """From the keys of a rule's JSON form. Raises RuleError."""
        values = data.get("values")
        return cls(
            () if values is None else read_names(values, "values", tuple(LENGTHS)),
            read_choice(data, "position", ("", ON_THE_BEAT, OFF_THE_BEAT), ""),
            _read_counts(data.get("counts")),
            read_choice(data, "accent", ("", ACCENTED, NOT_ACCENTED), ""),
        )

    def to_json(self) -> dict[str, Any]:
        """The keys for a rule's JSON form."""
        parts = {
            "values": list(self.values),
            "position": self.position,
            "counts": list(self.counts),
            "accent": self.accent,
        }
        return {key: value for key, value in parts.items() if value}

    def members(self, setting: Setting) -> tuple[bool, ...]:
        """For each sounded note, whether the rule speaks of it."""
        return tuple(
            self.holds(setting, index) and index not in setting.rested
            for index in range(len(setting.bar.sounded))
        )

    def holds(self, setting: Setting, index: int) -> bool:
        """Whether sounded note ``index`` meets the conditions."""
        note, beat = setting.bar.sounded[index], setting.beats[index]
        return (
            (not self.values or note.value in self.values)
            and (not self.position or (note.onset == beat.onset) == (self.position == ON_THE_BEAT))
            and (not self.counts or setting.counts[index] in self.counts)
            and (not self.accent or note.accent == (self.accent == ACCENTED))
        )

    @property
    def everywhere(self) -> bool:
        """Whether there is no condition."""
        return self == EVERY_NOTE

    def words(self) -> str:
        """``eighths and 16ths``; ``accented 16ths off the beat``; ``all notes``."""
        notes = listed(tuple(plural(value) for value in self.values)) or "notes"
        accent = {ACCENTED: "accented ", NOT_ACCENTED: "unaccented "}.get(self.accent, "")
        position = f" {self.position}" if self.position else ""
        counts = f" on {listed(self.counts)}" if self.counts else ""
        bare = notes == "notes" and not (accent or position or counts)
        return "all notes" if bare else f"{accent}{notes}{position}{counts}"


EVERY_NOTE = Scope()


def listed(words: tuple[str, ...]) -> str:
    """``a``, ``a and b``, ``a, b and c``; "" for none."""
    *head, last = words or ("",)
    return f"{', '.join(head)} and {last}" if head else last


def _read_counts(value: Any) -> tuple[str, ...]:
    if value is None:
        return ()
    if not isinstance(value, list) or not 0 < len(value) <= _MOST_COUNTS:
        raise RuleError("“counts” needs a list such as 1, 2 &, 4 e.", field="counts")
    for count in value:
        if not isinstance(count, str) or not _COUNT.fullmatch(count):
            raise RuleError(
                f"“{count}” is not a count: write a number, or a number and what is counted after "
                "it, such as 2 &, 2 trip, 2 ka or 2 e ta.",
                field="counts",
            )
    return tuple(dict.fromkeys(value))
