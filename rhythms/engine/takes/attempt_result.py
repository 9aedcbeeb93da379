"""What became of a fill that was played: hit by hit, note by note, as a whole."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, NamedTuple

from rhythms.engine.kits.surfaces import FEET, Surface
from rhythms.engine.takes.hits import TimedHit

RIGHT, WRONG, MISSED = "right", "wrong", "missed"
#: A stroke belongs to a note within this many ms, or this share of the gap to the next note.
#: A proposal: 50 ms at 16ths at 120 a minute, 37.5 at sextuplets.
WINDOW, OF_THE_GAP = 50.0, 0.45
#: What a stroke in place on another surface counts while an attempt is looked for.
RHYTHM_ALONE = 0.4
#: Of several outcomes at one note this is the note's.
_WORST_FIRST = (MISSED, WRONG, RIGHT)


class HitResult(NamedTuple):
    """What became of one hit of a note, meant for ``surface``.

    ``off`` in ms from the grid, late above 0, None where nothing was played. ``played`` is what
    was struck, with ``velocity``: right where it is the same drum, in whatever way. A missed one
    may have come ``astray``: on its drum, this many ms away.
    """

    surface: Surface
    outcome: str
    played: Surface | None = None
    off: float | None = None
    astray: float | None = None
    velocity: int = 0

    @property
    def by_foot(self) -> bool:
        """Whether it was meant for a foot."""
        return self.surface in FEET


class NoteResult(NamedTuple):
    """What became of one note, hit by hit: the ``hits`` stand as the stroke has them."""

    note: int
    hits: tuple[HitResult, ...]

    @property
    def outcome(self) -> str:
        """Right where all its hits are, missed where one of them is."""
        there = {hit.outcome for hit in self.hits}
        return next(outcome for outcome in _WORST_FIRST if outcome in there)

    @property
    def played(self) -> Surface | None:
        """What was struck for its first hit."""
        return self.hits[0].played

    @property
    def off(self) -> float | None:
        """The ms by which its first hit that was struck was late."""
        return next((hit.off for hit in self.hits if hit.off is not None), None)

    @property
    def astray(self) -> float | None:
        """How far away its first hit came, where that was missed."""
        return self.hits[0].astray


class Extra(NamedTuple):
    """A stroke that nothing asked for, ``quarters`` from the bar line."""

    quarters: float
    surface: Surface
    hit: TimedHit


class FootResult(NamedTuple):
    """What became of one hit of feet that keep going: ``quarters`` from the bar line, right or
    missed, ``off`` in ms from the grid."""

    quarters: Fraction
    surface: Surface
    outcome: str
    off: float | None = None


@dataclass(frozen=True)
class Attempt:
    """The fill played once: ``bar`` where it starts, counted from 0; one note per stroke.

    ``offset`` is the ms by which all of it was late, ``bend`` how much slower than the grid.
    ``feet`` are those that keep going under it; they make it no other attempt.
    """

    bar: int
    notes: tuple[NoteResult, ...]
    extras: tuple[Extra, ...]
    offset: float
    bend: float
    feet: tuple[FootResult, ...] = ()

    @property
    def hits(self) -> Iterator[HitResult]:
        """Every hit that was meant."""
        return (hit for note in self.notes for hit in note.hits)

    def count(self, outcome: str) -> int:
        """How many hits ended so."""
        return sum(hit.outcome == outcome for hit in self.hits)

    @property
    def likeness(self) -> float:
        """How much of the fill is in it: 1 is all of it; rhythm alone, and strokes too many,
        count for less."""
        found = self.count(RIGHT) + RHYTHM_ALONE * self.count(WRONG)
        meant = sum(len(note.hits) for note in self.notes)
        return found / (meant + 0.5 * len(self.extras))

    @property
    def complete(self) -> bool:
        """Whether every hit was struck, on whatever surface, and nothing else."""
        return not self.count(MISSED) and not self.extras

    def to_json(self) -> dict[str, Any]:
        """JSON of plain numbers and words; a note has its ``hits`` where it has several.

        ``feet`` only where some keep going.
        """
        feet = {"feet": [_foot_json(foot) for foot in self.feet]} if self.feet else {}
        return {
            "bar": self.bar,
            "offset": round(self.offset, 1),
            "bend": round(self.bend, 4),
            "notes": [_note_json(note) for note in self.notes],
            "extras": [
                {"quarters": round(extra.quarters, 3), "surface": str(extra.surface)}
                for extra in self.extras
            ],
            **feet,
        }


def _note_json(note: NoteResult) -> dict[str, Any]:
    whole = {"outcome": note.outcome, **_how(note.played, note.off, note.astray)}
    if len(note.hits) == 1:
        return whole
    hits = [
        {
            "surface": str(hit.surface),
            "outcome": hit.outcome,
            **_how(hit.played, hit.off, hit.astray),
        }
        for hit in note.hits
    ]
    return whole | {"hits": hits}


def _foot_json(foot: FootResult) -> dict[str, Any]:
    return {
        "quarters": round(float(foot.quarters), 3),
        "surface": str(foot.surface),
        "outcome": foot.outcome,
        "off": None if foot.off is None else round(foot.off, 1),
    }


def _how(played: Surface | None, off: float | None, astray: float | None) -> dict[str, Any]:
    return {
        "played": played and str(played),
        "off": None if off is None else round(off, 1),
        "astray": None if astray is None else round(astray, 1),
    }
