"""What makes a comfort zone be made again, and who makes it."""

from random import Random

import pytest
from django.db import OperationalError, transaction
from django.urls import reverse
from django.utils import timezone

from assignments.comfort import zone_making
from assignments.comfort.comfort_zones import DAYS, comfort_zone_of
from assignments.comfort.playing_record import COMFORT_VERSION
from assignments.comfort.zone_changes import ask_for_outdated
from assignments.comfort.zone_making import refresh, students_outdated
from assignments.days import today_in
from assignments.models import KeptZone
from rhythms.engine.comfort import FEWEST
from studio import task_queue
from tests import cast
from tests.assignments.comfort_making import DAY, anything, look_at, take_of, walk_down, walks
from tests.assignments.making import PARADIDDLE, give, make_bar, make_rule_set
from tests.assignments.pages import text

pytestmark = pytest.mark.django_db


@pytest.fixture
def today(studio):
    return today_in(studio)


@pytest.fixture
def looked_at(student, today):
    """A student with a zone that rests on what was played and given."""
    give(student, 1, bar=make_bar(student.studio), rule_set=make_rule_set(student.studio))
    walks(student, today)
    return KeptZone.objects.get(student=student)


def _another_take(student):
    take_of(student, today_in(student.studio), [walk_down()])


def _a_take_removed(student):
    student.takes.first().remove()


def _something_given(student):
    rules = make_rule_set(student.studio, PARADIDDLE, name="Paradiddle")
    give(student, 1, rule_set=rules)


def _an_assignment_removed(student):
    student.assignments.get().remove()


def _other_hands(student):
    student.handedness = "left"
    student.save()


def _another_kit(student):
    student.kit.surfaces = student.kit.surfaces[:-1]
    student.kit.save()


def _another_bar(student):
    bar = student.assignments.get().source_bar
    bar.counts = "1 & 2 & 3 e & a 4 e & a"
    bar.save()


def _other_rules(student):
    rules = student.assignments.get().rule_set
    rules.rules = PARADIDDLE
    rules.save()


CHANGES = [
    _another_take,
    _a_take_removed,
    _something_given,
    _an_assignment_removed,
    _other_hands,
    _another_kit,
    _another_bar,
    _other_rules,
]


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.__name__[1:])
def test_the_request_that_changes_something_has_the_zone_made_again(
    student, looked_at, change, django_capture_on_commit_callbacks
):
    with django_capture_on_commit_callbacks(execute=True):
        change(student)
    kept = KeptZone.objects.get(student=student)
    assert kept.key != looked_at.key
    assert kept.made_of == kept.changes


@pytest.mark.django_db(transaction=True)
def test_whoever_changes_something_does_not_wait_for_the_zone(
    student, looked_at, student_client, monkeypatch
):
    waiting = []
    monkeypatch.setattr(task_queue, "after_answer", waiting.append)
    _remove_a_take(student, student_client)
    assert students_outdated(student.studio) == [student.pk]
    (work,) = waiting
    work()
    assert students_outdated(student.studio) == []


@pytest.mark.django_db(transaction=True)
def test_once_it_is_answered_the_zone_is_current(student, looked_at, student_client):
    _remove_a_take(student, student_client)
    assert students_outdated(student.studio) == []
    assert KeptZone.objects.get(student=student).changes == looked_at.changes + 1


def _remove_a_take(student, student_client):
    take = student.takes.first()
    answer = student_client.post(reverse("assignments:take-remove", args=[take.pk]))
    assert answer.status_code == 302


def test_what_is_about_many_students_is_left_to_whoever_asks(
    studio, django_capture_on_commit_callbacks
):
    """A request is not held up by the zones of a whole studio."""
    students = [cast.add_student(studio, f"Number {at}") for at in range(12)]
    for student in students:
        look_at(student)
    with django_capture_on_commit_callbacks(execute=True):
        studio.kits.get().save()
    assert students_outdated(studio) == [student.pk for student in students]


@pytest.mark.django_db(transaction=True)
def test_a_zone_that_cannot_be_marked_breaks_no_request(student, monkeypatch, caplog):
    """What was changed is kept by then, and what else waits for that goes on."""

    def refuse(*_):
        raise OperationalError("database is locked")

    monkeypatch.setattr(type(KeptZone.objects.all()), "outdate", refuse)
    went_on = []
    with transaction.atomic():
        student.nickname = "Ada"
        student.save()
        transaction.on_commit(lambda: went_on.append(True))
    assert went_on
    assert "ChangeOfZones.mark" in caplog.text


OUTDATED = [
    {"version": "of older code"},
    {"made_of": 0, "changes": 1},
    {"moves_on": timezone.localdate() - DAY},
    {"day": None},
]


@pytest.mark.parametrize("state", OUTDATED, ids=lambda state: next(iter(state)))
def test_what_is_outdated_is_so_to_pages_and_to_the_worker(student, looked_at, today, state):
    assert students_outdated(student.studio) == []
    KeptZone.objects.filter(student=student).update(**state)
    assert students_outdated(student.studio) == [student.pk]
    assert not KeptZone.objects.get(student=student).is_current(today, COMFORT_VERSION)


def test_a_zone_is_current_until_the_day_on_which_the_same_takes_say_something_else(
    student, today, monkeypatch
):
    """Day by day, until all takes are too old to be in it."""
    random = Random(4)
    for ago in (0, 0, 0, 0, 1, 3, 8, 8, 16, 19, 20, 21, 22, 22, 23, 25, 30, 30, 33, 35, 41):
        take_of(student, today - ago * DAY, [walk_down(), anything(student, random)])

    def said_on(day):
        monkeypatch.setattr(zone_making, "today_in", lambda _studio: day)
        look_at(student)
        kept = KeptZone.objects.get(student=student)
        return kept, (kept.takes, kept.summary)

    kept, said = said_on(today)
    for ahead in range(1, DAYS + 1):
        day = today + ahead * DAY
        was_current = kept.is_current(day, COMFORT_VERSION)
        anew, says = said_on(day)
        if was_current:
            assert says == said
        kept, said = anew, says
    assert (kept.takes, kept.moves_on) == (0, None)


@pytest.mark.parametrize("seen", ["before", "after"])
def test_a_change_while_a_zone_is_made_is_taken_in(student, looked_at, monkeypatch, seen):
    """Whether the slower worker, which read the takes before it, writes first or last."""
    real = zone_making._worked_out

    def overtaken(*about):
        monkeypatch.setattr(zone_making, "_worked_out", real)
        made = real(*about)
        _another_take(student)
        KeptZone.objects.outdate([student.pk])
        if seen == "before":
            refresh(student)
        return made

    _another_take(student)
    KeptZone.objects.outdate([student.pk])
    monkeypatch.setattr(zone_making, "_worked_out", overtaken)
    refresh(student)
    kept = KeptZone.objects.get(student=student)
    if seen == "after":
        assert kept.made_of == kept.changes - 1
        refresh(student)
        kept.refresh_from_db()
    assert (kept.made_of, kept.takes) == (kept.changes, looked_at.takes + 2)


def test_many_changes_of_one_transaction_are_one(
    student, looked_at, django_capture_on_commit_callbacks
):
    with django_capture_on_commit_callbacks(execute=True):
        for _ in range(3):
            _another_take(student)
    assert KeptZone.objects.get(student=student).changes == looked_at.changes + 1


def test_a_zone_asked_for_by_a_clock_that_was_ahead_is_asked_for_again(
    student, unseen, today, monkeypatch
):
    monkeypatch.setattr(task_queue, "has_worker", lambda: True)
    asked = []
    monkeypatch.setattr(task_queue, "enqueue_on_commit", lambda *about: asked.append(about))
    KeptZone.objects.update_or_create(
        student=student, defaults={"asked_at": timezone.now() + 7 * DAY}
    )
    ask_for_outdated({student: comfort_zone_of(student, today)})
    ask_for_outdated({student: comfort_zone_of(student, today)})
    assert len(asked) == 1


@pytest.fixture
def unseen(student, today):
    """Takes enough that nobody has looked at."""
    for _ in range(FEWEST):
        take_of(student, today, [walk_down()])


PAGES = {
    "assignments:student-comfort": "assignments:student-comfort-look",
    "assignments:my-playing": "assignments:my-playing-look",
    "assignments:comfort": "assignments:comfort-look",
}


@pytest.mark.parametrize("page", PAGES)
def test_a_page_says_what_was_not_looked_at_and_has_it_done(
    page, student, unseen, today, teacher_client, student_client, django_capture_on_commit_callbacks
):
    client = student_client if page == "assignments:my-playing" else teacher_client
    parts = [student.pk] if page == "assignments:student-comfort" else []
    look = reverse(PAGES[page], args=parts)
    shown = text(client.get(reverse(page, args=parts)))
    assert f'action="{look}"' in shown
    assert KeptZone.objects.exclude(day=None).count() == 0
    with django_capture_on_commit_callbacks(execute=True):
        client.post(look)
    assert "Look at the takes" not in text(client.get(reverse(page, args=parts)))
    assert comfort_zone_of(student, today).zone is not None


def test_a_zone_of_an_earlier_day_is_shown_with_that_day(student, today, teacher_client):
    walks(student, today)
    KeptZone.objects.update(day=today - 2 * DAY, moves_on=today - DAY)
    page = text(teacher_client.get(reverse("assignments:student-comfort", args=[student.pk])))
    assert f"As of {today - 2 * DAY:%-d %B}; what came after is not in it yet." in page
    assert "All fills are one and the same, or nearly." in page
    assert f"on {today - 2 * DAY:%-d %B}" in text(teacher_client.get(reverse("assignments:roster")))
