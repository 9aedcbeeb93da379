"""Practice that a device counts: one entry that grows, however its sends arrive."""

import uuid
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given
from hypothesis import strategies as some

from assignments.days import today_in
from assignments.models import PracticeEntry
from assignments.models.variation import State
from assignments.practice.counted_practice import Counted, keep_counted
from assignments.practice.practice_log import (
    LoggedDifferentlyError,
    Practised,
    change,
    log,
    mark_mastered,
)
from tests.thoroughness import examples

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("one_cast")]
DAY = date(2026, 11, 24)
FELT = ["", *PracticeEntry.Felt.values]


def counted(pk: uuid.UUID, seconds: int, *, answered=0, undone=False, **said) -> Counted:
    minutes = max(Decimal("0.1"), round(Decimal(seconds) / 60, 1))
    practised = Practised(**{"id": pk, "minutes": minutes, "day": DAY, "tempo": 88, **said})
    return Counted(practised, seconds, answered, undone)


def says(entry: PracticeEntry) -> tuple:
    entry.refresh_from_db()
    return entry.snapshot, entry.seconds, entry.answered, entry.removed_at is not None


@pytest.fixture
def pk() -> uuid.UUID:
    return uuid.uuid4()


@some.composite
def sends(draw) -> list[dict]:
    """What honest and mixed-up devices say of one entry: parts in any relation to each other."""
    loops = some.none() | some.integers(1, 9)

    def one() -> dict:
        through = draw(loops)
        clean = draw(some.none() | some.integers(0, through)) if through else None
        return {
            "seconds": draw(some.integers(1, 400)),
            "loops": through,
            "clean_loops": clean,
            "felt": draw(some.sampled_from(FELT)),
            "note": draw(some.sampled_from(["", "The last beat rushes.", "Better today."])),
            "tempo": draw(some.none() | some.integers(30, 240)),
            "answered": draw(some.integers(0, 3)),
            "undone": draw(some.booleans()),
            "day": DAY.replace(day=draw(some.integers(1, 28))),
        }

    return [one() for _ in range(draw(some.integers(1, 5)))]


@examples(150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(said=sends(), data=some.data())
def test_the_entry_is_the_same_whatever_the_order_and_however_often_it_is_sent(student, said, data):
    one, other = uuid.uuid4(), uuid.uuid4()
    again = data.draw(some.lists(some.sampled_from(said), max_size=4))
    entries = []
    for pk, order in ((one, said), (other, data.draw(some.permutations([*said, *again])))):
        for send in order:
            keep_counted(student, counted(pk, **send))
        entries.append(says(PracticeEntry.objects.get(pk=pk)))
    assert entries[0] == entries[1]


@examples(60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(lengths=some.lists(some.integers(1, 600), min_size=1, max_size=6))
def test_no_send_makes_an_entry_shorter(student, lengths):
    pk, heard = uuid.uuid4(), 0
    for seconds in lengths:
        entry, _ = keep_counted(student, counted(pk, seconds))
        heard = max(heard, seconds)
        assert entry.seconds == heard


def test_play_pause_and_play_on_is_one_entry(student, pk, variation):
    for seconds, loops in ((30, 2), (60, 4), (95, 6)):
        keep_counted(student, counted(pk, seconds, loops=loops, variation=variation))
    (entry,) = PracticeEntry.objects.all()
    assert (entry.loops, entry.minutes) == (6, Decimal("1.6"))


def test_the_tempo_is_that_of_the_longest_count(student, pk):
    keep_counted(student, counted(pk, 60, tempo=96))
    entry, _ = keep_counted(student, counted(pk, 30, tempo=80))
    assert entry.tempo == 96


def test_an_answer_stays_when_an_older_count_arrives_late(student, pk):
    keep_counted(student, counted(pk, 60, loops=4, clean_loops=4, felt="good", answered=1))
    entry, _ = keep_counted(student, counted(pk, 30, loops=2))
    assert (entry.clean_loops, entry.felt, entry.loops) == (4, "good", 4)


def test_the_later_answer_counts(student, pk):
    keep_counted(student, counted(pk, 60, loops=4, clean_loops=1, answered=2))
    entry, _ = keep_counted(student, counted(pk, 60, loops=4, clean_loops=4, answered=1))
    assert entry.clean_loops == 1


def test_a_note_said_again_takes_the_place_of_the_one_before(student, pk):
    for answered, note in ((1, "The last beat rushes."), (3, "It is the third."), (2, "Hm.")):
        keep_counted(student, counted(pk, 60, note=note, answered=answered))
    assert PracticeEntry.objects.get().note == "It is the third."


def test_a_note_stays_when_longer_practice_arrives_that_was_counted_before_it(student, pk):
    keep_counted(student, counted(pk, 60, loops=4, clean_loops=3, note="It rushes.", answered=1))
    entry, _ = keep_counted(student, counted(pk, 90, loops=6))
    assert (entry.note, entry.clean_loops, entry.loops) == ("It rushes.", 3, 6)


def test_undo_takes_it_out_of_the_log(student, pk):
    keep_counted(student, counted(pk, 60))
    keep_counted(student, counted(pk, 60, undone=True))
    assert not PracticeEntry.objects.kept().exists()


def test_what_arrives_after_undo_does_not_bring_it_back(student, pk):
    keep_counted(student, counted(pk, 60, undone=True))
    keep_counted(student, counted(pk, 90))
    assert not PracticeEntry.objects.kept().exists()


def test_an_undo_that_is_sent_again_leaves_alone_what_was_brought_back(student, pk):
    gone = counted(pk, 60, undone=True)
    entry, _ = keep_counted(student, gone)
    entry.restore()
    keep_counted(student, gone)
    assert PracticeEntry.objects.kept().count() == 1


def test_an_entry_changed_by_hand_stays_as_it_was_changed(student, pk):
    entry, _ = keep_counted(student, counted(pk, 60))
    change(entry, replace(counted(pk, 60).practised, minutes=Decimal(7)))
    entry, _ = keep_counted(student, counted(pk, 600))
    assert entry.minutes == 7


def test_growing_leaves_no_trail_of_changes(student, pk):
    for seconds in (30, 60, 90):
        entry, _ = keep_counted(student, counted(pk, seconds))
    assert not entry.changes.exists()


def test_an_entry_that_was_typed_does_not_grow(student, pk):
    log(student, counted(pk, 60).practised)
    with pytest.raises(LoggedDifferentlyError):
        keep_counted(student, counted(pk, 90))


def test_the_entry_of_another_student_does_not_grow(student, classmate, pk):
    keep_counted(classmate, counted(pk, 60))
    with pytest.raises(LoggedDifferentlyError):
        keep_counted(student, counted(pk, 90))


def test_an_entry_does_not_move_to_another_fill(student, pk, variation):
    keep_counted(student, counted(pk, 60, variation=variation))
    with pytest.raises(LoggedDifferentlyError):
        keep_counted(student, counted(pk, 90))


def test_a_recheck_counts_once_it_is_answered_and_not_when_it_is_undone(student, pk, variation):
    mark_mastered(variation)
    later = today_in(student.studio) + timedelta(days=1)
    cold = {"variation": variation, "recheck": True, "loops": 4, "day": later}
    keep_counted(student, counted(pk, 60, **cold))
    keep_counted(student, counted(pk, 60, **cold, clean_loops=0, answered=1))
    variation.refresh_from_db()
    assert variation.returned_at
    keep_counted(student, counted(pk, 60, **cold, clean_loops=0, answered=1, undone=True))
    variation.refresh_from_db()
    assert (variation.returned_at, variation.state) == (None, State.MASTERED)
