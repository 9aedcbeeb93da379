"""What was read: measures with their bars, and words for what did not fit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Self

from rhythms.engine import Bar, Fill


@dataclass(frozen=True)
class ReadMeasure:
    """One measure of one part; ``bar`` is None where none can be made, and ``words`` say why.

    ``part`` is the place of its name in ``Reading.parts``; ``number`` is as in the file. ``fill``
    is the bar with what is struck on each note, where the file tells it.
    """

    part: int
    number: str
    bar: Bar | None
    words: tuple[str, ...] = ()
    fill: Fill | None = None

    def to_json(self) -> dict[str, Any]:
        """JSON-able; the bar as meter and count line, and the strokes of a fill."""
        bar = self.bar and {"meter": str(self.bar.meter), "counts": self.bar.counts()}
        strokes = {"strokes": self.fill.to_json()["strokes"]} if self.fill else {}
        words = list(self.words)
        return {"part": self.part, "number": self.number, "bar": bar, "words": words, **strokes}

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Self:
        """The inverse of ``to_json``."""
        bar = data["bar"] and Bar.from_counts(data["bar"]["counts"], data["bar"]["meter"])
        fill = None
        if bar and "strokes" in data:
            fill = Fill.from_json({"bar": bar.to_json(), "strokes": data["strokes"]})
        return cls(data["part"], data["number"], bar, tuple(data["words"]), fill)


@dataclass(frozen=True)
class Reading:
    """A file as read: its ``title`` ("" where it has none), names of parts, their measures.

    ``words`` are about the file as a whole.
    """

    kind: str
    title: str
    parts: tuple[str, ...]
    measures: tuple[ReadMeasure, ...]
    words: tuple[str, ...] = ()

    def to_json(self) -> dict[str, Any]:
        """JSON-able."""
        return {
            "kind": self.kind,
            "title": self.title,
            "parts": list(self.parts),
            "measures": [measure.to_json() for measure in self.measures],
            "words": list(self.words),
        }

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Self:
        """The inverse of ``to_json``."""
        measures = tuple(ReadMeasure.from_json(measure) for measure in data["measures"])
        return cls(
            data["kind"], data["title"], tuple(data["parts"]), measures, tuple(data["words"])
        )
