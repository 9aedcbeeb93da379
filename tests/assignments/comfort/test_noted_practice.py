"""What was given and practised beside what was really played, told apart."""

import re
from datetime import UTC, datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from assignments.comfort.noted_practice import NotedPractice
from assignments.days import today_in
from rhythms.engine import Fill, Stroke, Surface
from tests.assignments.comfort_making import BAR, COUNTS, DAY, take_of, walk_down, walks
from tests.assignments.making import give, logged, make_bar, make_rule_set

pytestmark = pytest.mark.django_db


@pytest.fixture
def today(studio):
    return today_in(studio)


@pytest.fixture
def fills(student):
    """Four fills of one assignment, in their order."""
    return list(give(student, 4).variations.order_by("position"))


def noted(student, today) -> NotedPractice:
    return NotedPractice(student, today - 41 * DAY, today)


def read(client, student) -> str:
    response = client.get(reverse("assignments:student-comfort", args=[student.pk]))
    return re.sub(r"\s+", " ", response.content.decode())


def test_the_page_says_how_many_of_the_fills_given_were_practised(
    teacher_client, student, fills, today
):
    logged(student, 12, today, variation=fills[0])
    logged(student, 3, today - DAY, variation=fills[1])
    assert "2 of 4 fills given were practised, 15 min: about" in read(teacher_client, student)


def test_practice_of_before_these_weeks_is_none_of_theirs(student, fills, today):
    logged(student, 12, today - 60 * DAY, variation=fills[0])
    found = noted(student, today)
    assert found.words == "Nothing is noted of the 4 fills given."
    assert found.untouched == 3


def test_an_entry_that_was_removed_is_no_practice(student, fills, today):
    logged(student, 12, today, variation=fills[0]).remove()
    assert noted(student, today).untouched == 4


def test_mastered_fills_are_counted(student, fills, today):
    fills[0].mastered_at = datetime.now(UTC)
    fills[0].save()
    found = noted(student, today)
    assert found.words == "Nothing is noted of the 4 fills given. 1 is mastered."
    assert found.untouched == 3, "what is mastered was practised, noted or not"


def test_the_two_practised_most_are_named(teacher_client, student, fills, today):
    for variation, minutes in zip(fills, (1, 9, 5), strict=False):
        logged(student, minutes, today, variation=variation)
    assert [one.pk for one in noted(student, today).most] == [fills[1].pk, fills[2].pk]
    page = read(teacher_client, student)
    assert f"<dt>Most practised</dt><dd>{fills[1]}</dd><dd>{fills[2]}</dd>" in page


def test_what_was_given_and_never_noted_is_named(teacher_client, student, fills, today):
    logged(student, 5, today, variation=fills[0])
    page = read(teacher_client, student)
    first = f"<dd>{fills[1]}</dd><dd>{fills[2]}</dd>"
    assert f"<dt>Nothing noted yet of 3</dt>{first}<dd>and 1 more</dd>" in page


def test_a_fill_that_was_taken_back_is_not_given(student, fills, today):
    fills[3].remove()
    assert len(noted(student, today).given) == 3


def test_practising_one_fill_is_one_different_fill(student, fills, today):
    logged(student, 5, today, variation=fills[0])
    assert noted(student, today).different == pytest.approx(1)


def test_practising_more_is_more_different_fills_by_minutes(student, fills, today):
    for variation in fills:
        logged(student, 5, today, variation=variation)
    even = noted(student, today).different
    logged(student, 90, today, variation=fills[0])
    assert 1 < noted(student, today).different < even <= 4


def test_without_practice_there_is_no_number_of_different_fills(student, fills, today):
    assert noted(student, today).different is None


def test_practised_and_really_played_stand_apart(teacher_client, student, fills, today):
    logged(student, 5, today, variation=fills[0])
    walks(student, today)
    page = read(teacher_client, student)
    practised, played = page.split("Given and practised")[1].split("Really played")
    assert "1 of 4 fills given was practised" in practised
    assert "10 takes with 20 fills" in played


def test_without_anything_given_nothing_is_said_of_practice(teacher_client, student, today):
    walks(student, today)
    assert "Given and practised" not in read(teacher_client, student)


def test_of_a_part_of_the_takes_nothing_is_said_of_practice(teacher_client, student, fills, today):
    walks(student, today)
    url = reverse("assignments:student-comfort", args=[student.pk])
    assert "Given and practised" not in teacher_client.get(f"{url}?groove=none").content.decode()


# --- the hint ------------------------------------------------------------------------


@pytest.fixture
def passes_the_ride_over(student, today):
    """Six assignments of four fills: the second strikes the ride and is never practised."""
    bar = make_bar(student.studio, COUNTS, name="Line of 16ths")
    rules = make_rule_set(student.studio, [], name="Anything")
    snare = Fill(BAR, (Stroke(Surface.SNARE),) * 16)
    ride = Fill(BAR, (*snare.strokes[:15], Stroke(Surface.RIDE)))
    for number in range(6):
        given = give(student, 4, seed=number, bar=bar, rule_set=rules)
        for variation in given.variations.order_by("position"):
            is_second = variation.position == 2
            variation.fill = (ride if is_second else snare).to_json()
            variation.save()
            if not is_second:
                logged(student, 5, today, variation=variation)
    return student


def test_what_is_passed_over_in_practice_is_a_hint(teacher_client, passes_the_ride_over):
    page = read(teacher_client, passes_the_ride_over)
    assert f"Perhaps {passes_the_ride_over} avoids the ride." in page
    assert "Only a hint: from practice, no takes." in page


def test_a_student_is_told_in_their_own_words(student_client, passes_the_ride_over):
    page = student_client.get(reverse("assignments:my-playing")).content.decode()
    assert "Perhaps you leave out the ride." in page


def test_a_hint_says_how_many_takes_there_are(teacher_client, passes_the_ride_over, today):
    take_of(passes_the_ride_over, today, [walk_down()])
    assert "Only a hint: from practice, 1 take." in read(teacher_client, passes_the_ride_over)


def test_where_takes_tell_nothing_is_hinted_at(teacher_client, passes_the_ride_over, today):
    walks(passes_the_ride_over, today)
    assert "Only a hint" not in read(teacher_client, passes_the_ride_over)


def test_where_all_is_practised_nothing_is_hinted_at(teacher_client, student, fills, today):
    for variation in fills:
        logged(student, 5, today, variation=variation)
    assert "Only a hint" not in read(teacher_client, student)


def test_practice_takes_as_many_queries_of_many_fills_as_of_few(
    teacher_client, student, fills, today, django_assert_num_queries
):
    logged(student, 5, today, variation=fills[0])
    logged(student, 5, today, variation=fills[1])
    read(teacher_client, student)
    with CaptureQueriesContext(connection) as of_few:
        read(teacher_client, student)
    of = fills[0].assignment
    for number in range(3):
        more = give(student, 4, seed=number + 10, bar=of.source_bar, rule_set=of.rule_set)
        logged(student, 5, today, variation=more.variations.first())
    with django_assert_num_queries(len(of_few)):
        read(teacher_client, student)
