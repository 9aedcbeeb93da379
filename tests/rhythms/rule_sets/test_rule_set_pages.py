"""Rule sets in a list and by themselves: what they say and make of a bar; removing them."""

import pytest
from django.urls import reverse

from tests.rhythms.rule_sets.sent_rules import STORED

pytestmark = pytest.mark.django_db


class TestTheList:
    def test_each_rule_set_says_its_rules(self, teacher_client):
        html = teacher_client.get(reverse("rhythms:rule-sets")).content.decode()
        assert "Eighths go on the toms, cymbals or cowbell." in html
        assert "The sticking stays, the 16ths travel." in html

    def test_a_longer_list_costs_no_more_queries(
        self, teacher_client, studio, django_assert_num_queries
    ):
        for number in range(5):
            studio.rule_sets.create(name=f"More {number}", rules=STORED)
        # Session, teacher, studio; rule sets and their number.
        with django_assert_num_queries(5):
            teacher_client.get(reverse("rhythms:rule-sets"))

    def test_an_empty_list_says_what_it_is_for(self, teacher_client, empty_studio):
        html = teacher_client.get(reverse("rhythms:rule-sets")).content.decode()
        assert "A rule set says what may happen to a bar" in html


class TestOneRuleSet:
    @pytest.fixture
    def show(self, teacher_client, rule_set):
        def get(**query):
            return teacher_client.get(reverse("rhythms:rule-set", args=[rule_set.pk]), query)

        return get

    def test_it_is_tried_on_the_first_bar(self, show):
        assert "16,777,216 fills: at one a minute, 32 years" in show().content.decode()

    def test_it_is_tried_on_the_bar_that_is_chosen(self, show, studio):
        quarters = studio.bars.get(name="Quarters")
        assert "4,096 fills: at one a minute, 3 days" in show(bar=quarters.pk).content.decode()

    def test_it_is_tried_on_the_kit_that_is_chosen(self, show, studio):
        pad = studio.kits.create(name="Pad", surfaces=["snare", "hi-hat"])
        # Eight 16ths on two surfaces: 2^8.
        assert "256 fills" in show(kit=f"{pad.pk}-right").content.decode()

    def test_three_examples_are_engraved(self, show):
        assert show().content.decode().count('aria-labelledby="example-') == 3

    def test_another_seed_brings_other_examples(self, show):
        first, again, other = (show(seed=seed).context["trial"].examples for seed in (1, 1, 2))
        assert first == again != other

    def test_the_button_asks_for_the_next_seed(self, show):
        assert 'name="seed" value="8"' in show(seed=7).content.decode()

    def test_examples_name_their_surfaces(self, show):
        surfaces = {
            stroke.surface for fill in show().context["trial"].examples for stroke in fill.strokes
        }
        html = show().content.decode()
        for surface in surfaces:
            assert f"<span>{str(surface).capitalize()}</span>" in html

    @pytest.mark.parametrize("seed", ["x", "-1", "9" * 30, "", "²"])
    def test_a_seed_that_is_none_is_the_first(self, show, seed):
        assert show(seed=seed).context["trial"].seed == 1

    @pytest.mark.parametrize("pk", ["0", "x", "99999999999999999999", "²"])
    @pytest.mark.parametrize("what", ["bar", "kit"])
    def test_a_bar_or_kit_that_is_not_there_is_not_found(self, show, what, pk):
        assert show(**{what: pk}).status_code == 404

    def test_another_studios_bar_is_not_found(self, show, other_studio):
        assert show(bar=other_studio.bars.first().pk).status_code == 404

    def test_another_studios_kit_is_not_found(self, show, other_studio):
        assert show(kit=f"{other_studio.kits.first().pk}-right").status_code == 404

    def test_without_a_bar_it_leads_to_writing_one(self, show, studio):
        studio.bars.all().delete()
        assert reverse("rhythms:bar-new") in show().content.decode()

    def test_without_a_kit_it_is_tried_on_a_standard_one(self, show, studio):
        studio.kits.update(removed_at="2026-01-01T00:00Z")
        assert "16,777,216 fills" in show().content.decode()

    def test_a_left_handed_player_leads_with_the_left(self, teacher_client, studio, bar):
        rule_set = studio.rule_sets.get(name="Paradiddle on the 16ths, all on the snare")
        kit = studio.kits.first()
        url = reverse("rhythms:rule-set", args=[rule_set.pk])
        hands = {
            side: teacher_client.get(url, {"kit": f"{kit.pk}-{side}"}).context["trial"].examples[0]
            for side in ("right", "left")
        }
        mirrored = {"R": "L", "L": "R"}
        right = [mirrored[stroke.limb] for stroke in hands["right"].strokes]
        assert [stroke.limb for stroke in hands["left"].strokes] == right

    def test_a_small_space_shows_all_its_fills_and_no_more(self, teacher_client, studio):
        rule_set = studio.rule_sets.get(name="Learn the bar")
        html = teacher_client.get(reverse("rhythms:rule-set", args=[rule_set.pk])).content.decode()
        assert html.count('aria-labelledby="example-') == 1
        assert "Other examples" not in html


class TestRemoving:
    def test_a_step_of_a_ladder_is_kept_and_the_reason_given(self, teacher_client, rule_set):
        url = reverse("rhythms:rule-set-remove", args=[rule_set.pk])
        assert "It is a step of the ladder “The five steps”." in (
            teacher_client.get(url).content.decode()
        )
        assert teacher_client.post(url).status_code == 409

    def test_another_one_can_be_removed_and_brought_back(self, teacher_client, studio):
        rule_set = studio.rule_sets.create(name="Mine", rules=STORED)
        teacher_client.post(reverse("rhythms:rule-set-remove", args=[rule_set.pk]))
        assert not studio.rule_sets.kept().filter(name="Mine").exists()
        teacher_client.post(reverse("rhythms:rule-set-restore", args=[rule_set.pk]))
        assert studio.rule_sets.kept().filter(name="Mine").exists()
