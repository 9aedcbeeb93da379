"""Two requests at the same moment do what one after the other would do."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from decimal import Decimal
from threading import Barrier

import pytest
from django.db import connection

from assignments.assigning.assign import AlreadyTheirsError, AssignmentSpec, assign_fills
from assignments.models import AssignedVariation, PracticeEntry
from assignments.practice.practice_log import Practised, log
from tests.assignments.making import make_bar, make_rule_set

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


def test_the_same_fills_are_handed_out_once(teacher, student):
    work = AssignmentSpec(make_bar(student.studio), make_rule_set(student.studio), 80)
    ended = outcomes(lambda: assign_fills(teacher, work, {student: (3, 4)}))
    assert sum(isinstance(end, AlreadyTheirsError) for end in ended) == AT_ONCE - 1
    assert AssignedVariation.objects.count() == 2


def test_the_same_entry_is_logged_once(student):
    practised = Practised(Decimal(5), date(2026, 11, 25))
    ended = outcomes(lambda: log(student, practised))
    assert sum(is_new for _, is_new in ended) == 1
    assert PracticeEntry.objects.count() == 1
