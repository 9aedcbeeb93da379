"""Ladders and their steps."""

import pytest
from django.urls import reverse

from rhythms.ladders.views import LADDERS
from rhythms.ladders.views import STEPS as STEPS_A_PAGE
from rhythms.models import Ladder, LadderStep
from rhythms.starter_library import STEPS

pytestmark = pytest.mark.django_db


def order(ladder: Ladder) -> list[str]:
    return [str(step) for step in ladder.steps.kept().select_related("rule_set")]


@pytest.fixture
def url():
    return reverse("rhythms:ladders")


class TestThePage:
    def test_the_steps_stand_in_order(self, teacher_client, url, ladder):
        html = teacher_client.get(url).content.decode()
        places = [html.index(f">{name}</a>") for name, _, _ in STEPS]
        assert places == sorted(places)

    def test_more_ladders_cost_no_more_queries_than_their_choices(
        self, teacher_client, url, studio, rule_set, django_assert_num_queries
    ):
        for number in range(3):
            studio.ladders.create(name=f"More {number}").add_step(rule_set)
        # Session, teacher, studio; ladders and their number, steps, rule sets to choose from.
        with django_assert_num_queries(7):
            teacher_client.get(url)

    def test_without_a_ladder_it_says_what_one_is(self, teacher_client, url, empty_studio):
        assert "the order in which you teach them" in teacher_client.get(url).content.decode()


class TestSteps:
    def test_a_step_is_added_at_the_end(self, teacher_client, url, ladder, rule_set):
        prefix = f"ladder-{ladder.pk}"
        data = {f"{prefix}-rule_set": rule_set.pk, f"{prefix}-note": "Once more, slowly"}
        response = teacher_client.post(reverse("rhythms:step-add", args=[ladder.pk]), data)
        assert response.url == f"{url}#step-{ladder.steps.last().pk}"
        assert (ladder.steps.last().rule_set, ladder.steps.last().note) == (
            rule_set,
            "Once more, slowly",
        )

    def test_another_studios_rule_set_is_refused(self, teacher_client, ladder, other_studio):
        data = {f"ladder-{ladder.pk}-rule_set": other_studio.rule_sets.first().pk}
        response = teacher_client.post(reverse("rhythms:step-add", args=[ladder.pk]), data)
        assert "Choose one of your rule sets." in response.content.decode()

    def test_too_long_a_note_is_kept_and_has_an_error(self, teacher_client, ladder, rule_set):
        prefix = f"ladder-{ladder.pk}"
        data = {f"{prefix}-rule_set": rule_set.pk, f"{prefix}-note": "n" * 300}
        response = teacher_client.post(reverse("rhythms:step-add", args=[ladder.pk]), data)
        html = response.content.decode()
        assert "n" * 300 in html
        assert "at most 200 characters" in html

    def test_a_long_ladder_comes_a_page_at_a_time_and_is_numbered_on(
        self, teacher_client, url, ladder, rule_set
    ):
        last = [ladder.add_step(rule_set) for _ in range(STEPS_A_PAGE)][-1]
        assert f'id="step-{last.pk}"' not in teacher_client.get(url).content.decode()
        page = teacher_client.get(url, {f"steps-{ladder.pk}": 2}).content.decode()
        assert f'id="step-{last.pk}"' in page
        assert f'<ol class="steps" start="{STEPS_A_PAGE + 1}">' in page

    def test_a_moved_step_is_shown_where_it_stands_now(self, teacher_client, studio, rule_set, url):
        for number in range(LADDERS):
            studio.ladders.create(name=f"More {number}")
        ladder = studio.ladders.create(name="Years")
        step = [ladder.add_step(rule_set) for _ in range(STEPS_A_PAGE)][-1]
        ladder.add_step(rule_set)
        answer = teacher_client.post(reverse("rhythms:step-move", args=[step.pk]), {"way": "down"})
        assert answer.url == f"{url}?page=2&steps-{ladder.pk}=2#step-{step.pk}"
        assert f'id="step-{step.pk}"' in teacher_client.get(answer.url).content.decode()

    @pytest.mark.parametrize(("way", "place"), [("down", 1), ("up", 0)])
    def test_a_step_is_moved(self, teacher_client, ladder, step, way, place):
        teacher_client.post(reverse("rhythms:step-move", args=[step.pk]), {"way": way})
        assert order(ladder).index(str(step)) == place

    def test_a_way_that_no_button_has_is_a_bad_request(self, teacher_client, step):
        url = reverse("rhythms:step-move", args=[step.pk])
        assert teacher_client.post(url, {"way": "sideways"}).status_code == 400

    def test_taking_a_step_out_asks_first(self, teacher_client, step):
        html = teacher_client.get(reverse("rhythms:step-remove", args=[step.pk])).content.decode()
        assert "the rule set stays" in html

    def test_a_step_that_was_taken_out_can_be_put_back(self, teacher_client, ladder, step):
        before = order(ladder)
        teacher_client.post(reverse("rhythms:step-remove", args=[step.pk]))
        assert order(ladder) == before[1:]
        teacher_client.post(reverse("rhythms:step-restore", args=[step.pk]))
        assert order(ladder) == before


class TestWriting:
    def test_a_ladder_is_kept(self, teacher_client, url, studio):
        response = teacher_client.post(
            reverse("rhythms:ladder-new"), {"name": "Second year", "note": ""}
        )
        assert response.url == url
        assert studio.ladders.filter(name="Second year").exists()

    def test_a_ladder_is_renamed(self, teacher_client, ladder):
        teacher_client.post(reverse("rhythms:ladder-edit", args=[ladder.pk]), {"name": "The way"})
        ladder.refresh_from_db()
        assert ladder.name == "The way"

    def test_a_name_that_is_taken_is_refused(self, teacher_client, ladder):
        response = teacher_client.post(reverse("rhythms:ladder-new"), {"name": ladder.name})
        assert "There is already a ladder “The five steps”." in response.content.decode()

    def test_a_ladder_can_be_removed_and_brought_back(self, teacher_client, ladder):
        teacher_client.post(reverse("rhythms:ladder-remove", args=[ladder.pk]))
        assert not Ladder.objects.kept().filter(pk=ladder.pk).exists()
        teacher_client.post(reverse("rhythms:ladder-restore", args=[ladder.pk]))
        assert Ladder.objects.kept().filter(pk=ladder.pk).exists()
        assert LadderStep.objects.in_use().filter(ladder=ladder).count() == 5
