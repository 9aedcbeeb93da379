"""Every list that grows: a page at a time, and as many questions for many lines as for few."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from rhythms.models import TeacherTake
from studio.models import Kit, SignInLink
from studio.pagination import LINES
from tests import cast
from tests.assignments import making
from tests.assignments.comfort_making import take_of, walk_down
from tests.assignments.making import first_fill, give, logged, today_of

pytestmark = pytest.mark.django_db

FEW = 3


@dataclass(frozen=True)
class LongList:
    """A list: its address, who reads it, how a line is added, how many stand on a page."""

    name: str
    add: Callable
    who: str = "teacher"
    about: Callable | None = None
    context: str = "page"
    lines: int = LINES


def _student(student, number):
    cast.add_student(student.studio, f"Number {number}")


def _entry(student, number):
    logged(student, 1, today_of(student))


def _take(student, number):
    take_of(student, today_of(student), [walk_down()])


def _bar(student, number):
    making.make_bar(student.studio, name=f"More {number}")


def _groove(student, number):
    making.make_groove(student.studio, name=f"More {number}")


def _rule_set(student, number):
    making.make_rule_set(student.studio, name=f"More {number}")


def _ladder(student, number):
    rules = student.studio.rule_sets.first()
    student.studio.ladders.create(name=f"More {number}").add_step(rules)


def _kit(student, number):
    Kit.objects.create(studio=student.studio, name=f"More {number}")


def _link(student, number):
    SignInLink.issue(student)


def _held(student, number):
    first_fill(give(student, 1, seed=number)).record_step("confirmed", today_of(student))


def _tempo(student, number):
    logged(student, 1, today_of(student), first_fill(give(student, 1, seed=number)), tempo=80)


def _assignment(student, number):
    give(student, 1, seed=number)


def _teacher_take(student, number):
    TeacherTake.objects.create(studio=student.studio, key=str(number), name="Mine", fills=[{}])


def _change(student, number):
    entry = student.entries.first() or logged(student, 1, today_of(student))
    entry.changes.create(kind="edited", before=entry.snapshot)


def _removed(student, number):
    Kit.objects.create(studio=student.studio, name=f"Gone {number}").remove()


def _themselves(student):
    return student.pk


def _a_bar(student):
    return student.studio.bars.first().pk


def _an_entry(student):
    return student.entries.first().pk


LISTS = [
    LongList("assignments:roster", _student),
    LongList("assignments:progress", _student),
    LongList("assignments:comfort", _student),
    LongList("studio:students", _student),
    LongList("studio:kits", _kit),
    LongList("studio:removed", _removed, lines=50),
    LongList("studio:links", _link, about=_themselves),
    LongList("rhythms:bars", _bar),
    LongList("rhythms:grooves", _groove),
    LongList("rhythms:rule-sets", _rule_set),
    LongList("rhythms:ladders", _ladder, lines=5),
    LongList("rhythms:bar", _rule_set, about=_a_bar),
    LongList("rhythms:style", _teacher_take, context="takes"),
    LongList("assignments:student", _entry, about=_themselves, context="entries", lines=8),
    LongList("assignments:student", _assignment, about=_themselves, context="assignments", lines=6),
    LongList("assignments:student", _assignment, about=_themselves, context="fills", lines=40),
    LongList("assignments:student-takes", _take, about=_themselves, context="takes"),
    LongList("assignments:takes", _take, who="student", context="takes"),
    LongList("assignments:my-log", _entry, who="student", context="entries"),
    LongList("assignments:my-progress", _held, who="student", context="holding"),
    LongList("assignments:my-progress", _tempo, who="student", context="climbs", lines=6),
    LongList("assignments:entry-edit", _change, who="student", about=_an_entry, context="changes"),
    LongList("assignments:my-fills", _assignment, who="student", lines=40),
]


def each_list(test):
    ids = [f"{one.name.partition(':')[2]} {one.context}" for one in LISTS]
    return pytest.mark.parametrize("one", LISTS, ids=ids)(test)


@dataclass(frozen=True)
class Asked:
    """What the first page of a list shows once it has a line too many, and the questions it
    took with few lines and with many."""

    lines: int
    goes_on: bool
    links_on: bool
    few: int
    many: int


@cache
def asked(one: LongList) -> Asked:
    """Made once for all that is to be known of a list: its lines take time."""
    studio, teacher = cast.open_a_studio("Room 4", "ines@example.org")
    student = cast.add_student(studio, "Mira", lesson_weekday=2)
    client = (
        cast.signed_in_teacher(teacher) if one.who == "teacher" else cast.signed_in_student(student)
    )
    for number in range(FEW):
        one.add(student, number)
    _, few = _ask(one, client, student)
    for number in range(FEW, one.lines + 1):
        one.add(student, number)
    answer, many = _ask(one, client, student)
    page = answer.context[one.context]
    link = f'href="{page.after.replace("&", "&amp;")}"'
    return Asked(len(page), page.has_next(), link in answer.content.decode(), few, many)


def _ask(one: LongList, client, student):
    """The answer of a list's page, and how many questions it took."""
    address = reverse(one.name, args=[one.about(student)] if one.about else [])
    client.get(address)
    with CaptureQueriesContext(connection) as queries:
        return client.get(address), len(queries)


@each_list
def test_a_list_is_shown_a_page_at_a_time(one):
    shown = asked(one)
    assert (shown.lines, shown.goes_on, shown.links_on) == (one.lines, True, True)


@each_list
def test_many_lines_cost_as_many_questions_as_few(one):
    assert asked(one).many == asked(one).few
