"""Names of a student's fills: given with them, kept, and changed by the teacher alone."""

from importlib import import_module

import pytest
from django.apps import apps

from assignments.fill_names import rename
from assignments.models import AssignedVariation
from rhythms.notation.fill_name import LONGEST, route_name
from tests.assignments.making import PARADIDDLE, first_fill, give, make_bar, make_rule_set

pytestmark = pytest.mark.django_db


def names(student) -> list[str]:
    theirs = AssignedVariation.objects.filter(assignment__student=student)
    return list(theirs.order_by("pk").values_list("name", flat=True))


def test_each_fill_is_named_when_it_is_given(student):
    give(student, 12)
    assert all(0 < len(name) <= LONGEST for name in names(student))


def test_it_is_called_by_its_number_and_its_name(student):
    fill = give(student, 3).variations.get(position=2)
    assert str(fill) == f"2, {fill.name}"
    assert fill.name.startswith(route_name(fill.as_fill).split()[0])


def test_no_two_of_a_student_and_a_bar_are_called_alike(student, studio):
    give(student, 24)
    give(student, 24, seed=2)
    give(student, 1, rule_set=make_rule_set(studio, PARADIDDLE, "Paradiddle"))
    assert len(set(names(student))) == 49


def test_a_removed_one_keeps_its_name_for_when_it_comes_back(student):
    give(student, 24).remove()
    give(student, 24, seed=2)
    assert len(set(names(student))) == 48


def test_of_another_bar_the_same_name_is_free(student, studio):
    make_bar(studio)
    on_snare = make_rule_set(studio, [{"rule": "placement", "surfaces": ["snare"]}], "Snare")
    give(student, 1, rule_set=on_snare)
    give(student, 1, rule_set=on_snare, bar=make_bar(studio, "1 2 3 4", "Another line"))
    assert names(student) == ["All on the snare"] * 2


def test_classmates_have_names_of_their_own(student, classmate):
    give(student, 3)
    give(classmate, 3)
    assert names(student) == names(classmate)


def test_the_teacher_may_call_it_otherwise(student):
    fill = first_fill(give(student))
    assert rename(fill, "The waterfall")
    fill.refresh_from_db()
    assert str(fill) == "1, The waterfall"


def test_a_name_that_another_one_has_is_refused(student):
    first, second, _ = give(student).variations.order_by("position")
    had = second.name
    assert not rename(second, first.name.upper())
    second.refresh_from_db()
    assert second.name == had


def test_without_a_name_it_has_the_proposed_one_again(student):
    fill = first_fill(give(student))
    proposed = fill.name
    rename(fill, "The waterfall")
    assert rename(fill, "")
    assert fill.name == proposed


def test_a_fill_of_an_older_version_is_called_by_where_it_goes(student):
    fill = first_fill(give(student))
    AssignedVariation.objects.update(name="")
    fill.refresh_from_db()
    assert str(fill) == f"1, {route_name(fill.as_fill)}"


def test_what_older_versions_drew_is_named_as_if_it_were_given_today(student, classmate):
    give(student, 12)
    give(classmate, 3, seed=4)
    rename(first_fill(give(student, 2, seed=3)), "The waterfall")
    given = names(student), names(classmate)
    AssignedVariation.objects.exclude(name="The waterfall").update(name="")
    migration = import_module("assignments.migrations.0024_names_of_fills")
    migration.name_fills(apps, None)
    assert (names(student), names(classmate)) == given
