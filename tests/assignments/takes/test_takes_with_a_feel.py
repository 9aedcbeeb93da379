"""Takes of swung fills and swung free takes: kept, held against their feel, put in words."""

import uuid

import pytest
from django.urls import reverse

from assignments.models import Take
from assignments.takes.take_analysis import analyse_take
from assignments.takes.take_report import Report
from rhythms.engine import Fill, Meter
from rhythms.engine.bars.feel import LEAST, STRAIGHT, Feel
from rhythms.engine.playback.groove_library import groove_named
from rhythms.engine.playback.timeline import Block
from rhythms.notation.staff_placement import PLACEMENTS
from tests.assignments.making import ALL_ON_SNARE, first_fill, give, make_bar, make_rule_set, taken

pytestmark = pytest.mark.django_db

TRIPLET, LIGHT = Feel(67), Feel(58)


@pytest.fixture
def fill(student):
    """One fill of swung eighths on the snare, at 80 a minute."""
    studio = student.studio
    bar = make_bar(studio, "1 & 2 & 3 & 4 &", "Swung eighths")
    rules = make_rule_set(studio, ALL_ON_SNARE, "All on the snare, swung")
    return first_fill(give(student, 1, bar=bar, rule_set=rules, feel=TRIPLET))


def in_its_block(fill: Fill, feel: Feel, late: float = 0.0) -> list[list[float]]:
    """Groove and fill played exactly by a feel at 80 a minute."""
    block = Block(fill, groove_named("rock", Meter(4, 4)), feel=feel)
    sounds = (
        (float(one.onset) * 750 + late, PLACEMENTS[one.surface].key, 80) for one in block.sounds
    )
    return [list(sound) for sound in sorted(sounds)]


def words(take: Take) -> str:
    report = Report(take)
    return " ".join([report.grid, *report.timing])


def played(student, fill, feel, *, late=0.0, **details) -> Take:
    events = in_its_block(fill.as_fill, feel, late)
    return Take.objects.get(pk=taken(student, fill, events=events, latency=0.0, **details).pk)


def test_a_take_is_held_against_the_feel_that_its_fill_was_given_with(student, fill):
    take = played(student, fill, TRIPLET)
    assert take.feel == TRIPLET
    assert take.analysis["feel"] == {"swing": 67, "unit": "eighths"}
    assert [note["outcome"] for note in take.analysis["attempts"][0]["notes"]] == ["right"] * 8
    assert "at 80 quarters a minute, in triplet swing (67 %)." in words(take)
    assert "they are on the click, held against triplet swing." in words(take)
    assert "Of two eighths the first takes 67 %, as triplet swing has it." in words(take)


def test_a_late_take_is_late_against_its_swing(student, fill):
    late = played(student, fill, TRIPLET, late=35.0)
    assert "In the middle they are 35 ms late against triplet swing." in words(late)


def test_even_notes_are_told_from_the_swing_that_was_asked_for(student, fill):
    take = played(student, fill, STRAIGHT)
    assert [note["outcome"] for note in take.analysis["attempts"][0]["notes"]] == ["right"] * 8
    assert "Of two eighths the first takes 50 %, where triplet swing has 67 %." in words(take)


def test_a_straight_take_says_nothing_of_swing(student):
    take = played(student, first_fill(give(student, 1)), STRAIGHT)
    assert take.analysis["feel"] is None
    assert "swing" not in words(take)


def test_a_light_swing_of_a_free_take_is_made_out(student, fill):
    events = in_its_block(fill.as_fill, LIGHT)
    take = Take.objects.get(pk=taken(student, events=events).pk)
    assert take.feel is None
    assert take.analysis["feel"] == {"swing": 58, "unit": "eighths"}
    assert "Of two eighths the first takes 58 %: the strokes swing of themselves." in words(take)
    assert {Fill.from_json(one).bar.counts() for one in take.fills} >= {"1 & 2 & 3 & 4 &"}


class TestSaying:
    def test_a_free_take_is_read_by_the_feel_it_was_recorded_with(self, student_client, fill):
        sent = {
            "id": str(uuid.uuid4()),
            "source": "pads",
            "tempo": 80,
            "swing": 67,
            "swing_unit": "eighths",
            "events": in_its_block(fill.as_fill, TRIPLET),
        }
        answer = student_client.post(
            reverse("assignments:api-takes"), sent, content_type="application/json"
        )
        assert answer.status_code == 201
        assert (answer.json()["swing"], answer.json()["swing_unit"]) == (67, "eighths")
        take = Take.objects.get()
        analyse_take(take.pk)
        take.refresh_from_db()
        assert {Fill.from_json(one).bar.counts() for one in take.fills} >= {"1 & 2 & 3 & 4 &"}

    @pytest.mark.parametrize("swing", [300, 49, "a lot"])
    def test_a_swing_that_cannot_be_is_refused_by_its_field(self, student_client, swing):
        sent = {"id": str(uuid.uuid4()), "source": "pads", "swing": swing, "events": [[0, 38, 80]]}
        answer = student_client.post(
            reverse("assignments:api-takes"), sent, content_type="application/json"
        )
        assert answer.status_code == 400
        (wrong,) = answer.json()["swing"]
        assert wrong["message"] == "Give a swing from 50 to 80 percent, such as 67."

    def test_the_page_of_a_free_take_offers_every_feel_and_that_of_a_fill_says_its_own(
        self, student_client, fill
    ):
        free = student_client.get(reverse("assignments:record")).content.decode()
        assert '<option value="67 eighths">triplet swing (67 %)</option>' in free
        of_a_fill = reverse("assignments:record") + f"?fill={fill.pk}"
        page = student_client.get(of_a_fill).content.decode()
        assert "Triplet swing (67 %)" in page
        assert "data-feel" not in page

    def test_who_knows_says_how_a_take_was_played(self, student_client, student, fill):
        take = played(student, fill, LIGHT)
        address = reverse("assignments:take-tempo", args=[take.pk])
        student_client.post(address, {"said_tempo": "", "swing": "light", "swing_unit": "eighths"})
        take.refresh_from_db()
        assert take.feel == LIGHT
        analyse_take(take.pk)
        take.refresh_from_db()
        assert "as light swing has it." in words(take)
        page = student_client.get(reverse("assignments:take", args=[take.pk])).content.decode()
        assert "Another tempo or feel" in page
        student_client.post(address, {"said_tempo": "", "swing": ""})
        take.refresh_from_db()
        assert take.feel == TRIPLET

    def test_a_swing_of_300_percent_is_refused_beside_its_field(
        self, student_client, student, fill
    ):
        take = played(student, fill, LIGHT)
        address = reverse("assignments:take-tempo", args=[take.pk])
        response = student_client.post(address, {"said_tempo": "", "swing": "300 %"})
        assert response.status_code == 422
        (wrong,) = response.context["form"].errors["swing"]
        assert wrong.startswith("A swing of 300 % cannot be played: give a number from 50 to 80")
        assert 'value="300 %"' in response.content.decode()

    def test_a_bar_entered_in_the_lesson_is_as_written_whatever_its_feel(
        self, teacher_client, student, fill
    ):
        address = reverse("assignments:lesson-take", args=[student.pk]) + f"?fill={fill.pk}"
        struck = {f"at-{k}-{2}" if k % 2 else f"at-{k // 2}-1": "snare" for k in range(8)}
        teacher_client.post(address, {"tempo": "80", "times": "1", **struck})
        take = Take.objects.get()
        assert take.swing == LEAST
        analyse_take(take.pk)
        take.refresh_from_db()
        (attempt,) = take.analysis["attempts"]
        assert [(note["outcome"], note["off"]) for note in attempt["notes"]] == [("right", 0.0)] * 8
