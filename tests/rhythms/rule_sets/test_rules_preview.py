"""What rules make of a bar is shown while they are written, within bounds on work."""

import pytest
from django.core.cache import cache
from django.urls import reverse

from rhythms.bench.hostile_rules import eight_forbidden
from studio.accounts.throttling import CountsByPerson
from tests.rhythms.rule_sets.sent_rules import BOTH_RULES, EIGHTHS_ON_SNARE

pytestmark = pytest.mark.django_db


class TestThePreview:
    @pytest.fixture
    def preview(self, teacher_client):
        def preview(**data):
            return teacher_client.post(reverse("rhythms:rule-set-preview"), data).content.decode()

        return preview

    def test_it_says_the_rules_and_the_size(self, preview, bar):
        html = preview(**EIGHTHS_ON_SNARE, rule="r0:placement", bar=bar.pk)
        assert "<li>Eighths go on the snare.</li>" in html
        assert "16,777,216 fills: at one a minute, 32 years" in html

    def test_it_says_what_is_still_open(self, preview):
        html = preview(rule="r0:placement")
        assert "Rule 1, Go to: Choose at least one surface." in html

    def test_without_rules_it_says_what_will_be_here(self, preview):
        assert "see here how many fills there are" in preview()

    def test_rules_that_cannot_hold_together_are_named(self, preview, bar):
        both = {"rule": ["r0:placement", "r1:placement"]}
        cowbell = {"r1-values": ["eighth"], "r1-surfaces_names": ["cowbell"]}
        html = preview(**EIGHTHS_ON_SNARE, **cowbell, **both, bar=bar.pk)
        assert "0 fills" in html
        assert "cannot hold together on this bar and kit." in html

    def test_a_surface_that_the_kit_lacks_is_named(self, preview, bar):
        html = preview(**EIGHTHS_ON_SNARE | {"r0-surfaces_names": "china"}, rule="r0:placement")
        assert "this kit has no china" in html

    def test_nothing_is_kept_of_it(self, preview, studio):
        before = studio.rule_sets.count()
        preview(**BOTH_RULES)
        assert studio.rule_sets.count() == before

    def test_another_studios_bar_is_not_found(self, teacher_client, other_studio):
        data = {"rule": "r0:placement", "bar": other_studio.bars.first().pk}
        response = teacher_client.post(reverse("rhythms:rule-set-preview"), data)
        assert response.status_code == 404


HARD_ON_EIGHT_SURFACES = [
    {"rule": "hands apart"},
    {"rule": "visit at least", "surfaces": 7},
    {"rule": "groups", "n": 5},
    {"rule": "break the path", "k": 4, "repeats": "goes on"},
    {"rule": "dynamics", "dynamic": "accent", "n": 6},
]


class TestRulesThatAreTooMuch:
    @pytest.fixture
    def hard(self, studio):
        return studio.rule_sets.create(name="Hard", rules=HARD_ON_EIGHT_SURFACES)

    def test_the_page_of_the_rules_says_what_to_do(self, teacher_client, hard):
        page = teacher_client.get(reverse("rhythms:rule-set", args=[hard.pk]))
        assert "Leave out one" in page.content.decode()

    def test_the_page_of_a_bar_says_so_by_the_rule_set(self, teacher_client, studio, hard):
        page = teacher_client.get(reverse("rhythms:bar", args=[studio.bars.first().pk]))
        assert "Leave out one" in page.content.decode()

    def test_a_bar_counts_a_few_such_rule_sets_and_names_the_others(self, teacher_client, studio):
        for place in range(8):
            studio.rule_sets.create(name=f"Hard {place}", rules=HARD_ON_EIGHT_SURFACES)
        page = teacher_client.get(reverse("rhythms:bar", args=[studio.bars.first().pk]))
        assert "Open it to count its fills." in page.content.decode()

    def test_a_clash_too_dear_to_make_smaller_is_shown(self, teacher_client, studio):
        rules = [rule.to_json() for rule in eight_forbidden(4).rule_set.rules]
        forbidden = studio.rule_sets.create(name="Nothing left", rules=rules)
        bar = studio.bars.create(name="One", counts="1", meter="1/4")
        address = reverse("rhythms:rule-set", args=[forbidden.pk])
        page = teacher_client.get(address, {"bar": bar.pk})
        assert "Other rules of the set may clash as well." in page.content.decode()


class TestCountingOften:
    @pytest.fixture(autouse=True)
    def two_a_minute(self, monkeypatch):
        monkeypatch.setitem(CountsByPerson.THROTTLE_RATES, "counts", "2/minute")
        cache.clear()

    def preview(self, client):
        return client.post(reverse("rhythms:rule-set-preview"), BOTH_RULES).content.decode()

    def test_who_asks_too_often_is_told_to_wait(self, teacher_client):
        assert "fills" in self.preview(teacher_client)
        assert "fills" in self.preview(teacher_client)
        assert "Wait a moment, then change something" in self.preview(teacher_client)

    def test_nobody_else_waits(self, teacher_client, other_teacher_client):
        for _ in range(3):
            self.preview(teacher_client)
        assert "Wait a moment" not in self.preview(other_teacher_client)

    def test_rules_are_saved_all_the_same(self, teacher_client, studio):
        for _ in range(3):
            self.preview(teacher_client)
        teacher_client.post(reverse("rhythms:rule-set-new"), BOTH_RULES | {"name": "Kept"})
        assert studio.rule_sets.filter(name="Kept").exists()

    def test_what_is_not_counted_does_not_wait(self, teacher_client):
        for _ in range(5):
            sent = {"rule": ["r0:placement"]}
            page = teacher_client.post(reverse("rhythms:rule-set-preview"), sent)
            assert "Choose at least one surface." in page.content.decode()
