"""How far out fills are drawn: three settings, each with an example, kept on the assignment."""

import json
import re
from html import unescape

import pytest
from django.urls import reverse

from assignments.models import Assignment
from rhythms.engine import Fill
from rhythms.engine.kits.surfaces import family
from rhythms.engine.prior.drawing import DIALS
from tests.assignments.assigning.test_assign_page import DRAW, PAGE, drawn, on_page, ranks
from tests.assignments.making import ON_THE_COWBELL, TOO_MUCH, give, make_bar, make_rule_set

pytestmark = pytest.mark.django_db

HOME, STEP, ANYTHING = DIALS


@pytest.fixture
def filled(studio, student):
    return {
        "bar": make_bar(studio).pk,
        "rule_set": make_rule_set(studio, [], "Anything").pk,
        "students": [student.pk],
        "how_many": "6",
        "tempo": "80",
        "block_bars": "4",
        "dial": STEP,
        "seed": "5",
    }


def heard(page: str) -> list[dict]:
    """The three examples, as the player gets them."""
    found = re.findall(r'id="dial-heard-\d"[^>]*>\s*<button[^>]*data-hear="([^"]*)"', page)
    return [json.loads(unescape(played)) for played in found]


def bright(assignment: Assignment) -> float:
    """The share of cymbals and bells."""
    fills = [Fill.from_json(one.fill) for one in assignment.variations.all()]
    strokes = [stroke.surface for fill in fills for stroke in fill.strokes]
    return sum(family(surface) in ("cymbals", "bells") for surface in strokes) / len(strokes)


def test_the_settings_of_the_page_are_those_of_the_engine():
    assert Assignment.Dial.values == list(DIALS)


def test_a_step_out_is_chosen_until_another_is(teacher_client):
    page = teacher_client.get(PAGE).content.decode()
    (chosen,) = re.findall(r'name="dial" value="([^"]*)"[^>]*checked', page)
    assert chosen == STEP


def test_each_setting_is_heard_as_soon_as_bar_and_rules_are_chosen(teacher_client, filled):
    assert heard(teacher_client.get(PAGE).content.decode()) == []
    without_students = {**filled, "students": []}
    examples = heard(teacher_client.post(DRAW, without_students).content.decode())
    assert len(examples) == 3
    assert len({json.dumps(one["fill"]) for one in examples}) == 3
    assert {one["tempo"] for one in examples} == {80}


def test_examples_follow_a_change_of_the_page(teacher_client, filled):
    page = teacher_client.post(DRAW, filled, headers={"HX-Request": "true"}).content.decode()
    assert page.count('id="dial-heard-') == 3
    assert len(re.findall(r'id="dial-heard-\d" hx-swap-oob="true"', page)) == 3


@pytest.mark.parametrize("rules", [ON_THE_COWBELL, TOO_MUCH])
def test_rules_without_fills_or_beyond_counting_have_no_examples(
    teacher_client, filled, studio, rules
):
    filled["rule_set"] = make_rule_set(studio, rules, "Others").pk
    filled["students"] = []
    page = teacher_client.post(DRAW, filled)
    assert page.status_code == 200
    assert len(heard(page.content.decode())) in (0, 3)


def test_the_assignment_keeps_how_far_out_it_was_drawn(teacher_client, filled, student):
    for setting in DIALS:
        form = drawn(teacher_client, {**filled, "dial": setting})
        teacher_client.post(PAGE, form)
        assert Assignment.objects.latest("pk").dial == setting
    page = teacher_client.get(reverse("assignments:student", args=[student.pk])).content.decode()
    assert "Anything the rules allow" in page


def test_another_setting_draws_others_but_keeps_what_is_kept(teacher_client, filled, student):
    before = drawn(teacher_client, filled)
    (first, *others) = ranks(before, student)
    changed = {**before, "dial": HOME, f"keep-{student.pk}": [str(first)]}
    after = {**changed, **on_page(teacher_client.post(DRAW, changed))}
    assert ranks(after, student)[0] == first
    assert not set(others) & set(ranks(after, student))
    # And what is shown now stays: it is drawn as the page says.
    again = {**after, **on_page(teacher_client.post(DRAW, after))}
    assert ranks(again, student) == ranks(after, student)


def test_what_was_not_shown_at_this_setting_is_not_assigned(teacher_client, filled):
    form = {**drawn(teacher_client, filled), "dial": ANYTHING}
    page = teacher_client.post(PAGE, form).content.decode()
    assert "What you chose has changed" in page
    assert not Assignment.objects.exists()


def test_what_is_no_setting_has_an_error_beside_it(teacher_client, filled):
    page = teacher_client.post(DRAW, {**filled, "dial": "far away"})
    assert page.status_code == 200
    assert "Choose one of the three." in page.content.decode()


def test_nobody_has_to_choose(teacher_client, filled):
    del filled["dial"]
    teacher_client.post(PAGE, drawn(teacher_client, filled))
    assert Assignment.objects.get().dial == STEP


def test_fills_close_to_home_have_fewer_cymbals_than_those_of_anything(teacher_client, filled):
    kept = {}
    for setting in (HOME, ANYTHING):
        teacher_client.post(PAGE, drawn(teacher_client, {**filled, "dial": setting}))
        kept[setting] = bright(Assignment.objects.latest("pk"))
    assert kept[HOME] < kept[ANYTHING]


def test_what_was_given_without_a_setting_is_a_step_out(student):
    assert give(student).dial == STEP
