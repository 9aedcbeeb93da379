"""`manage.py fill_names` says how fills are called."""

from io import StringIO

import pytest
from django.core.management import call_command

from tests.assignments.making import give

pytestmark = pytest.mark.django_db


def test_counts_the_names_of_drawn_fills_and_of_the_database(student):
    give(student, 4)
    printed = StringIO()
    call_command("fill_names", drawn=80, stdout=printed)
    *drawn, database, unique = printed.getvalue().splitlines()
    assert [line.partition(": ")[2].split(",")[0] for line in drawn] == ["80 names"] * 3
    assert all(line.endswith("with a number 0") for line in drawn)
    assert database.startswith("This database: 4 names,")
    assert unique == "Unique within the assignment 4, within student and bar 4"
