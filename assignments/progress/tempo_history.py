"""The tempo of each fill, day by day: how far it has climbed."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import Max, QuerySet

from assignments.fill_queries import fills_of
from assignments.models import AssignedVariation, PracticeEntry
from assignments.progress.charts import Steps, steps
from studio.models import Student

_GROUND = 5  # beats a minute below the slowest


@dataclass(frozen=True)
class Climb:
    """A fill with the highest tempo up to each day on which one was logged.

    Loosening up slowly is no step back, so the line never falls.
    """

    fill: AssignedVariation
    tempi: Sequence[tuple[date, int]]

    @property
    def name(self) -> str:
        """A name for its chart that is unique on a page."""
        return str(self.fill.pk)

    @property
    def steps_in_words(self) -> Sequence[tuple[date, int]]:
        """The days on which it climbed, the first one included, for those who hear the chart."""
        before = [0, *(tempo for _, tempo in self.tempi)]
        return [step for step, last in zip(self.tempi, before, strict=False) if step[1] > last]

    @property
    def chart(self) -> Steps:
        """A line from day to day, as many as there was practice; it starts a little above 0.

        Tempi are far from 0: from there every climb would look flat. The numbers are in words.
        """
        ground = self.first - _GROUND
        days, tempi = zip(*self.tempi, strict=True)
        return steps(days, [tempo - ground for tempo in tempi])

    @property
    def first(self) -> int:
        """The tempo of the first day."""
        return self.tempi[0][1]

    @property
    def best(self) -> int:
        """The highest tempo there was."""
        return self.tempi[-1][1]


def fills_with_tempi(student: Student) -> QuerySet[PracticeEntry, int]:
    """Return the pk of each fill that has a tempo logged, the last practised first."""
    by_fill = _with_tempo(student).order_by().values("variation").annotate(last=Max("day"))
    return by_fill.order_by("-last", "-variation").values_list("variation", flat=True)


def climbs(student: Student, fills: Sequence[int]) -> list[Climb]:
    """Return the climb of each of these fills (by pk), in their order; two queries."""
    found = fills_of(student).for_lists().in_bulk(fills)
    logged = _with_tempo(student).filter(variation__in=fills).order_by("day")
    tempi: defaultdict[int, dict[date, int]] = defaultdict(dict)
    for pk, day, tempo in logged.values_list("variation", "day").annotate(Max("tempo")):
        best = next(reversed(tempi[pk].values()), 0)
        tempi[pk][day] = max(tempo, best)
    return [Climb(found[pk], list(tempi[pk].items())) for pk in fills]


def _with_tempo(student: Student) -> QuerySet[PracticeEntry]:
    """Entries with a tempo, on fills that the student still has, as they were given."""
    of_fills = PracticeEntry.objects.kept().filter(
        student=student, tempo__isnull=False, easier=False
    )
    return of_fills.filter(
        variation__removed_at=None,
        variation__assignment__removed_at=None,
        variation__assignment__student=student,
    )
