"""Every list that grows: a page at a time, and as many questions for many lines as for few."""

from collections.abc import Callable
from dataclasses import dataclass

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from studio.models import Kit, SignInLink
from studio.pagination import LINES
from tests import cast
from tests.assignments import making
from tests.assignments.comfort_making import take_of, walk_down

pytestmark = pytest.mark.django_db

FEW = 3


@dataclass(frozen=True)
class LongList:
    """A list: its address, who reads it, how a line is added, how many stand on a page."""

    name: str
    add: Callable
    who: str = "teacher"
    of_student: bool = False
    context: str = "page"
    lines: int = LINES


def _student(student, number):
    cast.add_student(student.studio, f"Number {number}")


def _entry(student, number):
    making.logged(student, 1, making.today_of(student))


def _take(student, number):
    take_of(student, making.today_of(student), [walk_down()])


def _bar(student, number):
    making.make_bar(student.studio, name=f"More {number}")


def _rule_set(student, number):
    making.make_rule_set(student.studio, name=f"More {number}")


def _ladder(student, number):
    rules = student.studio.rule_sets.first()
    student.studio.ladders.create(name=f"More {number}").add_step(rules)


def _kit(student, number):
    Kit.objects.create(studio=student.studio, name=f"More {number}")


def _link(student, number):
    SignInLink.issue(student)


def _assignment(student, number):
    making.give(student, 1, seed=number)


LISTS = [
    LongList("assignments:roster", _student),
    LongList("assignments:progress", _student),
    LongList("assignments:comfort", _student),
    LongList("studio:students", _student),
    LongList("studio:kits", _kit),
    LongList("studio:links", _link, of_student=True),
    LongList("rhythms:bars", _bar),
    LongList("rhythms:rule-sets", _rule_set),
    LongList("rhythms:ladders", _ladder, lines=5),
    LongList("assignments:student", _entry, of_student=True, context="entries"),
    LongList("assignments:student", _assignment, of_student=True, context="assignments"),
    LongList("assignments:student", _assignment, of_student=True, context="fills", lines=40),
    LongList("assignments:student-takes", _take, of_student=True, context="takes"),
    LongList("assignments:takes", _take, who="student", context="takes"),
    LongList("assignments:my-log", _entry, who="student", context="entries"),
    LongList("assignments:my-fills", _assignment, who="student", lines=40),
]


def each_list(test):
    ids = [f"{one.name.partition(':')[2]} {one.context}" for one in LISTS]
    return pytest.mark.parametrize("one", LISTS, ids=ids)(test)


@pytest.fixture
def ask(teacher_client, student_client, student):
    """The answer of a list's page, and how many questions it took."""

    def ask(one: LongList):
        client = {"teacher": teacher_client, "student": student_client}[one.who]
        address = reverse(one.name, args=[student.pk] if one.of_student else [])
        client.get(address)
        with CaptureQueriesContext(connection) as queries:
            return client.get(address), len(queries)

    return ask


@each_list
def test_a_list_is_shown_a_page_at_a_time(one, ask, student):
    for number in range(one.lines + 1):
        one.add(student, number)
    answer, _ = ask(one)
    page = answer.context[one.context]
    assert (len(page), page.has_next()) == (one.lines, True)
    assert f'href="{page.after.replace("&", "&amp;")}"' in answer.content.decode()


@each_list
def test_many_lines_cost_as_many_questions_as_few(one, ask, student):
    for number in range(FEW):
        one.add(student, number)
    _, few = ask(one)
    for number in range(FEW, one.lines + 1):
        one.add(student, number)
    _, many = ask(one)
    assert many == few
