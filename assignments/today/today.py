"""What a student has to play: today's plan, and all their fills as they stand."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cached_property

from assignments.easier_fill import simpler_form
from assignments.fill_queries import fills_of
from assignments.models import AssignedVariation, PracticeEntry
from assignments.planner.plan import Item, Plan, PlanPart
from assignments.today.day_plan import MINUTES, plan_of
from assignments.today.reasons import reason, welcome
from studio.models import Student

_MINUTE = 60
#: Of all that a fill is there for, the page says the first of these.
_TOLD_FIRST = (PlanPart.CHECK, PlanPart.NEW, PlanPart.WORK, PlanPart.TURN, PlanPart.LOOSEN_UP)


@dataclass(frozen=True)
class TodayItem:
    """One item of the day's plan, with its fill, and whether it was played already."""

    item: Item
    fill: AssignedVariation
    done: bool

    @cached_property
    def played(self) -> AssignedVariation:
        """The fill as it is played: in its simpler form where the plan has one; asked for then."""
        easier = self.item.easier
        return simpler_form(self.fill, easier) if easier else self.fill

    @property
    def recheck(self) -> bool:
        """Whether it is played cold, to see whether it holds."""
        return self.item.part is PlanPart.CHECK


@dataclass(frozen=True)
class TodayFill:
    """A fill of the plan once, however often it comes in it: what its line on the page says."""

    items: Sequence[TodayItem]

    @property
    def fill(self) -> AssignedVariation:
        """The fill."""
        return self.items[0].fill

    @property
    def _first(self) -> TodayItem:
        def told(line: TodayItem) -> tuple[bool, int]:
            return line.item.groove_alone, _TOLD_FIRST.index(line.item.part)

        return min(self.items, key=told)

    @property
    def main(self) -> Item:
        """What it is there for before all else."""
        return self._first.item

    @property
    def shown(self) -> AssignedVariation:
        """The fill as it is played for that, which may be its simpler form."""
        return self._first.played

    @property
    def times(self) -> int:
        """How many times through in all, at the tempo that is said."""
        main = self.main
        said = (main.tempo, main.groove_alone)
        items = (line.item for line in self.items)
        return sum(item.loops for item in items if (item.tempo, item.groove_alone) == said)

    @property
    def why(self) -> str:
        """Why it is there, in plain words."""
        return reason(self.main, self.fill.state)

    @property
    def done(self) -> bool:
        """Whether all of it was played today."""
        return all(line.done for line in self.items)


@dataclass(frozen=True)
class Today:
    """The day's plan, line by line; all fills that the student has; the minutes done today."""

    plan: Plan
    lines: Sequence[TodayItem]
    fills: Sequence[AssignedVariation]
    minutes: Decimal
    day: date

    @property
    def each(self) -> Sequence[TodayFill]:
        """The fills of the plan, each once, in the order in which they first come."""
        of_each: dict[int, list[TodayItem]] = {}
        for line in self.lines:
            of_each.setdefault(line.fill.pk, []).append(line)
        return [TodayFill(items) for items in of_each.values()]

    @property
    def others(self) -> Sequence[AssignedVariation]:
        """The fills that are not mastered and not in the plan."""
        planned = {line.fill.pk for line in self.lines}
        return [fill for fill in self.fills if not fill.mastered_at and fill.pk not in planned]

    @property
    def notes(self) -> Sequence[str]:
        """What the teacher wrote to the fills of the plan, the latest first."""
        given = {line.fill.assignment.pk: line.fill.assignment for line in self.lines}
        latest = sorted(given.values(), key=lambda one: one.created_at, reverse=True)
        return list(dict.fromkeys(one.note for one in latest if one.note))

    @property
    def is_done(self) -> bool:
        """Whether all of the plan was played."""
        return all(line.done for line in self.lines)

    @property
    def welcome(self) -> str:
        """What is said to whoever comes back after weeks, "" to all others."""
        days = [fill.last_practised for fill in self.fills if fill.last_practised]
        if not days or not self.lines:
            return ""
        first = self.lines[0]
        known = first.fill.last_practised is not None
        return welcome((self.day - max(days)).days, first.item, known=known)


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
