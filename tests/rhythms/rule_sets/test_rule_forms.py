"""A rule goes through the page's form and comes back as it was."""

import pytest
from django.http import QueryDict
from hypothesis import example, given
from lxml import html

from rhythms.engine import RuleSet as Rules
from rhythms.engine.rules import REGISTRY
from rhythms.rule_sets.forms import RULE_CHOICES, RuleForm
from tests.engine.rules_at_random import rules


def sent(form: RuleForm) -> QueryDict:
    """What a browser would send of the form as it is shown."""
    data = QueryDict(mutable=True)
    for name, value in html.fromstring(f"<form>{form}</form>").form_values():
        data.appendlist(name, value)
    return data


def through_the_page(rule: dict) -> RuleForm:
    made = REGISTRY[rule["rule"]]
    return RuleForm(made, sent(RuleForm(made, prefix="r0", initial=rule)), prefix="r0")


def in_page_order(rule: dict) -> dict:
    """The rule as the engine reads it, with its lists in one order: a page has its own."""
    [read] = Rules.from_json([rule]).to_json()
    return {key: in_one_order(part) for key, part in read.items()}


def in_one_order(part):
    """A list sorted, also one of what is left out: `{"anything but": […]}`."""
    if isinstance(part, dict):
        return {key: in_one_order(inner) for key, inner in part.items()}
    return sorted(part) if isinstance(part, list) else part


@example({"rule": "placement", "surfaces": {"anything but": ["open hi-hat", "snare"]}})
@given(rules)
def test_a_rule_that_is_shown_and_sent_again_is_the_same_rule(rule):
    form = through_the_page(rule)
    assert form.is_valid(), form.errors
    assert in_page_order(form.to_json()) == in_page_order(rule)


def test_every_rule_can_be_added_under_what_it_is_for():
    assert sorted(name for _, rules in RULE_CHOICES for name, _ in rules) == sorted(REGISTRY)
    assert all(rules for _, rules in RULE_CHOICES)


@pytest.mark.parametrize(
    ("rule", "message"),
    [
        ({"rule": "at most in a row", "n": 0}, "n"),
        ({"rule": "visit at least", "surfaces": 1000}, "surfaces"),
        ({"rule": "dynamics", "dynamic": "accent", "counts": ["5 x"]}, "counts"),
        ({"rule": "linear", "pattern": "RLX"}, "pattern"),
    ],
)
def test_what_cannot_be_read_has_an_error_at_its_field(rule, message):
    form = through_the_page(rule)
    assert list(form.errors) == [message]


def test_a_folded_field_that_says_something_is_opened():
    assert not through_the_page({"rule": "dynamics", "dynamic": "ghost"}).has_more()
    rule = {"rule": "dynamics", "dynamic": "ghost", "position": "off the beat"}
    assert through_the_page(rule).has_more()


@pytest.mark.parametrize("typed", ["9", "-1", "two", "1.5"])
def test_a_number_that_is_not_to_be_had_is_told_its_bounds(typed):
    data = QueryDict(f"r0-bars=4&r0-smaller={typed}")
    form = RuleForm(REGISTRY["phrase"], data, prefix="r0")
    assert form.problems == [
        "Beats of the smaller fill: Give a whole number from 0 to 4.",
    ]
    assert form["smaller"].value() == typed
