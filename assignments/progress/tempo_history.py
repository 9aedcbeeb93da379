"""The tempo of each fill, day by day: how far it has climbed."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

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


def climbs(student: Student, fills: Iterable[AssignedVariation]) -> list[Climb]:
    """Return a climb for each fill with a tempo logged, the last practised first; one query."""
    logged = PracticeEntry.objects.kept().filter(
        student=student, variation__isnull=False, tempo__isnull=False
    )
    tempi: defaultdict[int, dict[date, int]] = defaultdict(dict)
    for pk, day, tempo in logged.order_by("day").values_list("variation_id", "day", "tempo"):
        best = max(tempi[pk].values(), default=0)
        tempi[pk][day] = max(tempo or 0, best)
    found = [Climb(fill, list(tempi[fill.pk].items())) for fill in fills if fill.pk in tempi]
    return sorted(found, key=lambda climb: climb.tempi[-1][0], reverse=True)
