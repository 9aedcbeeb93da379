"""What a student was given and practised, beside what they really played: told apart."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cached_property
from typing import NamedTuple

from django.db.models import OuterRef, Subquery, Sum

from assignments.models import AssignedVariation, PracticeEntry
from assignments.text import count, minutes
from rhythms.engine import Fill
from rhythms.engine.comfort.passed_over import Offered, passed_over
from rhythms.engine.fills.variety import effective_fills
from rhythms.engine.kits.surfaces import Surface
from rhythms.fill_spaces import engine_kit
from studio.models import Student

#: So many of the fills practised most are compared with each other, and so many of the latest
#: given are looked at for what is passed over.
MOST_COMPARED, MOST_OFFERED = 40, 200
#: Half minutes are said of fewer minutes than these.
_IN_HALVES = 10
#: So many fills are named.
_NAMED = 2


class _Given(NamedTuple):
    """One fill of the student's: `minutes` are those of the days looked at."""

    pk: int
    assignment: int
    mastered: bool
    ever: int
    minutes: Decimal | None

    @property
    def is_practised(self) -> bool:
        """Whether anything is noted of it, on whichever day."""
        return bool(self.ever or self.mastered)


@dataclass(frozen=True)
class NotedPractice:
    """What is noted of the fills that a student was given, from the `first` day to `today`."""

    student: Student
    first: date
    today: date

    @cached_property
    def given(self) -> list[_Given]:
        """All fills that the student has, in the order they were given."""
        lately = PracticeEntry.objects.kept().filter(
            variation=OuterRef("pk"), day__range=(self.first, self.today)
        )
        summed = lately.order_by().values("variation").annotate(total=Sum("minutes"))
        theirs = AssignedVariation.objects.kept().filter(assignment__student=self.student)
        rows = (
            theirs.with_practice()
            .annotate(lately=Subquery(summed.values("total")))
            .order_by("assignment__created_at", "assignment", "position")
            .values_list("pk", "assignment", "mastered_at", "times_logged", "lately")
        )
        return [_Given(pk, of, at is not None, ever, total) for pk, of, at, ever, total in rows]

    @cached_property
    def _lately(self) -> list[_Given]:
        """Those practised in these days, the most practised first."""
        found = [one for one in self.given if one.minutes]
        return sorted(found, key=lambda one: -(one.minutes or 0))

    @property
    def mastered(self) -> int:
        """How many are mastered, today."""
        return sum(one.mastered for one in self.given)

    @property
    def words(self) -> str:
        """``12 of 30 fills given were practised, 85 min: about 3 different fills.``"""
        given, lately = count(len(self.given), "fill"), self._lately
        if not lately:
            practised = f"Nothing is noted of the {given} given."
        else:
            total = sum((one.minutes or Decimal() for one in lately), Decimal())
            time = minutes(total if total < _IN_HALVES else round(total))
            were = "was" if len(lately) == 1 else "were"
            practised = f"{len(lately)} of {given} given {were} practised, {time}{self._about}."
        is_are = "is" if self.mastered == 1 else "are"
        return practised + (f" {self.mastered} {is_are} mastered." if self.mastered else "")

    @property
    def _about(self) -> str:
        number = round(self.different or 0)
        return f": about {count(number, 'different fill')}" if number else ""

    @cached_property
    def different(self) -> float | None:
        """The effective number of different fills among those practised, by minutes; None of none.

        Of very many those that had most minutes.
        """
        compared = self._lately[:MOST_COMPARED]
        if not compared:
            return None
        fills = self._fills(compared)
        together: dict[Fill, float] = {}
        for one in compared:
            fill = fills[one.pk].without_hands()
            together[fill] = together.get(fill, 0.0) + float(one.minutes or 0)
        return effective_fills(list(together), list(together.values()))

    @property
    def most(self) -> list[AssignedVariation]:
        """The two practised most, as they are named."""
        return self._named([one.pk for one in self._lately[:_NAMED]])

    @property
    def untouched(self) -> int:
        """Of how many nothing was ever noted."""
        return sum(not one.is_practised for one in self.given)

    @cached_property
    def first_untouched(self) -> list[AssignedVariation]:
        """The two of them that were given first, as they are named."""
        return self._named([one.pk for one in self.given if not one.is_practised][:_NAMED])

    @property
    def more_untouched(self) -> int:
        """How many of them are not named."""
        return self.untouched - len(self.first_untouched)

    @cached_property
    def left_out(self) -> Surface | None:
        """The drum or cymbal whose fills are passed over; None where there is none."""
        latest = self.given[-MOST_OFFERED:]
        if not any(one.is_practised for one in latest):
            return None
        fills = self._fills(latest)
        kit = engine_kit(self.student)
        drums = [one for one in kit.hand_surfaces if one is not Surface.SNARE]
        offered = (Offered(one.assignment, fills[one.pk], one.is_practised) for one in latest)
        found = passed_over(offered, drums)
        return found.surface if found else None

    def _fills(self, some: Sequence[_Given]) -> dict[int, Fill]:
        stored = AssignedVariation.objects.filter(pk__in=[one.pk for one in some])
        return {pk: Fill.from_json(fill) for pk, fill in stored.values_list("pk", "fill")}

    def _named(self, pks: Collection[int]) -> list[AssignedVariation]:
        found = AssignedVariation.objects.of(self.student).for_lists().in_bulk(list(pks))
        return [found[pk] for pk in pks]
