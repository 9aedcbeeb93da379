"""What a student practised, day by day, as their habit has it."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from random import Random
from typing import NamedTuple

from assignments.demo.practice_habits import Habit
from assignments.models.assignment import FASTEST, SLOWEST

_WEEK = 7
_HALF = Decimal("0.5")
_NOTES = (
    "Slower than last time, but even.",
    "Left hand gets tired.",
    "With the metronome.",
    "Only the last beat is still rough.",
    "Felt easy today.",
    "On the pad, it was late.",
    "Counted aloud.",
)
_A_NOTE, _NO_TEMPO = 0.07, 0.15  # how many entries have a note, and how many no tempo


@dataclass(frozen=True)
class DiaryPiece:
    """A fill as it lies on the stand: its number, since when, and the tempo asked for."""

    number: int
    given_on: date
    tempo: int


class DiarySitting(NamedTuple):
    """Some minutes at one fill."""

    day: date
    piece: DiaryPiece
    minutes: Decimal
    tempo: int | None
    note: str


class Diary:
    """`sittings` in the order of days, and the day on which a piece was `mastered_on`.

    The same arguments give the same diary.
    """

    def __init__(self, habit: Habit, pieces: Sequence[DiaryPiece], seed: str) -> None:
        self.habit = habit
        self.pieces = pieces
        self.sittings: list[DiarySitting] = []
        self.mastered_on: dict[DiaryPiece, date] = {}
        self._random = Random(seed)  # noqa: S311 - reproducible on purpose
        self._minutes: defaultdict[DiaryPiece, Decimal] = defaultdict(Decimal)
        self._times: Counter[DiaryPiece] = Counter()

    def keep(self, days: Sequence[date], lesson: date) -> None:
        """Live through the days, one after the other; a lesson is every week, as on `lesson`."""
        for day in days[: len(days) - self.habit.days_away]:
            if self._random.random() < self.habit.chances[(lesson - day).days % _WEEK]:
                self._practise(day)

    def _practise(self, day: date) -> None:
        pieces = self._on_the_stand(day)
        least, most = self.habit.minutes
        for piece in pieces:
            half_minutes = self._random.randint(2 * least, 2 * most) // len(pieces)
            self._play(piece, day, half_minutes * _HALF)

    def _on_the_stand(self, day: date) -> Sequence[DiaryPiece]:
        """The favourites, else what is not mastered, oldest first, as Today lists it."""
        given = [piece for piece in self.pieces if piece.given_on <= day]
        if self.habit.favourites:
            return given[: self.habit.favourites]
        still_open = [piece for piece in given if piece not in self.mastered_on]
        return still_open[: self.habit.fills] or given[-self.habit.fills :]

    def _play(self, piece: DiaryPiece, day: date, minutes: Decimal) -> None:
        note = self._random.choice(_NOTES) if self._random.random() < _A_NOTE else ""
        self.sittings.append(DiarySitting(day, piece, minutes, self._tempo(piece), note))
        self._minutes[piece] += minutes
        self._times[piece] += 1
        enough = self.habit.minutes_to_master
        # Never on the first day: what holds tomorrow is mastered.
        if enough and self._times[piece] > 1 and self._minutes[piece] >= enough:
            self.mastered_on.setdefault(piece, day)

    def _tempo(self, piece: DiaryPiece) -> int | None:
        """Slowly at first, a little faster each time, and not much faster than asked for."""
        if self._random.random() < _NO_TEMPO:
            return None
        climbed = piece.tempo - 16 + 3 * self._times[piece] + self._random.randint(-2, 2)
        return max(SLOWEST, min(climbed, piece.tempo + 8, FASTEST))
