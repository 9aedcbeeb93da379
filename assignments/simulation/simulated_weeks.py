"""Twelve weeks of lessons and of practice by the plan."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from fractions import Fraction
from random import Random
from statistics import mean

from assignments.mastery import (
    CLEAN,
    MASTERED,
    NOT_CLEAN,
    MasteryStatus,
    came_out_clean,
    mastery_status,
)
from assignments.planner.history import Piece, Sitting
from assignments.planner.plan import Item, Plan, PlanPart, make_plan
from assignments.simulation.learner import EASED, Learner, Skill
from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet

DAYS = 84
_START = date(2026, 2, 2)  # a Monday; the clock changes on the way, in Europe and in America
_DAY = timedelta(days=1)
#: A lesson a week brings so many fills, unless that many still wait.
_GIVEN, _ENOUGH = 3, 6
#: Times through at the tempo asked for before a fill is called mastered.
_ENOUGH_LOOPS = 4
_COUNTS = ("1 & 2 e & a 3 & 4 e & a", "1 e & 2 e & 3 e & 4 e &", "1 & a 2 & a 3 & a 4 & a")
_RULES = [{"rule": "placement", "values": ["eighth"], "surfaces": ["snare"]}]


@dataclass(frozen=True)
class _Step:
    kind: str
    day: date
    at: datetime
    teacher_id: int | None = None


@dataclass
class Weeks:
    """What came of the weeks: one plan a day with practice, and how each fill stands."""

    learner: Learner
    plans: list[Plan] = field(default_factory=list)
    pieces: list[Piece] = field(default_factory=list)
    skills: dict[int, Skill] = field(default_factory=dict)
    steps: dict[int, list[_Step]] = field(default_factory=dict)
    sittings: list[Sitting] = field(default_factory=list)

    def standing(self, piece: int) -> MasteryStatus:
        """How the fill stands in the log."""
        return mastery_status(self.steps.get(piece, ()))

    @property
    def seconds(self) -> Fraction:
        """How long all was played."""
        return sum((plan.seconds for plan in self.plans), Fraction(0))

    @property
    def begun(self) -> set[int]:
        """The fills that were played at least once."""
        return {sitting.piece for sitting in self.sittings}

    @property
    def mastered(self) -> list[Piece]:
        """The fills that are mastered at the end, whether they hold or not."""
        return [piece for piece in self.pieces if self.standing(piece.id).mastered_at]

    @property
    def holding(self) -> list[Piece]:
        """The fills that hold at the end."""
        return [piece for piece in self.pieces if self.standing(piece.id).held_at]

    @property
    def came_back(self) -> int:
        """How many re-checks were not clean."""
        return sum(step.kind == NOT_CLEAN for steps in self.steps.values() for step in steps)

    @property
    def clean_in_truth(self) -> float:
        """Of the fills that hold, the part that would come out clean cold, by the model."""
        if not self.holding:
            return 0.0
        return mean(self.skills[piece.id].chance(piece.highest) for piece in self.holding)

    @property
    def eased(self) -> list[Item]:
        """What the plans had a simpler one of."""
        return [item for plan in self.plans for item in plan.items if item.easier]

    @property
    def most_new(self) -> int:
        """The most fills that were new on one day."""
        return max((len(_new(plan)) for plan in self.plans), default=0)

    @property
    def most_over(self) -> Fraction:
        """By how many seconds a day asked for more than its minutes, at most; 0 or less: never."""
        return max(plan.seconds - 60 * plan.minutes for plan in self.plans)


def _new(plan: Plan) -> set[int]:
    return {item.piece.id for item in plan.items if item.part is PlanPart.NEW}


def simulate_weeks(learner: Learner, seed: int = 0) -> Weeks:
    """Let the twelve weeks pass; the same seed gives the same weeks."""
    weeks = Weeks(learner)
    chance = Random(f"{learner.name}, {seed}")  # noqa: S311 - reproducible on purpose
    fills = _fills(seed)
    for number in range(DAYS):
        day = _START + number * _DAY
        if number % 7 == 0:
            _lesson(weeks, fills, day)
        played = chance.random() < learner.chances[day.weekday()]
        touched = _practise(weeks, day, chance) if played else set()
        for piece, skill in weeks.skills.items():
            skill.sleep(played=piece in touched)
    return weeks


def _fills(seed: int) -> list[Fill]:
    """Enough different fills for a year."""
    kit, rule_set = Kit.standard(), RuleSet.from_json(_RULES)
    spaces = [FillSpace(Bar.from_counts(counts), rule_set, kit) for counts in _COUNTS]
    return [fill for space in spaces for fill in space.sample(DAYS // len(_COUNTS), seed)]


def _lesson(weeks: Weeks, fills: Sequence[Fill], day: date) -> None:
    waiting = len(weeks.pieces) - len(weeks.mastered)
    for _ in range(min(_GIVEN, max(0, _ENOUGH - waiting))):
        number = len(weeks.pieces)
        goal = 76 + 4 * (number % 5)
        weeks.pieces.append(Piece(number, fills[number], 4, goal, day))
        weeks.skills[number] = Skill(weeks.learner, goal)


def _practise(weeks: Weeks, day: date, chance: Random) -> set[int]:
    """Play the day's plan; returns which fills were played."""
    learner = weeks.learner
    stand = [
        replace(piece, mastered_on=weeks.standing(piece.id).mastered_on) for piece in weeks.pieces
    ]
    plan = make_plan(stand, weeks.sittings, day, learner.minutes, mixed=learner.mixed)
    weeks.plans.append(plan)
    played = [item for item in plan.items if not item.groove_alone]
    for item in played:
        _play(weeks, item, day, chance)
    for piece in {item.piece.id: item.piece for item in played}.values():
        _maybe_master(weeks, piece, day)
    return {item.piece.id for item in played}


def _play(weeks: Weeks, item: Item, day: date, chance: Random) -> None:
    piece = item.piece
    eased = item.easier is not None
    hard = item.tempo * (EASED if eased else 1)
    clean = weeks.skills[piece.id].play(hard, item.loops, chance)
    is_check = item.part is PlanPart.CHECK
    weeks.sittings.append(
        Sitting(piece.id, day, item.tempo, item.loops, clean, recheck=is_check, easier=eased)
    )
    if is_check:
        _happened(weeks, piece, CLEAN if came_out_clean(item.loops, clean) else NOT_CLEAN, day)


def _maybe_master(weeks: Weeks, piece: Piece, day: date) -> None:
    """Call it mastered where it came out clean at the tempo asked for, often enough that day."""
    fast = [
        sitting
        for sitting in weeks.sittings
        if (sitting.piece, sitting.day) == (piece.id, day)
        and not (sitting.recheck or sitting.easier)
        and (sitting.tempo or 0) >= piece.highest
    ]
    loops = sum(sitting.loops or 0 for sitting in fast)
    clean = sum(sitting.clean_loops or 0 for sitting in fast)
    open_still = weeks.standing(piece.id).mastered_at is None
    if open_still and loops >= _ENOUGH_LOOPS and came_out_clean(loops, clean):
        _happened(weeks, piece, MASTERED, day)


def _happened(weeks: Weeks, piece: Piece, kind: str, day: date) -> None:
    steps = weeks.steps.setdefault(piece.id, [])
    at = datetime.combine(day, time(18, len(steps) % 60), tzinfo=UTC)
    steps.append(_Step(kind, day, at))
