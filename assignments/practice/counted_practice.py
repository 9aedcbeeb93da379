"""Practice that a device counts while it is played: one entry that grows.

A device says again and again how far it has come, each time all of it, under one id. Sends may
be late, doubled or in any order, so each part only moves one way: to the longer, to the later
answer, to the earlier day. Whatever the order, the entry ends up the same (a join of a
semilattice; M. Shapiro et al., Conflict-free Replicated Data Types, 2011).
"""

from dataclasses import dataclass

from django.db import transaction

from assignments.models import EntryChange, PracticeEntry
from assignments.practice.practice_log import LoggedDifferentlyError, Practised, content_of
from studio.models import Student

MOST_ANSWERS = 999


@dataclass(frozen=True)
class Counted:
    """What a device has counted so far, after `seconds` of sound, and its `answered`-th answer.

    An answer is what `practised` says of clean times through and how it felt; `undone` takes
    the entry out of the log again.
    """

    practised: Practised
    seconds: int
    answered: int = 0
    undone: bool = False


@transaction.atomic
def keep_counted(student: Student, counted: Counted) -> tuple[PracticeEntry, bool]:
    """Return the entry, grown to hold what was counted, and whether it is new.

    One that was changed by hand stays as it is. Raises LoggedDifferentlyError where the id
    stands for something that does not grow, for another fill, or for another student.
    """
    started = {**content_of(counted.practised), "student": student}
    parts = {"seconds": counted.seconds, "answered": counted.answered}
    entry, is_new = PracticeEntry.objects.get_or_create(
        pk=counted.practised.id, defaults=started | parts
    )
    if not is_new:
        entry = PracticeEntry.objects.select_for_update().get(pk=entry.pk)
        if not _is_of(entry, student, counted):
            raise LoggedDifferentlyError
    is_by_hand = entry.changes.filter(kind=EntryChange.Kind.EDITED).exists()
    if is_new or (not is_by_hand and _grow(entry, counted)):
        entry.save()
        entry.apply_recheck()
    if counted.undone:
        _undo(entry)
    return entry, is_new


def _is_of(entry: PracticeEntry, student: Student, counted: Counted) -> bool:
    same_fill = entry.variation == counted.practised.variation
    return entry.student == student and same_fill and entry.seconds is not None


def _grow(entry: PracticeEntry, counted: Counted) -> bool:
    """Take over what goes further; return whether anything does."""
    sent, before = counted.practised, (entry.snapshot, entry.seconds, entry.answered)
    # The tempo is that of the longest count.
    longest = (entry.seconds or 0, entry.tempo or 0)
    if (counted.seconds, sent.tempo or 0) > longest:
        entry.seconds, entry.tempo = counted.seconds, sent.tempo
    entry.minutes = max(entry.minutes, sent.minutes)
    entry.loops = max(entry.loops or 0, sent.loops or 0) or None
    entry.day = min(entry.day, sent.day)
    entry.recheck = entry.recheck or sent.recheck
    entry.easier = entry.easier or sent.easier
    if _answer(counted.answered, sent) > _answer(entry.answered, entry):
        entry.answered = counted.answered
        entry.clean_loops, entry.felt, entry.note = sent.clean_loops, sent.felt, sent.note
    return before != (entry.snapshot, entry.seconds, entry.answered)


def _answer(number: int, said: Practised | PracticeEntry) -> tuple[int, int, str, str]:
    clean = -1 if said.clean_loops is None else said.clean_loops
    return number, clean, said.felt, said.note


def _undo(entry: PracticeEntry) -> None:
    """Remove it, once: what the student brought back is not removed by an old word."""
    if not entry.changes.filter(kind=EntryChange.Kind.REMOVED).exists():
        entry.remove()
