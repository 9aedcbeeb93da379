"""A small share of what `python -m tests.hostile` sends, and that it is worth its while."""

from random import Random

import hypothesis.core
import pytest
from django.urls import reverse

from tests.hostile.attack import Tally, attack, target
from tests.hostile.hostile_requests import TURNS, RequestMaker
from tests.hostile.known_forms import SERIALIZERS, json_for
from tests.thoroughness import amount

#: So many well meant requests of each address are tried, until one is let in.
TRIES = 16
#: A refusal that the code behind the door gave: in words, or since something stands in the way.
CONSIDERED = {409, 422}


#: Where a form that is filled in as it should be leads on to another page.
SAVED = (
    "assignments:assign", "assignments:log", "rhythms:bar-new", "rhythms:rule-set-edit",
    "studio:kit-add", "studio:settings", "studio:student-add", "studio:student-edit",
)  # fmt: skip


@pytest.fixture(scope="module")
def site(django_db_setup, django_db_blocker):
    with django_db_blocker.unblock(), target() as site:
        yield site


@pytest.mark.django_db
def test_no_hostile_request_breaks_a_page(site):
    """Another share in every run; the seed that is printed brings it back."""
    seed = hypothesis.core.global_force_seed or 1
    tally, requests = Tally(), amount(2000, 200)
    assert list(attack(site, requests, seed, tally))[-1] == sum(tally.codes.values()) == requests
    assert tally.failures == []


@pytest.mark.django_db
def test_what_is_meant_well_is_let_in_at_every_address(site):
    """Or else the hostile ones would be turned away at the door, and find nothing."""
    shut = []
    maker = RequestMaker(Random(5), site.things, site.forms)
    for row, method in TURNS:
        codes = set()
        for _ in range(TRIES):
            request = maker.of(row, method, harm=False)
            code = site.send_and_undo(request)[0].status_code
            codes.add(code)
            if code < 400 or code in CONSIDERED:
                break
        else:
            shut.append((row.name, method, codes))
    assert shut == [("studio:metrics", "GET", {401})]  # asks for a key of its own


@pytest.mark.django_db
def test_forms_of_pages_are_saved_when_nothing_is_done_to_them(site):
    """What changes something answers by sending on: so often does a well meant form get there."""
    sent_on = {*SAVED}
    maker = RequestMaker(Random(3), site.things, site.forms)
    for row, method in TURNS:
        if row.name in sent_on and method == "POST":
            for _ in range(TRIES):
                if site.send_and_undo(maker.of(row, method, harm=False))[0].status_code == 302:
                    sent_on.remove(row.name)
                    break
    assert sent_on == set()


@pytest.mark.django_db
@pytest.mark.parametrize("key", SERIALIZERS, ids=" ".join)
def test_what_a_program_sends_has_all_that_the_api_asks_for(site, key):
    kind = SERIALIZERS[key](context={"student": site.things["student"]})
    sent = [json_for(key, Random(seed), site.things) for seed in range(TRIES)]
    required = {name for name, field in kind.fields.items() if field.required}
    assert all(required <= set(one) for one in sent)
    assert set().union(*sent) == set(kind.fields)


@pytest.mark.django_db
def test_every_address_of_the_api_that_takes_json_is_known(site):
    """A new one needs its serializer in `SERIALIZERS`, or its fields would never be tried."""
    takes_nothing = {"assignments:api-mastered", "assignments:api-take-back"}
    wanted = {(row.name, method) for row, method in TURNS if row.api and method != "GET"}
    assert {key for key in wanted if key[0] not in takes_nothing} == set(SERIALIZERS)


@pytest.mark.django_db
def test_an_error_is_found(site, monkeypatch):
    """Where a guard is gone: here the one against ids of thousands of digits."""
    monkeypatch.setattr("rhythms.rule_sets.views.number_in", lambda text, most=0: int(text))
    request = RequestMaker(Random(1), site.things, site.forms).of(
        next(row for row, _ in TURNS if row.name == "rhythms:rule-set"), "GET", harm=False
    )
    broken = request._replace(
        path=reverse("rhythms:rule-set", args=[site.things["rule_set"].pk]),
        query="bar=" + "9" * 5000,
    )
    answer, error = site.send_and_undo(broken)
    assert answer.status_code == 500
    assert "ValueError" in error


@pytest.mark.django_db
def test_the_same_seed_sends_the_same_requests(site):
    def some():
        maker = RequestMaker(Random("1-0"), site.things, site.forms)
        return [str(maker.make()) for _ in range(50)]

    assert some() == some()
