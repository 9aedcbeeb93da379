"""Rule sets: what they say, how they are written, and what they make of a bar."""

import re

import pytest
from django.core.cache import cache
from django.urls import reverse

from rhythms.bench.hostile_rules import eight_forbidden
from rhythms.engine.rules import REGISTRY
from rhythms.models import RuleSet
from studio.accounts.throttling import CountsByPerson

pytestmark = pytest.mark.django_db

EIGHTHS_ON_SNARE = {"r0-values": ["eighth"], "r0-surfaces_way": "", "r0-surfaces_names": ["snare"]}
PARADIDDLE = {
    "r1-values": ["16th"],
    "r1-rudiment": "single paradiddle",
    "r1-lead": "R",
    "r1-follow": "notes",
    "r1-restart": "never",
    "r1-others": "alternate",
    "r1-accents": "bar",
}
BOTH_RULES = EIGHTHS_ON_SNARE | PARADIDDLE | {"rule": ["r0:placement", "r1:sticking"]}
STORED = [
    {"rule": "placement", "values": ["eighth"], "surfaces": ["snare"]},
    {
        "rule": "sticking",
        "values": ["16th"],
        "rudiment": "single paradiddle",
        "lead": "R",
        "follow": "notes",
        "restart": "never",
        "others": "alternate",
    },
]


def rows_of(html: str) -> list[str]:
    """The rule rows of a page, in order, as they would be sent."""
    return re.findall(r'name="rule" value="([^"]+)"', html)


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


class TestWriting:
    @pytest.fixture
    def post(self, teacher_client):
        def post(rule_set=None, **changes):
            name = {"name": "Mine", "note": ""}
            if rule_set is None:
                return teacher_client.post(reverse("rhythms:rule-set-new"), name | changes)
            url = reverse("rhythms:rule-set-edit", args=[rule_set.pk])
            return teacher_client.post(url, name | changes)

        return post

    def test_a_rule_set_is_kept_in_the_engines_form(self, post, studio):
        response = post(**BOTH_RULES)
        rule_set = studio.rule_sets.get(name="Mine")
        assert response.url == reverse("rhythms:rule-set", args=[rule_set.pk])
        assert rule_set.rules == STORED

    def test_rules_are_kept_in_the_order_of_the_page(self, post, studio):
        post(**BOTH_RULES | {"rule": ["r1:sticking", "r0:placement"]})
        assert studio.rule_sets.get(name="Mine").rules == STORED[::-1]

    def test_all_but_some_surfaces_can_be_meant(self, post, studio):
        changes = {"r0-surfaces_way": "anything but", "r0-surfaces_names": ["cymbals", "cowbell"]}
        post(**EIGHTHS_ON_SNARE | changes | {"rule": "r0:placement"})
        (rule,) = studio.rule_sets.get(name="Mine").rules
        assert rule["surfaces"] == {"anything but": ["cymbals", "cowbell"]}

    def test_no_value_ticked_means_every_note(self, post, studio):
        post(**EIGHTHS_ON_SNARE | {"r0-values": [], "rule": "r0:placement"})
        assert studio.rule_sets.get(name="Mine").rules == [
            {"rule": "placement", "surfaces": ["snare"]}
        ]

    def test_a_rule_set_is_changed(self, post, rule_set):
        post(rule_set, **BOTH_RULES)
        rule_set.refresh_from_db()
        assert (rule_set.name, rule_set.rules) == ("Mine", STORED)

    def test_an_error_stands_by_the_field_of_its_rule(self, post):
        html = post(**BOTH_RULES | {"r0-surfaces_names": []}).content.decode()
        after = html.split('id="id_r0-surfaces_error"')[1]
        assert after.startswith("><p>Choose at least one surface.</p>")
        assert '<a href="#r0">Rule 1, Go to: Choose at least one surface.</a>' in html

    def test_nothing_typed_is_lost_with_an_error(self, post):
        changes = {"r0-surfaces_names": [], "name": "My <own> set", "r1-lead": "L"}
        html = post(**BOTH_RULES | changes).content.decode()
        assert 'value="My &lt;own&gt; set"' in html
        assert rows_of(html) == ["r0:placement", "r1:sticking"]
        assert re.search(r'<input[^>]*name="r0-values"[^>]*value="eighth"[^>]*checked', html)
        assert re.search(r'<option value="L" selected>', html)

    def test_every_row_is_judged(self, post):
        broken = {"r0-surfaces_names": [], "r1-rudiment": "flam"}
        html = post(**BOTH_RULES | broken).content.decode()
        assert "Rule 1, Go to:" in html
        assert "Rule 2, Sticking:" in html

    def test_nothing_is_kept_of_a_set_with_an_error(self, post, rule_set):
        post(rule_set, **BOTH_RULES | {"r1-lead": "X"})
        rule_set.refresh_from_db()
        assert rule_set.name == "Eighths on the snare, 16ths anywhere"

    def test_a_set_without_rules_is_refused(self, post):
        assert "Add at least one rule." in post().content.decode()

    def test_more_rules_than_a_set_takes_are_refused(self, post):
        html = post(**EIGHTHS_ON_SNARE, rule=["r0:placement"] * 61).content.decode()
        assert "A rule set takes at most 60 rules; this one has 61." in html

    def test_a_name_that_is_taken_is_refused(self, post, rule_set):
        html = post(**BOTH_RULES | {"name": rule_set.name}).content.decode()
        assert "There is already a rule set" in html

    def test_an_unknown_surface_is_refused(self, post):
        html = post(**BOTH_RULES | {"r0-surfaces_names": ["gong"]}).content.decode()
        assert "gong is not one of the available choices." in html

    @pytest.mark.parametrize(
        "rule", ["r0:jazz", "r0", "", "0:placement", "rx:placement", "r9999999:placement"]
    )
    def test_a_row_that_no_page_sends_is_a_bad_request(self, post, rule):
        assert post(rule=rule).status_code == 400

    def test_the_editor_opens_with_all_that_is_stored(self, teacher_client, studio):
        rule_set = RuleSet.objects.create(studio=studio, name="Mine", rules=STORED)
        url = reverse("rhythms:rule-set-edit", args=[rule_set.pk])
        response = teacher_client.get(url)
        html = response.content.decode()
        assert rows_of(html) == ["r0:placement", "r1:sticking"]
        assert re.search(r'name="r0-surfaces_names"[^>]*value="snare"[^>]*checked', html)

    def test_what_is_shown_is_what_is_sent_back(self, teacher_client, studio, post):
        """Each rule of the engine, with all its defaults, comes back from its form unchanged."""
        stored = [
            {"rule": "placement", "values": ["32nd"], "surfaces": {"anything but": ["toms"]}},
            *STORED,
        ]
        rule_set = RuleSet.objects.create(studio=studio, name="Mine", rules=stored)
        rows = teacher_client.get(reverse("rhythms:rule-set-edit", args=[rule_set.pk])).context[
            "rows"
        ]
        sent = {"rule": [f"{row.prefix}:{row.name}" for row in rows]}
        for row in rows:
            sent |= fields_of(row)
        post(rule_set, **sent)
        rule_set.refresh_from_db()
        assert rule_set.rules == stored

    def test_values_behind_more_are_in_sight_when_one_is_ticked(self, teacher_client, studio):
        rules = [{"rule": "placement", "values": ["32nd"], "surfaces": ["snare"]}]
        rule_set = RuleSet.objects.create(studio=studio, name="Mine", rules=rules)
        html = teacher_client.get(
            reverse("rhythms:rule-set-edit", args=[rule_set.pk])
        ).content.decode()
        assert '<details class="more" open>' in html

    @pytest.mark.parametrize("name", sorted(REGISTRY))
    def test_every_rule_of_the_engine_has_a_row(self, teacher_client, name):
        response = teacher_client.post(
            reverse("rhythms:rule-set-rows"), {"do": "add", "new_rule": name}
        )
        html = response.content.decode()
        assert rows_of(html) == [f"r0:{name}"]
        for field in REGISTRY[name].fields:
            assert field.label in html


def fields_of(row) -> dict[str, object]:
    """What a browser sends of a row as it is shown."""
    sent: dict[str, object] = {}
    for field in row:
        shown = field.value()
        if field.name == "surfaces":
            sent |= {f"{field.html_name}_way": shown[0], f"{field.html_name}_names": shown[1]}
        else:
            sent[field.html_name] = shown or []
    return sent


class TestTheRows:
    @pytest.fixture
    def do(self, teacher_client):
        def do(what, **changes):
            data = BOTH_RULES | {"do": what} | changes
            return teacher_client.post(reverse("rhythms:rule-set-rows"), data)

        return do

    def test_a_row_is_added_at_the_end(self, do):
        html = do("add", new_rule="placement").content.decode()
        assert rows_of(html) == ["r0:placement", "r1:sticking", "r2:placement"]

    @pytest.mark.parametrize(
        ("what", "order"),
        [
            ("up:r1", ["r1:sticking", "r0:placement"]),
            ("down:r0", ["r1:sticking", "r0:placement"]),
            ("up:r0", ["r0:placement", "r1:sticking"]),
            ("down:r1", ["r0:placement", "r1:sticking"]),
            ("up:r7", ["r0:placement", "r1:sticking"]),
            ("remove:r0", ["r1:sticking"]),
            ("remove:r7", ["r0:placement", "r1:sticking"]),
        ],
    )
    def test_rows_are_moved_and_taken_out(self, do, what, order):
        assert rows_of(do(what).content.decode()) == order

    def test_a_new_row_never_takes_the_name_of_another(self, do):
        html = do("add", new_rule="placement", rule=["r5:sticking", "r2:placement"])
        assert rows_of(html.content.decode())[-1] == "r6:placement"

    def test_what_is_typed_moves_along_though_it_is_not_good_yet(self, do):
        html = do("up:r1", **{"r0-surfaces_names": [], "r1-lead": "L"}).content.decode()
        assert re.search(r'<option value="L" selected>', html)
        assert re.search(r'<input[^>]*name="r0-values"[^>]*value="eighth"[^>]*checked', html)
        assert "field-error" not in html

    def test_the_page_counts_anew(self, do):
        assert do("up:r1").headers["HX-Trigger-After-Settle"] == '{"rules-changed": {}}'

    @pytest.mark.parametrize("what", ["", "sideways:r0", "add"])
    def test_what_no_button_asks_is_a_bad_request(self, do, what):
        assert do(what).status_code == 400


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
