"""The lessons of a student: what they were given, week after week."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import islice
from typing import Any

from assignments.assigning.assign import AssignmentSpec, assign_fills
from assignments.assigning.fills_had import fills_had, ranks_had
from assignments.assigning.pick_fills import PickContext, pick_ranks
from assignments.blocks import GrooveChoice
from assignments.comfort.zone_making import favourites_on
from assignments.days import last_lesson
from assignments.demo.backdating import LESSON, backdate, moment
from assignments.demo.demo_people import Library
from assignments.demo.diary import DiaryPiece
from assignments.demo.scenario import WEEKS, Lesson
from assignments.models import AssignedVariation, Assignment
from assignments.student_grooves import grooves_of
from rhythms.engine import Fill, FillSpace, Meter, draw
from rhythms.engine.fills.playability import fits_as_taught
from rhythms.engine.prior.drawing import A_STEP_OUT
from rhythms.fill_spaces import space_for
from studio.models import Student, Teacher

_WEEK = timedelta(weeks=1)
_DUE_AFTER = 3 * _WEEK
#: Fills drawn for each one given: some are too fast, or theirs already.
_DRAWN = 4
#: Numbers of pieces that were given besides the course.
_LATER = 1000


def lesson_days(student: Student, today: date) -> list[date]:
    """Return the day of each of the weekly lessons, the last one before today."""
    last = last_lesson(student, today)
    return [last - (WEEKS - 1 - week) * _WEEK for week in range(WEEKS)]


def give(
    teacher: Teacher, student: Student, lessons: Sequence[Lesson], library: Library, today: date
) -> dict[DiaryPiece, AssignedVariation]:
    """Give the student what each lesson brings; returns it piece by piece, oldest first."""
    days = lesson_days(student, today)
    given: dict[DiaryPiece, AssignedVariation] = {}
    for lesson in lessons:
        day = days[lesson.week]
        assignment = _assign(teacher, student, lesson, library, day)
        for variation in assignment.variations.all():
            given[DiaryPiece(len(given) + 1, day, lesson.tempo)] = variation
    return given


def lead_out(
    teacher: Teacher, student: Student, lesson: Lesson, library: Library, today: date
) -> dict[DiaryPiece, AssignedVariation]:
    """Give the student, in one of the lessons, fills that lead away from what they fall back on.

    Their takes up to then are there already.
    """
    day = lesson_days(student, today)[lesson.week]
    work, space = _work(lesson, library, day, student)
    known = favourites_on(student, day)
    ranks = _picked(student, lesson, space, known)
    (assignment,) = assign_fills(teacher, work, {student: ranks})
    assignment.away_from = [fill.to_json() for fill in known]
    assignment.save()
    backdate(assignment, created_at=moment(day, LESSON, student.studio.zone))
    variations = assignment.variations.all()
    return {DiaryPiece(_LATER + one.position, day, lesson.tempo): one for one in variations}


def _assign(
    teacher: Teacher, student: Student, lesson: Lesson, library: Library, day: date
) -> Assignment:
    work, space = _work(lesson, library, day, student)
    # The first ones are far apart: some students play nothing else.
    ranks = (_drawn if lesson.week else _picked)(student, lesson, space)
    (assignment,) = assign_fills(teacher, work, {student: ranks})
    backdate(assignment, created_at=moment(day, LESSON, student.studio.zone))
    return assignment


def _drawn(student: Student, lesson: Lesson, space: FillSpace) -> tuple[int, ...]:
    """New fills as drummers play them, in time for the tempo: sooner done than a choice of them."""
    had, kit, n = _had(student, lesson, space), space.kit, lesson.task.fills
    drawn = draw(space, _DRAWN * n, _seed(student, lesson), A_STEP_OUT)
    fitting = (fill for fill in drawn if fits_as_taught(fill, kit, lesson.tempo, lesson.task.feel))
    playable = map(space.rank, fitting)
    ranks = tuple(islice((rank for rank in playable if rank not in had), n))
    return ranks if len(ranks) == n else _picked(student, lesson, space)


def _picked(
    student: Student, lesson: Lesson, space: FillSpace, away_from: Sequence[Fill] = ()
) -> tuple[int, ...]:
    known = (one.fill for one in fills_had([student])[student])
    player = PickContext((*away_from, *known), lesson.tempo, feel=lesson.task.feel)
    leave_out = _had(student, lesson, space)
    seed = _seed(student, lesson)
    return pick_ranks(space, lesson.task.fills, player, seed, leave_out=leave_out).ranks


def _had(student: Student, lesson: Lesson, space: FillSpace) -> frozenset[int]:
    """Strokes that they have, whatever feel they have them in: a course brings new ones."""
    return ranks_had({student: space}, lesson.task.feel)[student].strokes


def _work(
    lesson: Lesson, library: Library, day: date, student: Student
) -> tuple[AssignmentSpec, FillSpace]:
    task = lesson.task
    work = AssignmentSpec(
        library.bars[task.bar],
        library.rule_sets[task.rule_set],
        lesson.tempo,
        beats=task.beats,
        feel=task.feel,
        due_on=day + _DUE_AFTER,
        note=lesson.note,
    )
    work = replace(work, **_groove(student, work.bar.meter.one_bar, lesson.week))
    return work, space_for(work.bar, work.rule_set, student)


def _groove(student: Student, meter: Meter, week: int) -> dict[str, Any]:
    """One of the student's grooves that fits, in turn; it leads into the fill where it can."""
    theirs = grooves_of([student.pk])[student.pk]
    fitting = [listed for listed in theirs if listed.pattern.groove.in_meter(meter)]
    if not fitting:
        return {}
    chosen = fitting[week % len(fitting)]
    return {"groove": GrooveChoice.of(chosen), "sets_up": bool(chosen.pattern.setup)}


def _seed(student: Student, lesson: Lesson) -> str:
    return f"{student.nickname}, week {lesson.week}"
