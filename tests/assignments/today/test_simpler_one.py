"""A simpler one in Today: played by the stage, logged with its fill, told to the teacher."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils.html import escape

from assignments.easier_fill import keeps_rules, simpler_form
from assignments.fill_pictures import with_pictures
from assignments.fill_queries import fills_of
from assignments.models import PracticeEntry
from assignments.planned_pieces import sittings_of
from assignments.planner.easier import FEWER_DRUMS
from assignments.practice.practice_log import Practised, change, log
from assignments.today.day_plan import eased_today, plan
from assignments.today.practice_session import stage_of_today
from assignments.today.today import today_of
from rhythms.models import Rendering
from rhythms.notation.fill_text import description
from rhythms.tasks import render
from tests.assignments.making import first_fill, give, logged
from tests.assignments.making import today_of as day_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def day(student):
    return day_of(student)


@pytest.fixture
def stuck_fill(student, day):
    """Begun three weeks ago; since then one in four at 60, each few days."""
    assignment = give(student, 1, tempo=84)
    assignment.created_at -= timedelta(days=30)
    assignment.save()
    fill = first_fill(assignment)
    for ago in (21, 18, 14, 9, 5, 2):
        on = day - timedelta(days=ago)
        logged(student, 4, on, fill, tempo=72, loops=12, clean_loops=3)
    return fill


def eased_items(student, day):
    return [item for item in plan(student, day, 10).items if item.easier]


def test_what_is_stuck_has_a_simpler_one_that_keeps_its_rules(student, day, stuck_fill):
    items = eased_items(student, day)
    assert {item.easier.kind for item in items} == {FEWER_DRUMS}
    assert keeps_rules(stuck_fill, items[0].easier.fill)
    assert items[0].easier.fill != stuck_fill.as_fill


def test_the_stage_plays_it_and_logs_it_with_its_fill(student, day, stuck_fill):
    session = stage_of_today(today_of(student, day, 10)).session
    [item] = [one for one in session["items"] if one["easier"]][:1]
    assert (item["variation"], item["block"]) == (stuck_fill.pk, f"{stuck_fill.pk}-easier")
    own, simpler = session["blocks"][stuck_fill.pk], session["blocks"][item["block"]]
    assert [sound["onset"] for sound in simpler["fill"]] == [
        sound["onset"] for sound in own["fill"]
    ]
    struck = {sound["surface"] for sound in simpler["fill"]}
    assert struck < {sound["surface"] for sound in own["fill"]}
    assert item["tempo"] < 72


def test_its_engraving_is_another_one_and_the_student_may_see_it(
    student, day, stuck_fill, student_client
):
    form = simpler_form(stuck_fill, eased_items(student, day)[0].easier)
    assert form.rendering_id != stuck_fill.rendering_id
    address = reverse("rhythms:rendering", args=[form.rendering_id])
    assert student_client.get(address).status_code in (200, 204)  # there, or on its way


def test_another_student_may_not_see_it(student, day, stuck_fill, other_student_client):
    form = simpler_form(stuck_fill, eased_items(student, day)[0].easier)
    assert Rendering.objects.filter(pk=form.rendering_id).exists()
    address = reverse("rhythms:rendering", args=[form.rendering_id])
    assert other_student_client.get(address).status_code == 404


def test_today_says_so_in_plain_words(student, day, stuck_fill):
    [line] = today_of(student, day).each
    assert line.why == "A simpler one first: the same rhythm with fewer drums"


def words_of(rendering: Rendering) -> str:
    return f"<desc>{escape(description(rendering.fill, feel=rendering.feel))}</desc>"


def test_today_shows_its_picture_and_plays_it(student_client, student, day, stuck_fill):
    [line] = today_of(student, day).each
    assert line.shown.as_fill == line.main.easier.fill
    with_pictures([line.shown, stuck_fill])
    page = student_client.get(reverse("assignments:today")).content.decode()
    assert words_of(line.shown.small) in page
    assert words_of(stuck_fill.small) not in page
    assert f"/variations/{stuck_fill.pk}/heard.json" not in page


def test_its_picture_is_asked_for_until_it_is_drawn(
    student_client, other_student_client, student, day, stuck_fill
):
    page = student_client.get(reverse("assignments:today")).content.decode()
    [address] = re.findall(r'hx-get="(/fills/\d+/picture/\?of=\w+)"', page)
    assert f'hx-get="{address}"' in student_client.get(address).content.decode()
    small = Rendering.objects.get(pk=address.partition("of=")[2])
    render(small.pk)
    drawn = student_client.get(address).content.decode()
    assert words_of(small) in drawn
    assert "hx-get" not in drawn
    assert other_student_client.get(address).status_code == 404


def test_a_picture_of_what_is_not_theirs_is_not_found(student_client, stuck_fill):
    address = reverse("assignments:fill-picture", args=[stuck_fill.pk])
    for of in ("nothing", "\x00", "é" * 100):
        assert student_client.get(address, {"of": of}).status_code == 404


def test_practice_of_it_is_told_apart_and_gains_no_tempo(student, day, stuck_fill):
    before = next(item.tempo for item in plan(student, day, 10).items if item.easier is None)
    for ago in (1, 0):
        on = day - timedelta(days=ago)
        log(student, Practised(4, on, stuck_fill, 200, loops=12, clean_loops=12, easier=True))
    assert [one.easier for one in sittings_of(student, day)].count(True) == 2
    tomorrow = plan(student, day + timedelta(days=1), 10)
    assert all(item.tempo <= 72 for item in tomorrow.items)
    assert before <= 72
    stuck_fill.refresh_from_db()
    assert stuck_fill.mastered_at is None


def test_two_clean_days_of_it_bring_the_fill_itself_again(student, day, stuck_fill):
    for ago in (2, 1):
        on = day - timedelta(days=ago)
        log(student, Practised(4, on, stuck_fill, 64, loops=12, clean_loops=12, easier=True))
    assert eased_items(student, day) == []


def test_a_device_sends_that_it_was_the_simpler_one(student_client, student, day, stuck_fill):
    sent = {
        "id": "7f1b3f0e-2a55-4a37-9a51-0d8a52f3c111",
        "variation": stuck_fill.pk,
        "day": day.isoformat(),
        "minutes": "2.0",
        "tempo": 64,
        "loops": 4,
        "seconds": 120,
        "easier": True,
    }
    address = reverse("assignments:api-practice-entries")
    assert student_client.post(address, sent, "application/json").status_code == 201
    assert PracticeEntry.objects.get(pk=sent["id"]).easier


def test_changing_an_entry_keeps_that_it_was_the_simpler_one(student, day, stuck_fill):
    entry, _ = log(student, Practised(4, day, stuck_fill, 64, easier=True))
    change(entry, Practised(5, day, stuck_fill, 64, id=entry.pk))
    entry.refresh_from_db()
    assert (entry.easier, entry.minutes) == (True, 5)


def test_the_teacher_reads_of_it(teacher_client, student, day, stuck_fill):
    page = teacher_client.get(reverse("assignments:student", args=[student.pk]))
    name = student.nickname
    assert (
        f"{name} has been at 72 for three weeks with {stuck_fill}: "
        "Today offers it with fewer drums, at 65."
    ) in page.content.decode()


def test_nothing_is_said_of_who_gains(student, day, stuck_fill):
    logged(student, 4, day - timedelta(days=1), stuck_fill, tempo=76, loops=12, clean_loops=10)
    assert eased_today(student, list(fills_of(student)), day) == []
