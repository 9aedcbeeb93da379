"""Two requests at the same moment do what one after the other would do."""

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from decimal import Decimal
from threading import Barrier

import pytest
from django.db import connection
from django.db.models import Model
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from assignments.assigning.assign import AlreadyTheirsError, AssignmentSpec, assign_fills
from assignments.mastery import CONFIRMED, MASTERED, TAKEN_BACK
from assignments.models import AssignedVariation, Assignment, PracticeEntry
from assignments.practice.practice_log import Practised, confirm, log, mark_mastered, take_back
from rhythms.models import Ladder, LadderStep, SourceBar
from studio.models import Kit, Membership, SignInLink, Student, Teacher
from studio.once import TOKEN
from tests import cast
from tests.assignments.assigning.test_assign_page import drawn, on_page
from tests.assignments.making import COUNTS, first_fill, give, make_bar, make_rule_set

pytestmark = pytest.mark.django_db(transaction=True)
AT_ONCE = 4


def outcomes(act: Callable[[], object]) -> list[object]:
    """What `act` returns, or the exception it raises, when several threads do it at once."""
    start = Barrier(AT_ONCE)

    def one(_: int) -> object:
        try:
            start.wait(timeout=10)
            return act()
        except AlreadyTheirsError as error:
            return error
        finally:
            connection.close()

    with ThreadPoolExecutor(AT_ONCE) as pool:
        return list(pool.map(one, range(AT_ONCE)))


def clicks(
    clients: Sequence[Client], page: str, fields: dict, tokens: Sequence[str] = ()
) -> list[HttpResponse]:
    """The answers to one form, sent by each of these at the same moment."""
    start = Barrier(len(clients))

    def one(number: int) -> HttpResponse:
        browser = Client()
        browser.cookies = clients[number].cookies
        own = {TOKEN: tokens[number]} if tokens else {}
        try:
            start.wait(timeout=10)
            return browser.post(page, fields | own)
        finally:
            connection.close()

    with ThreadPoolExecutor(len(clients)) as pool:
        return list(pool.map(one, range(len(clients))))


def filled_in(student: Student) -> dict:
    """The assign page with all three steps filled in."""
    return {
        "bar": make_bar(student.studio).pk,
        "rule_set": make_rule_set(student.studio).pk,
        "students": [student.pk],
        "how_many": "3",
        "tempo": "88",
        "block_bars": "8",
        "seed": "5",
    }


def test_the_same_fills_are_handed_out_once(teacher, student):
    work = AssignmentSpec(make_bar(student.studio), make_rule_set(student.studio), 80)
    ended = outcomes(lambda: assign_fills(teacher, work, {student: (3, 4)}))
    assert sum(isinstance(end, AlreadyTheirsError) for end in ended) == AT_ONCE - 1
    assert AssignedVariation.objects.count() == 2


def test_mastered_at_once_is_one_step(student):
    fill = first_fill(give(student))
    outcomes(lambda: mark_mastered(AssignedVariation.objects.get(pk=fill.pk)))
    assert [step.kind for step in fill.mastery_events.all()] == [MASTERED]


def test_taken_back_at_once_is_one_step(student):
    fill = first_fill(give(student))
    mark_mastered(fill)
    outcomes(lambda: take_back(AssignedVariation.objects.get(pk=fill.pk)))
    assert [step.kind for step in fill.mastery_events.all()] == [MASTERED, TAKEN_BACK]


def test_confirmed_at_once_is_one_step(teacher, student):
    fill = first_fill(give(student))
    outcomes(lambda: confirm(AssignedVariation.objects.get(pk=fill.pk), teacher))
    assert [step.kind for step in fill.mastery_events.all()] == [CONFIRMED]


def test_two_clicks_on_assign_make_one_assignment_and_go_the_same_way(
    teacher, teacher_client, student
):
    fields = drawn(teacher_client, filled_in(student)) | {TOKEN: "of one page"}
    ended = clicks([teacher_client] * AT_ONCE, reverse("assignments:assign"), fields)
    assert [(end.status_code, end["Location"]) for end in ended] == [
        (302, reverse("assignments:student", args=[student.pk]))
    ] * AT_ONCE
    assert Assignment.objects.count() == 1


def test_two_teachers_at_once_each_give_fills_of_their_own(teacher, student):
    colleague = Teacher.objects.create_user("colleague@example.org", cast.PASSWORD)
    Membership.objects.create(studio=student.studio, teacher=colleague)
    clients = [cast.signed_in_teacher(each) for each in (teacher, colleague)]
    fields = drawn(clients[0], filled_in(student))
    page = reverse("assignments:assign")
    ended = clicks(clients, page, fields, tokens=["of one page", "of another"])
    late = next(k for k, end in enumerate(ended) if end.status_code == 200)
    clients[late].post(page, {**fields, **on_page(ended[late]), TOKEN: "of another"})
    given = AssignedVariation.objects.values_list("assignment__created_by", "rank")
    assert {teacher for teacher, _ in given} == {teacher.pk, colleague.pk}
    assert len({rank for _, rank in given}) == len(given) == 6


def test_two_clicks_on_a_form_make_one_thing(teacher_client, student, ladder):
    step = {f"ladder-{ladder.pk}-rule_set": make_rule_set(student.studio).pk}
    forms: list[tuple[str, list[int], dict, type[Model]]] = [
        ("studio:student-add", [], {"nickname": "Ada"}, Student),
        ("studio:kit-add", [], {"name": "Small", "surfaces": ["snare"]}, Kit),
        ("rhythms:ladder-new", [], {"name": "Second year"}, Ladder),
        ("rhythms:step-add", [ladder.pk], step, LadderStep),
        ("rhythms:bar-new", [], {"name": "Line 9", "counts": COUNTS, "meter": "4/4"}, SourceBar),
    ]
    for name, parts, fields, kind in forms:
        if kind is Student:
            names = ("kit_id", "handedness", "level", "mixing")
            fields |= {name.removesuffix("_id"): getattr(student, name) for name in names}
        before = kind._default_manager.count()
        ended = clicks([teacher_client] * 2, reverse(name, args=parts), {**fields, TOKEN: name})
        assert [end.status_code for end in ended] == [302, 302], name
        assert kind._default_manager.count() == before + 1, name


def test_of_two_clicks_on_a_new_link_the_one_that_is_shown_works_alone(teacher_client, student):
    page = reverse("studio:links", args=[student.pk])
    clicks([teacher_client] * 2, page, {TOKEN: "of one page"})
    assert SignInLink.objects.working().filter(student=student).count() == 1


def test_the_same_entry_is_logged_once(student):
    practised = Practised(Decimal(5), date(2026, 11, 25))
    ended = outcomes(lambda: log(student, practised))
    assert sum(is_new for _, is_new in ended) == 1
    assert PracticeEntry.objects.count() == 1
