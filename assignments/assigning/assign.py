"""Handing out fills: drawing them from their space, giving them, taking them back."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from django.db import transaction

from assignments.assigning.fills_had import RanksHad, fills_had, known_otherwise, ranks_in
from assignments.assigning.pick_fills import effort_in_words, reason
from assignments.blocks import FIRST_OF_THE_METER, GrooveChoice
from assignments.comfort.comfort_zones import favourites
from assignments.comfort.way_out_wishes import way_out_wishes
from assignments.fill_names import NamedFills, named_fills
from assignments.models import AssignedVariation, Assignment
from assignments.models.assignment import last_beats
from rhythms.engine import Bar, Fill, FillSpace, Kit
from rhythms.engine.bars.feel import STRAIGHT, Feel
from rhythms.engine.comfort.way_out_wish import WayOutWish
from rhythms.engine.fills.hands import StickingStyle, stuck
from rhythms.engine.picking import Held, appraise
from rhythms.fill_spaces import spaces_for
from rhythms.models import Rendering, RuleSet, SourceBar, Stickings
from rhythms.notation.fill_name import fill_name
from rhythms.renderings.drawings import SMALL
from rhythms.renderings.rendering_store import drawn_as, renderings_for
from studio.models import Student, Teacher

MOST_FILLS = 24
#: The latest of the fills that a student has mastered say what they hold.
MOST_HELD = 24


@dataclass(frozen=True)
class AssignmentSpec:
    """What is to be played, and how: tempo in beats a minute, groove and fill in bars.

    With `beats` the fill takes the last ones of the bar only; with `away` it is to lead each
    student out of their comfort zone.
    """

    source_bar: SourceBar
    rule_set: RuleSet
    tempo: int
    block_bars: int = 4
    due_on: date | None = None
    note: str = ""
    away: bool = False
    groove: GrooveChoice = FIRST_OF_THE_METER
    dial: str = Assignment.Dial.A_STEP_OUT
    sticking: str = Stickings.AS_TAUGHT
    beats: int | None = None
    feel: Feel = STRAIGHT
    sets_up: bool = False

    @property
    def bar(self) -> Bar:
        """The bar that the fills are played in."""
        return last_beats(self.source_bar, self.beats)

    @property
    def bar_name(self) -> str:
        """What the student calls it: `Reading 12`, `Reading 12, last 2 beats`."""
        if not self.beats:
            return self.source_bar.name
        last = "last beat" if self.beats == 1 else f"last {self.beats} beats"
        return f"{self.source_bar.name}, {last}"


class AlreadyTheirsError(Exception):
    """Raised where a student would get a fill that they already have."""

    def __init__(self, student: Student, ranks: Collection[int]) -> None:
        super().__init__(f"{student} already has {len(ranks)} of these fills.")
        self.student = student
        self.ranks = frozenset(ranks)


def held_by(students: Collection[Student]) -> dict[Student, tuple[Held, ...]]:
    """Return the fills each student has mastered, the newest first. One query for all students."""
    held: dict[int, list[Held]] = {student.pk: [] for student in students}
    kept = AssignedVariation.objects.kept().filter(assignment__student__in=held)
    mastered = kept.exclude(mastered_at=None).order_by("-mastered_at", "-pk")
    names = ("tempo", "swing", "swing_unit")
    rows = mastered.values_list("assignment__student", "fill", *(f"assignment__{n}" for n in names))
    for pk, stored, tempo, swing, unit in rows:
        if len(held[pk]) < MOST_HELD:
            held[pk].append(Held(Fill.from_json(stored), tempo, Feel(swing, unit)))
    return {student: tuple(held[student.pk]) for student in students}


@transaction.atomic
def assign_fills(
    teacher: Teacher, work: AssignmentSpec, chosen: Mapping[Student, Sequence[int]]
) -> list[Assignment]:
    """Give each student the fills with these numbers in their own space; all or nothing.

    Their engravings are asked for once this is committed. Raises AlreadyTheirsError where a
    student has one of them, and RankError where a number is not in the student's space.
    """
    locked = Student.objects.select_for_update().filter(pk__in=[s.pk for s in chosen])
    list(locked.values_list("pk"))  # two teachers, or a double click, assign one after the other
    spaces = spaces_for(work.bar, work.rule_set, chosen)
    known, had = fills_had(chosen), dict[Student, RanksHad]()
    for student, ranks in chosen.items():
        had[student] = ranks_in(spaces[student], known[student], work.feel)
        if twice := had[student].theirs.intersection(ranks):
            raise AlreadyTheirsError(student, twice)
    zones, held = favourites(chosen), held_by(chosen)
    wishes = way_out_wishes(chosen) if work.away else {}
    named = named_fills(chosen, work.source_bar)
    gifts = (
        Gift(
            student,
            spaces[student],
            ranks,
            [one.fill for one in known[student]],
            had[student],
            zones[student],
            held[student],
            named[student.pk],
            wishes.get(student),
        )
        for student, ranks in chosen.items()
    )
    return [_give(teacher, work, gift) for gift in gifts]


class Gift(NamedTuple):
    """The fills with these numbers, and what the student knows, has of the space, falls back on,
    holds, and has on the bar by name; how they lead out of that, where they are to.
    """

    student: Student
    space: FillSpace
    ranks: Sequence[int]
    known: Sequence[Fill]
    had: RanksHad
    favourites: Sequence[Fill]
    held: Sequence[Held]
    named: NamedFills
    wish: WayOutWish | None = None


def _give(teacher: Teacher, work: AssignmentSpec, gift: Gift) -> Assignment:
    space = gift.space
    assignment = Assignment.objects.create(
        studio_id=gift.student.studio_id,
        student=gift.student,
        source_bar=work.source_bar,
        rule_set=work.rule_set,
        bar_name=work.bar_name,
        rule_set_name=work.rule_set.name,
        sentences=list(space.rule_set.sentences_on(space.kit)),
        kit=space.kit.to_json(),
        tempo=work.tempo,
        beats=work.beats,
        swing=work.feel.swing,
        swing_unit=work.feel.unit,
        block_bars=work.block_bars,
        dial=work.dial,
        sticking=work.sticking,
        groove=work.groove.name,
        groove_counts=work.groove.counts,
        groove_kept=work.groove.kept,
        sets_up=work.sets_up,
        due_on=work.due_on,
        note=work.note,
        away_from=[fill.to_json() for fill in gift.favourites] if work.away else [],
        fills_given=len(gift.ranks),
        created_by=teacher,
    )
    fills = AssignedVariation.objects.bulk_create(_fills_of(assignment, work, gift))
    drawn_as(SMALL, [fill.rendering for fill in fills])
    return assignment


def _fills_of(
    assignment: Assignment, work: AssignmentSpec, gift: Gift
) -> Iterator[AssignedVariation]:
    space, known = gift.space, [*gift.favourites, *gift.known]
    fills = [space.fill(rank) for rank in gift.ranks]
    sticking = StickingStyle(work.sticking)
    kits = [space.kit] * len(fills)
    feel = "" if work.feel.is_straight else work.feel.words
    engraved = engravings_of(fills, kits, work.tempo, sticking, work.feel)
    for position, (rank, fill, rendering) in enumerate(
        zip(gift.ranks, fills, engraved, strict=True), start=1
    ):
        picked = appraise(fill, space.kit, known, work.tempo, sticking, gift.held, work.feel)
        had = gift.had.otherwise.get(rank)
        otherwise = known_otherwise(had, space, work.feel) if had else ""
        name = fill_name(fill, gift.named, feel)
        gift.named[name] = fill
        yield AssignedVariation(
            assignment=assignment,
            position=position,
            rank=rank,
            space_size=space.size,
            fill=fill.to_json(),
            name=name,
            rendering=rendering,
            top_tempo=int(picked.top_tempo),
            effort=effort_in_words(picked, work.tempo),
            reason=reason(picked, work.tempo, first=not known, otherwise=otherwise, wish=gift.wish),
        )


def engravings_of(
    fills: Sequence[Fill],
    kits: Sequence[Kit],
    tempo: int,
    sticking: StickingStyle,
    feel: Feel = STRAIGHT,
) -> list[Rendering]:
    """Return the fills as students see them: counts under the notes, the hands, the feel's sign.

    Where the rules leave the hands open, they are filled in so on the fill's kit at `tempo`,
    in that feel.
    """
    handed = zip(fills, kits, strict=True)
    played = [stuck(fill, kit, tempo, sticking, feel) for fill, kit in handed]
    return renderings_for(played, counts=True, feel=feel)
