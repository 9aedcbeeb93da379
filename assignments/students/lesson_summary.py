"""What to know about a student before the lesson begins, in a few sentences."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from functools import cached_property
from typing import TypeVar

from assignments import text
from assignments.days import last_lesson
from assignments.easier_fill import to_the_teacher
from assignments.models import AssignedVariation, PracticeEntry
from assignments.progress.student_totals import NONE
from assignments.today.day_plan import eased_today
from studio.models import Student

#: More names than this are a list, not a sentence.
_MOST_NAMES = 3
_SORE = PracticeEntry.Felt.SORE
_Key = TypeVar("_Key")


@dataclass(frozen=True)
class SinceLesson:
    """The days from the last lesson up to today, and the fills that the student has."""

    student: Student
    today: date
    fills: Sequence[AssignedVariation]

    @property
    def since(self) -> date:
        """The day of the last lesson."""
        return last_lesson(self.student, self.today)

    @cached_property
    def days(self) -> dict[date, Decimal]:
        """The days with practice, and their minutes."""
        return _summed((entry.day, entry.minutes) for entry in self._entries)

    @cached_property
    def minutes_of_fills(self) -> dict[int, Decimal]:
        """Minutes by the pk of the fill, for fills that were practised."""
        return _summed(
            (entry.variation_id, entry.minutes) for entry in self._entries if entry.variation_id
        )

    @cached_property
    def _entries(self) -> list[PracticeEntry]:
        theirs = PracticeEntry.objects.kept().filter(student=self.student)
        return list(theirs.filter(day__range=(self.since, self.today)).order_by("day"))

    def sentences(self) -> list[str]:
        """Return what was practised, what was mastered, what took most time, what lies still.

        And what holds now, or came back to be practised; but first, whether something hurt.
        """
        sentences = (
            self._hurt(),
            self._practised(),
            self._named("Mastered", [fill for fill in self.fills if self._newly(fill.mastered_at)]),
            self._named("Holds now:", [fill for fill in self.fills if self._newly(fill.held_at)]),
            self._named(
                "Came back:", [fill for fill in self.fills if self._newly(fill.returned_at)]
            ),
            *self._simpler(),
            self._most_time(),
            self._not_played(),
        )
        return [sentence for sentence in sentences if sentence]

    def _hurt(self) -> str:
        days = list(dict.fromkeys(entry.day for entry in self._entries if entry.felt == _SORE))
        if not days:
            return ""
        return f"Something hurt on {text.listed([f'{day:%-d %B}' for day in days])}."

    def _practised(self) -> str:
        if not self.days:
            return "No practice."
        total = text.minutes(sum(self.days.values(), NONE))
        return f"Practised on {text.count(len(self.days), 'day')}, {total} in all."

    def _named(self, what: str, fills: Sequence[AssignedVariation]) -> str:
        if not fills:
            return ""
        if len(fills) > _MOST_NAMES:
            return f"{what} {len(fills)} fills."
        return f"{what} {text.listed([str(fill) for fill in fills])}."

    def _newly(self, moment: datetime | None) -> bool:
        if moment is None:
            return False
        return moment.astimezone(self.student.studio.zone).date() >= self.since

    def _most_time(self) -> str:
        played = [fill for fill in self.fills if fill.pk in self.minutes_of_fills]
        if len(played) < 2:
            return ""
        longest = max(played, key=lambda fill: self.minutes_of_fills[fill.pk])
        minutes = text.minutes(self.minutes_of_fills[longest.pk])
        return f"Most time went to {longest}: {minutes}."

    def _not_played(self) -> str:
        still = sum(1 for _ in self._untouched())
        to_play = sum(1 for fill in self.fills if fill.mastered_at is None)
        if not still or not self.days:
            return ""
        return f"Not played: {still} of the {to_play} not mastered."

    def _simpler(self) -> list[str]:
        """Of each fill that is stuck, since when and what Today has for it."""
        eased = eased_today(self.student, self.fills, self.today)
        name = self.student.nickname
        return [to_the_teacher(name, str(fill), one, self.today) for fill, one in eased]

    def _untouched(self) -> Iterator[AssignedVariation]:
        for fill in self.fills:
            if fill.mastered_at is None and fill.pk not in self.minutes_of_fills:
                yield fill


def _summed(minutes: Iterable[tuple[_Key, Decimal]]) -> dict[_Key, Decimal]:
    sums: defaultdict[_Key, Decimal] = defaultdict(Decimal)
    for key, amount in minutes:
        sums[key] += amount
    return dict(sums)
