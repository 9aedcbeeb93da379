"""What stands on a practice sheet, as plain data that goes through JSON and back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from rhythms.engine import Fill
from rhythms.engine.bars.feel import STRAIGHT, Feel

#: The sizes of paper, by the names that the typesetter knows, with what people call them.
PAPERS = {"a4": "A4", "us-letter": "Letter"}


@dataclass(frozen=True)
class Exercise:
    """One fill to play: ``label`` names it between teacher and student ("Fill 3").

    The sign of its ``feel`` stands above.
    """

    label: str
    fill: Fill
    note: str = ""
    feel: Feel = STRAIGHT

    @property
    def swings(self) -> bool:
        """Whether the sign of its feel stands above."""
        return not self.feel.in_meter(self.fill.bar.meter).is_straight

    def to_json(self) -> dict[str, Any]:
        """The exercise as JSON-able data."""
        sign = {} if self.feel.is_straight else {"feel": self.feel.to_json()}
        return {"label": self.label, "fill": self.fill.to_json(), "note": self.note} | sign

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Exercise:
        """The inverse of ``to_json``."""
        feel = Feel.from_json(data.get("feel"))
        return cls(data["label"], Fill.from_json(data["fill"]), data["note"], feel)


@dataclass(frozen=True)
class Section:
    """Fills that belong together; ``lines`` say how to play them, ``rules`` what they keep.

    ``groove`` is what is played before them, without boxes to tick.
    """

    heading: str
    exercises: tuple[Exercise, ...]
    lines: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()
    groove: tuple[Exercise, ...] = ()

    def to_json(self) -> dict[str, Any]:
        """The section as JSON-able data."""
        groove = [bar.to_json() for bar in self.groove]
        return {
            "heading": self.heading,
            "exercises": [exercise.to_json() for exercise in self.exercises],
            "lines": list(self.lines),
            "rules": list(self.rules),
        } | ({"groove": groove} if groove else {})

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Section:
        """The inverse of ``to_json``."""
        exercises = tuple(map(Exercise.from_json, data["exercises"]))
        groove = tuple(map(Exercise.from_json, data.get("groove", ())))
        return cls(data["heading"], exercises, tuple(data["lines"]), tuple(data["rules"]), groove)


@dataclass(frozen=True)
class Sheet:
    """A whole sheet. ``days``: what stands over the boxes to tick, one word a day.

    ``counts``: the count line under the notes. Each caution is its heading and its words.
    """

    title: str
    sections: tuple[Section, ...]
    lines: tuple[str, ...] = ()
    days: tuple[str, ...] = field(default=("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"))
    cautions: tuple[tuple[str, str], ...] = ()
    paper: str = "a4"
    counts: bool = False

    def __post_init__(self) -> None:
        if self.paper not in PAPERS:
            raise ValueError(f"There is no paper {self.paper!r}; there are {', '.join(PAPERS)}.")

    @property
    def exercises(self) -> Iterator[Exercise]:
        """The exercises of all sections, in order."""
        return (exercise for section in self.sections for exercise in section.exercises)

    @property
    def drawn(self) -> Iterator[Exercise]:
        """All that is engraved, in order: in each section its groove, then its exercises."""
        return (each for section in self.sections for each in (*section.groove, *section.exercises))

    def to_json(self) -> dict[str, Any]:
        """The sheet as JSON-able data."""
        return {
            "title": self.title,
            "sections": [section.to_json() for section in self.sections],
            "lines": list(self.lines),
            "days": list(self.days),
            "cautions": [list(caution) for caution in self.cautions],
            "paper": self.paper,
            "counts": self.counts,
        }

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Sheet:
        """The inverse of ``to_json``."""
        return cls(
            title=data["title"],
            sections=tuple(map(Section.from_json, data["sections"])),
            lines=tuple(data["lines"]),
            days=tuple(data["days"]),
            cautions=tuple((heading, words) for heading, words in data["cautions"]),
            paper=data["paper"],
            counts=data["counts"],
        )
