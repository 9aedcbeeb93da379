"""The diary of a student as their log: minutes, tempi, and what is mastered and still holds."""

from collections import Counter
from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from decimal import Decimal
from random import Random

from assignments.demo.backdating import EVENING, backdate, moment
from assignments.demo.diary import Diary, DiaryPiece, DiarySitting
from assignments.mastery import MASTERED
from assignments.models import AssignedVariation, PracticeEntry
from assignments.practice.practice_log import Practised, log
from studio.models import Student

_MINUTES_APART = 10
_SECONDS_A_BLOCK = 4 * 4 * 60  # divided by the tempo
#: Days from one re-check to the next, as the planner has them about.
_GAPS = (1, 5, 17, 30)
_A_RECHECK = Decimal("0.5")
_RECHECK_LOOPS = 3


def copy_out(student: Student, diary: Diary, given: Mapping[DiaryPiece, AssignedVariation]) -> int:
    """Log every sitting and master every piece of the diary; returns how many entries there are."""
    chance = Random(f"{student.nickname}, clean")  # noqa: S311 - reproducible on purpose
    entries = [
        _logged(student, sitting, given[sitting.piece], chance) for sitting in diary.sittings
    ]
    for piece, day in diary.mastered_on.items():
        mastered_at = moment(day, EVENING, student.studio.zone, minute=90)
        given[piece].record_step(MASTERED, day, at=mastered_at)
        entries += _rechecked(student, diary, given[piece], day, chance)
    _backdate_entries(student, entries)
    return len(entries)


def _logged(
    student: Student, sitting: DiarySitting, variation: AssignedVariation, chance: Random
) -> PracticeEntry:
    loops = clean = None
    if sitting.tempo:
        loops = max(1, int(60 * sitting.minutes * sitting.tempo / _SECONDS_A_BLOCK))
        clean = min(loops, int(loops * chance.uniform(0.4, 1.1)))
    entry, _ = log(
        student,
        Practised(
            sitting.minutes,
            sitting.day,
            variation,
            sitting.tempo,
            sitting.note,
            loops=loops,
            clean_loops=clean,
        ),
    )
    return entry


def _rechecked(
    student: Student, diary: Diary, variation: AssignedVariation, mastered_on: date, chance: Random
) -> Iterator[PracticeEntry]:
    """Play it cold on days with practice, at growing gaps, until it slips."""
    days = sorted({sitting.day for sitting in diary.sittings})
    last = mastered_on
    for gap in _GAPS:
        due = last + timedelta(days=gap)
        last = next((day for day in days if day >= due), date.max)
        if last == date.max:
            return
        slipped = chance.random() < diary.habit.slips
        yield _recheck(student, variation, last, 1 if slipped else _RECHECK_LOOPS)
        if slipped:
            return


def _recheck(
    student: Student, variation: AssignedVariation, day: date, clean: int
) -> PracticeEntry:
    tempo = variation.assignment.tempo
    practised = Practised(
        _A_RECHECK,
        day,
        variation,
        tempo,
        loops=_RECHECK_LOOPS,
        clean_loops=clean,
        recheck=True,
    )
    entry, _ = log(student, practised)
    for event in entry.mastery_events.all():
        backdate(event, at=moment(day, EVENING, student.studio.zone, minute=95))
    variation.settle()
    return entry


def _backdate_entries(student: Student, entries: list[PracticeEntry]) -> None:
    """One after the other in the evening of their day."""
    before: Counter[date] = Counter()
    for entry in entries:
        minute = _MINUTES_APART * before[entry.day]
        entry.created_at = moment(entry.day, EVENING, student.studio.zone, minute)
        before[entry.day] += 1
    PracticeEntry.objects.bulk_update(entries, ["created_at"], batch_size=100)
