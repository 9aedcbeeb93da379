"""What a student has to play: today's plan, and all their fills as they stand."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import groupby

from assignments.fill_queries import fills_of
from assignments.models import AssignedVariation, PracticeEntry
from assignments.planner.plan import Item, Plan, PlanPart
from assignments.today.day_plan import MINUTES, plan_of
from studio.models import Student

_MINUTE = 60


@dataclass(frozen=True)
class TodayItem:
    """One item of the day's plan, with its fill, and whether it was played already."""

    item: Item
    fill: AssignedVariation
    done: bool

    @property
    def recheck(self) -> bool:
        """Whether it is played cold, to see whether it holds."""
        return self.item.part is PlanPart.CHECK


@dataclass(frozen=True)
class TodayGroup:
    """Items shown in one line: all turns together, everything else by itself."""

    lines: Sequence[TodayItem]

    @property
    def part(self) -> PlanPart:
        """What its lines are there for."""
        return self.lines[0].item.part

    @property
    def first_of_each(self) -> Sequence[TodayItem]:
        """The first line of each fill."""
        return list({line.fill.pk: line for line in reversed(self.lines)}.values())[::-1]

    @property
    def rounds(self) -> int:
        """How often its fills come round."""
        return max(Counter(line.fill.pk for line in self.lines).values())

    @property
    def done(self) -> bool:
        """Whether all of it was played."""
        return all(line.done for line in self.lines)


@dataclass(frozen=True)
class Today:
    """The day's plan, line by line; all fills that the student has; the minutes done today."""

    plan: Plan
    lines: Sequence[TodayItem]
    fills: Sequence[AssignedVariation]
    minutes: Decimal
    day: date

    @property
    def groups(self) -> Sequence[TodayGroup]:
        """The lines, with the turns as one."""
        parts = groupby(self.lines, key=lambda line: line.item.part)
        return [
            group
            for part, lines in parts
            for group in (
                [TodayGroup(list(lines))]
                if part is PlanPart.TURN
                else [TodayGroup([line]) for line in lines]
            )
        ]

    @property
    def others(self) -> Sequence[AssignedVariation]:
        """The fills that are not mastered and not in the plan."""
        planned = {line.fill.pk for line in self.lines}
        return [fill for fill in self.fills if not fill.mastered_at and fill.pk not in planned]

    @property
    def is_done(self) -> bool:
        """Whether all of the plan was played."""
        return all(line.done for line in self.lines)


def today_of(student: Student, day: date, minutes: int = MINUTES) -> Today:
    """Return what the student is to play on this day; four queries."""
    fills = list(fills_of(student))
    plan = plan_of(student, fills, day, minutes)
    entries = list(PracticeEntry.objects.kept().filter(student=student, day=day))
    return Today(
        plan,
        _lines(plan, {fill.pk: fill for fill in fills}, entries),
        fills,
        sum((entry.minutes for entry in entries), Decimal(0)),
        day,
    )


def _lines(
    plan: Plan, fills: dict[int, AssignedVariation], entries: Sequence[PracticeEntry]
) -> list[TodayItem]:
    """Return the plan's items in order, ticked off by the loops that were played today."""
    seconds_left: defaultdict[int | None, Decimal] = defaultdict(Decimal)
    for entry in entries:
        seconds_left[entry.variation_id] += entry.minutes * _MINUTE
    lines = []
    for item in plan.items:
        what = None if item.groove_alone else item.piece.id
        # Minutes are logged in tenths: half of one may be missing.
        needed = Decimal(float(item.seconds)) - _MINUTE * Decimal("0.05")
        done = seconds_left[what] >= needed
        seconds_left[what] -= needed if done else 0
        lines.append(TodayItem(item, fills[item.piece.id], done))
    return lines
