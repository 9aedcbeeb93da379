"""Bars, rule sets and ladders as a studio keeps them."""

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError

from rhythms.engine import Bar
from rhythms.models import Ladder, RuleSet, SourceBar
from studio.removal import StillNeededError

COUNTS = "1 & 2 e & a 3 & 4 e & a"
ALL_SNARE = [{"rule": "placement", "surfaces": ["snare"]}]


def errors_of(bar: SourceBar, field: str) -> ValidationError:
    with pytest.raises(ValidationError) as raised:
        bar.clean()
    (error,) = raised.value.error_dict[field]
    return error


def test_a_bar_is_kept_as_the_engine_prints_it():
    bar = SourceBar(counts="  1 +  2 E and A   3 & 4 e & a ", meter="4/4")
    bar.clean()
    assert bar.counts == COUNTS


def test_a_bar_knows_its_notes():
    assert SourceBar(counts=COUNTS, meter="4/4").bar == Bar.from_counts(COUNTS)


def test_a_bar_follows_its_count_line_when_that_is_edited():
    bar = SourceBar(counts=COUNTS, meter="4/4")
    assert len(bar.bar.sounded) == 12
    bar.counts = "1 2 3 4"
    bar.clean()
    assert len(bar.bar.sounded) == 4


def test_a_count_line_that_cannot_be_read_says_where():
    error = errors_of(SourceBar(counts="1 & 2 x", meter="4/4"), "counts")
    assert (error.code, error.params["column"]) == ("count-line", 6)


@pytest.mark.parametrize("typed", ["%", "%s", "1 %(column)s", "100%d"])
def test_a_percent_sign_in_a_count_line_comes_back_as_typed(typed):
    error = errors_of(SourceBar(counts=typed, meter="4/4"), "counts")
    assert typed.split()[-1] in error.messages[0]


def test_an_unknown_meter_is_an_error_of_the_meter():
    assert errors_of(SourceBar(counts=COUNTS, meter="4/3"), "meter").code == "meter"


@pytest.mark.parametrize("counts", ["(1) (2) (3) (4)", "(1)"])
def test_a_bar_without_a_stroke_is_refused_in_words(counts):
    error = errors_of(SourceBar(counts=counts, meter="4/4" if " " in counts else "1/4"), "counts")
    assert error.code == "nothing-sounds"
    assert "Let at least one count sound" in error.messages[0]


def test_rules_that_the_engine_cannot_read_are_refused_with_their_place(empty_studio):
    rule_set = RuleSet(studio=empty_studio, name="Odd", rules=[*ALL_SNARE, {"rule": "placement"}])
    with pytest.raises(ValidationError) as raised:
        rule_set.full_clean()
    (error,) = raised.value.error_dict["rules"]
    assert (error.code, error.params) == ("rule", {"rule": 1, "field": "surfaces"})


def test_a_rule_set_says_its_rules():
    assert RuleSet(rules=ALL_SNARE).sentences() == ("All notes go on the snare.",)


@pytest.mark.parametrize(
    ("kind", "details"),
    [(SourceBar, {"counts": COUNTS}), (RuleSet, {}), (Ladder, {})],
    ids=["bar", "rule set", "ladder"],
)
class TestNames:
    def test_no_two_of_a_kind_have_one_name(self, empty_studio, kind, details):
        kind.objects.create(studio=empty_studio, name="Walk", **details)
        with pytest.raises(IntegrityError):
            kind.objects.create(studio=empty_studio, name="wALK", **details)

    def test_another_studio_may_use_the_name(self, empty_studio, other_studio, kind, details):
        kind.objects.create(studio=empty_studio, name="Walk", **details)
        assert kind.objects.create(studio=other_studio, name="Walk", **details).pk

    def test_the_name_of_a_removed_one_is_free(self, empty_studio, kind, details):
        kind.objects.create(studio=empty_studio, name="Walk", **details).remove()
        assert kind.objects.create(studio=empty_studio, name="Walk", **details).pk

    def test_what_comes_back_to_a_taken_name_is_numbered(self, empty_studio, kind, details):
        removed = kind.objects.create(studio=empty_studio, name="Walk", **details)
        removed.remove()
        kind.objects.create(studio=empty_studio, name="walk", **details)
        kind.objects.create(studio=empty_studio, name="Walk (2)", **details)
        removed.restore()
        removed.refresh_from_db()
        assert (removed.name, removed.removed_at) == ("Walk (3)", None)

    def test_a_long_name_is_shortened_to_be_numbered(self, empty_studio, kind, details):
        removed = kind.objects.create(studio=empty_studio, name="w" * 80, **details)
        removed.remove()
        kind.objects.create(studio=empty_studio, name="w" * 80, **details)
        removed.restore()
        assert removed.name == "w" * 76 + " (2)"


class TestLadders:
    @pytest.fixture
    def ladder(self, empty_studio):
        ladder = Ladder.objects.create(studio=empty_studio, name="Steps")
        for name in ("one", "two", "three"):
            ladder.add_step(RuleSet.objects.create(studio=empty_studio, name=name, rules=ALL_SNARE))
        return ladder

    @staticmethod
    def order(ladder: Ladder) -> list[str]:
        return [str(step) for step in ladder.steps.kept()]

    def step(self, ladder: Ladder, name: str):
        return ladder.steps.get(rule_set__name=name)

    def test_a_step_is_added_at_the_end(self, ladder):
        assert self.order(ladder) == ["one", "two", "three"]

    def test_a_step_moves_up(self, ladder):
        assert self.step(ladder, "three").move(-1)
        assert self.order(ladder) == ["one", "three", "two"]

    def test_a_step_moves_down(self, ladder):
        assert self.step(ladder, "one").move(+1)
        assert self.order(ladder) == ["two", "one", "three"]

    @pytest.mark.parametrize(("name", "by"), [("one", -1), ("three", +1)])
    def test_a_step_at_the_end_of_the_ladder_stays(self, ladder, name, by):
        assert not self.step(ladder, name).move(by)
        assert self.order(ladder) == ["one", "two", "three"]

    def test_a_step_moves_past_a_removed_one(self, ladder):
        self.step(ladder, "two").remove()
        self.step(ladder, "three").move(-1)
        assert self.order(ladder) == ["three", "one"]

    def test_a_rule_set_on_a_ladder_cannot_be_removed(self, ladder):
        with pytest.raises(StillNeededError, match="a step of the ladder “Steps”"):
            self.step(ladder, "one").rule_set.remove()

    def test_a_rule_set_can_be_removed_once_its_step_is_out(self, ladder):
        step = self.step(ladder, "one")
        step.remove()
        step.rule_set.remove()
        assert not RuleSet.objects.kept().filter(name="one").exists()

    def test_a_removed_ladder_holds_no_rule_set(self, ladder):
        rule_set = self.step(ladder, "one").rule_set
        ladder.remove()
        assert rule_set.removal_refusal() == ""

    def test_a_ladder_comes_back_with_the_rule_sets_it_needs(self, ladder):
        rule_set = self.step(ladder, "one").rule_set
        ladder.remove()
        rule_set.remove()
        ladder.restore()
        rule_set.refresh_from_db()
        assert rule_set.removed_at is None

    def test_a_step_comes_back_with_its_rule_set(self, ladder):
        step = self.step(ladder, "one")
        step.remove()
        step.rule_set.remove()
        step.restore()
        assert RuleSet.objects.get(name="one").removed_at is None
