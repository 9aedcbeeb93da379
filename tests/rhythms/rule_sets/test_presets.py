"""Rule sets that teachers ask for: each can be begun with, counted, and kept."""

import pytest
from django.urls import reverse

from rhythms.engine import Bar, FillSpace, Kit
from rhythms.engine import RuleSet as Rules
from rhythms.models import RuleSet
from rhythms.rule_sets.presets import PRESETS
from tests.rhythms.rule_sets.sent_rules import rows_of

#: With accents, eighths and 16ths, so that every one of them has something to speak of.
BAR = Bar.from_counts("1> & 2 e & a> 3 & 4> e & a")
NEW = reverse("rhythms:rule-set-new")


@pytest.mark.parametrize("preset", PRESETS, ids=lambda preset: preset.slug)
def test_a_preset_allows_fills_on_the_standard_kit_whichever_hand_leads(preset):
    rules = Rules.from_json(preset.rules)
    assert rules.to_json() == preset.rules
    assert FillSpace(BAR, rules, Kit.standard()).size > 0
    mirrored = FillSpace(BAR, rules.mirrored(), Kit.standard(left_handed=True))
    assert mirrored.size == FillSpace(BAR, rules, Kit.standard()).size


def test_accents_go_to_the_toms_and_the_rest_is_ghosted_on_the_snare():
    rules = Rules.from_json(PRESETS[0].rules)
    for fill in FillSpace(BAR, rules, Kit.standard()).sample(20, seed=1):
        for note, stroke in zip(fill.bar.sounded, fill.strokes, strict=True):
            loud = stroke.dynamic == "accent" and stroke.surface.endswith("tom")
            soft = stroke.dynamic == "ghost" and stroke.surface == "snare"
            assert loud if note.accent else soft


@pytest.mark.parametrize(
    "counts", ["1> & 2 e & a> 3 & 4> e & a", "1 & 2 & 3 & 4 &", "1 trip let 2 trip let 3 4"]
)
@pytest.mark.parametrize(
    ("slug", "cymbal"), [("right-stays-on-ride", "ride"), ("crash-with-bass-drum", "crash")]
)
def test_no_fill_of_a_preset_is_without_the_cymbal_it_is_named_after(slug, cymbal, counts):
    (preset,) = (preset for preset in PRESETS if preset.slug == slug)
    space = FillSpace(Bar.from_counts(counts), Rules.from_json(preset.rules), Kit.standard())
    without = Rules.from_json(
        [*preset.rules, {"rule": "placement", "surfaces": {"anything but": [cymbal]}}]
    )
    assert space.size > 0
    assert FillSpace(space.bar, without, Kit.standard()).size == 0


class TestBeginning:
    def test_a_new_rule_set_offers_all_of_them(self, teacher_client):
        html = teacher_client.get(NEW).content.decode()
        for preset in PRESETS:
            assert f'href="?preset={preset.slug}"' in html

    @pytest.mark.parametrize("preset", PRESETS, ids=lambda preset: preset.slug)
    def test_one_is_begun_with_its_name_and_rules(self, teacher_client, preset):
        html = teacher_client.get(NEW, {"preset": preset.slug}).content.decode()
        assert f'value="{preset.name}"'.replace("&", "&amp;") in html
        assert rows_of(html) == [f"r{n}:{rule['rule']}" for n, rule in enumerate(preset.rules)]

    def test_one_that_there_is_not_is_not_found(self, teacher_client):
        assert teacher_client.get(NEW, {"preset": "gallop"}).status_code == 404

    def test_a_kept_rule_set_offers_none(self, teacher_client, studio):
        kept = RuleSet.objects.create(studio=studio, name="Mine", rules=PRESETS[0].rules)
        html = teacher_client.get(reverse("rhythms:rule-set-edit", args=[kept.pk])).content.decode()
        assert "?preset=" not in html
