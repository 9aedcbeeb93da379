"""Writing rule sets: what is sent is kept, or comes back with its errors; rows come and go."""

import re

import pytest
from django.urls import reverse

from rhythms.engine.rules import REGISTRY
from rhythms.models import RuleSet
from tests.rhythms.rule_sets.sent_rules import (
    BOTH_RULES,
    EIGHTHS_ON_SNARE,
    STORED,
    STORED_TOGETHER,
    TOGETHER,
    TOGETHER_ROWS,
    rows_of,
)

pytestmark = pytest.mark.django_db


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

    def test_both_hands_and_a_foot_under_them_are_kept(self, post, studio):
        post(**TOGETHER)
        assert studio.rule_sets.get(name="Mine").rules == STORED_TOGETHER

    def test_both_hands_on_one_drum_are_refused_beside_the_second_hand(self, post):
        html = post(**TOGETHER | {"r0-other_names": ["snare"]}).content.decode()
        after = html.split('id="id_r0-other_error"')[1]
        assert after.startswith(
            "><p>Two hands need two drums or cymbals: choose another one for this hand."
        )
        assert re.search(r'<input[^>]*name="r0-other_names"[^>]*value="snare"[^>]*checked', html)

    @pytest.mark.parametrize("part", ["one_names", "other_names"])
    def test_the_bass_drum_is_not_offered_to_a_hand(self, post, part):
        html = post(**TOGETHER | {f"r0-{part}": ["bass drum"]}).content.decode()
        assert "bass drum is not one of the available choices." in html

    @pytest.mark.parametrize(
        "given_away",
        [
            {"r2-on": "notes", "r2-foot": "bass drum", "rule": [*TOGETHER_ROWS, "r2:feet"]},
            {"r2-pattern": "RLF", "rule": [*TOGETHER_ROWS, "r2:linear"]},
        ],
    )
    def test_a_foot_under_notes_that_one_limb_has_is_refused_beside_the_notes(
        self, post, studio, given_away
    ):
        html = post(**TOGETHER | given_away).content.decode()
        after = html.split('id="id_r1-values_error"')[1]
        assert "leaves these notes to one limb: choose other notes here" in after[:300]
        assert '<a href="#r1">Rule 2, Notes: ' in html
        assert not studio.rule_sets.filter(name="Mine").exists()

    def test_feet_that_keep_going_twice_are_refused_beside_the_second(self, post, studio):
        feet = {"r1-pattern": "samba", "r2-pattern": "four on the floor"}
        rows = ["r1:feet keep going", "r2:feet keep going"]
        html = post(**TOGETHER | feet | {"rule": rows}).content.decode()
        after = html.split('id="id_r2-pattern_error"')[1]
        assert "“The feet keep going: samba” says already what they play" in after[:200]
        assert 'id="id_r1-pattern_error"' not in html
        assert not studio.rule_sets.filter(name="Mine").exists()

    def test_some_of_the_notes_may_be_left_to_a_foot(self, post, studio):
        feet = {"r2-on": "notes", "r2-values": ["16th"], "r2-foot": "bass drum"}
        post(**TOGETHER | feet | {"rule": [*TOGETHER_ROWS, "r2:feet"]})
        assert len(studio.rule_sets.get(name="Mine").rules) == 3

    def test_nothing_typed_is_lost_with_an_error(self, post):
        changes = {"r0-surfaces_names": [], "name": "My <own> set", "r1-lead": "L"}
        html = post(**BOTH_RULES | changes).content.decode()
        assert 'value="My &lt;own&gt; set"' in html
        assert rows_of(html) == ["r0:placement", "r1:sticking"]
        assert re.search(r'<input[^>]*name="r0-values"[^>]*value="eighth"[^>]*checked', html)
        assert re.search(r'<option value="L" selected>', html)

    def test_every_row_is_judged(self, post):
        broken = {"r0-surfaces_names": [], "r1-rudiment": "gong roll"}
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
            {"rule": "placement", "values": ["half"], "surfaces": {"anything but": ["toms"]}},
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
        rules = [{"rule": "placement", "values": ["half"], "surfaces": ["snare"]}]
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
