"""A tempo that is said of a take with a click: the grid stays, and twice or half is asked about."""

from __future__ import annotations

import pytest

from assignments.comfort.played_with import takes_played
from assignments.models import Take
from assignments.takes.take_analysis import analyse_take
from tests.assignments.making import taken
from tests.assignments.pages import address, text

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("one_cast")]
GIVEN = 95
#: Bass drum and snare by turns in eighths, from a bar line at 0 ms.
EVENTS = [[place * 30_000 / GIVEN, (36, 42, 38, 42)[place % 4], 80] for place in range(32)]


@pytest.fixture
def take(student) -> Take:
    click = {"tempo": GIVEN, "start": 0.0}
    return taken(student, None, events=EVENTS, click=click, tempo=GIVEN, source=Take.Source.FILE)


def say(client, take: Take, name: str, **sent: str):
    answer = client.post(address(name, take.pk), sent)
    analyse_take(take.pk)
    take.refresh_from_db()
    return answer


def page_of(client, take: Take) -> str:
    return text(client.get(address("take", take.pk)))


def grid(take: Take) -> tuple[str, float]:
    assert take.analysis is not None
    return take.analysis["grid"]["known"], take.analysis["grid"]["tempo"]


def test_near_the_files_tempo_the_file_is_right_and_the_page_says_so(student_client, take):
    say(student_client, take, "take-tempo", said_tempo="102")
    assert grid(take) == ("file", GIVEN)
    page = page_of(student_client, take)
    assert "at 95 quarters a minute. 102 was said, and the file is near it." in page
    assert "at 95." in page
    assert "Is it counted" not in page


@pytest.mark.parametrize("client", ["student_client", "teacher_client"])
@pytest.mark.parametrize(
    ("said", "asked", "yes"),
    [
        ("190", "Is it counted twice as fast? If so, each bar of the file is then two.", "190"),
        ("186", "Is it counted twice as fast? If so, each bar of the file is then two.", "190"),
        ("48", "Is it counted half as fast? If so, two bars of the file are then one.", "47.5"),
    ],
)
def test_twice_or_half_is_asked_about(client, take, said, asked, yes, request):
    client = request.getfixturevalue(client)
    say(client, take, "take-tempo", said_tempo=said)
    assert grid(take) == ("file", GIVEN)
    page = page_of(client, take)
    assert f"The file says 95, and {said} was said. {asked}" in page
    assert f"Yes, read it at {yes}" in page
    assert "No, keep 95" in page


def test_a_yes_counts_it_so_from_the_same_bar_line_on(student_client, take):
    say(student_client, take, "take-tempo", said_tempo="190")
    before = take.analysis["grid"]["start"]
    say(student_client, take, "take-count", counted="said")
    assert grid(take) == ("file", 190)
    assert take.analysis["grid"]["start"] == before
    page = page_of(student_client, take)
    assert "It is counted twice as fast as the file says, as was said." in page
    assert "No, keep 95" not in page
    assert "at 190." in page


def test_a_choice_of_tempos_has_a_take_at_what_its_page_shows(student_client, take):
    say(student_client, take, "take-tempo", said_tempo="190")
    assert tempo_chosen_by(take) == take.shown_tempo == GIVEN
    say(student_client, take, "take-count", counted="said")
    assert tempo_chosen_by(take) == take.shown_tempo == 190


def tempo_chosen_by(take: Take) -> int | None:
    """The tempo by which the take is looked at among others."""
    (found,) = takes_played(take.student, take.day, take.day)
    return found.tempo


def test_a_no_keeps_the_files_tempo_and_asks_no_more(student_client, take):
    say(student_client, take, "take-tempo", said_tempo="190")
    say(student_client, take, "take-count", counted="given")
    assert take.said_tempo == GIVEN
    assert grid(take) == ("file", GIVEN)
    assert "Is it counted" not in page_of(student_client, take)


def test_an_answer_stays_as_long_as_the_tempo_that_it_is_about(student_client, take):
    say(student_client, take, "take-tempo", said_tempo="190")
    say(student_client, take, "take-count", counted="said")
    say(student_client, take, "take-tempo", said_tempo="190", swing="50")
    assert grid(take) == ("file", 190)
    say(student_client, take, "take-tempo", said_tempo="48")
    assert "Is it counted half as fast?" in page_of(student_client, take)


@pytest.mark.parametrize("counted", ["", "perhaps"])
def test_an_answer_that_is_none_is_refused_beside_the_question(student_client, take, counted):
    say(student_client, take, "take-tempo", said_tempo="190")
    answer = say(student_client, take, "take-count", counted=counted)
    assert answer.status_code == 422
    assert "Choose one of the two answers." in answer.content.decode()
    assert not take.counted_as_said


def test_an_answer_to_what_was_not_asked_changes_nothing(student_client, take):
    say(student_client, take, "take-count", counted="given")
    assert take.said_tempo is None


def test_of_a_click_that_was_heard_it_is_asked_too(student_client, student):
    click = {"tempo": GIVEN, "start": 0.0}
    take = taken(student, None, events=EVENTS, click=click, tempo=GIVEN)
    say(student_client, take, "take-tempo", said_tempo="190")
    assert "The click says 95, and 190 was said." in page_of(student_client, take)


def test_without_a_click_nothing_is_asked(student_client, student):
    take = taken(student, None, events=EVENTS, click=None, tempo=GIVEN)
    say(student_client, take, "take-tempo", said_tempo="190")
    assert "Is it counted" not in page_of(student_client, take)
    assert take.analysis["grid"]["tempo"] == pytest.approx(190, rel=0.02)


def test_a_file_that_nobody_played_to_is_not_asked_about(student_client, student):
    click = {"tempo": 120, "start": 0.0}
    events = [[ms + 333.0, key, velocity] for ms, key, velocity in EVENTS]
    take = taken(student, None, events=events, click=click, tempo=120, source=Take.Source.FILE)
    say(student_client, take, "take-tempo", said_tempo="95")
    assert grid(take)[0] == "estimated"
    assert "Is it counted" not in page_of(student_client, take)
