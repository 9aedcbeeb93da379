"""The engine over HTTP."""

import pytest
from django.urls import reverse
from rest_framework.test import APIClient

from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet
from studio.accounts.throttling import CountsByPerson
from studio.surface_names import SURFACES
from tests.assignments.making import LONG_COUNTS, TOO_MUCH
from tests.rhythms.conftest import MAIN_BAR

pytestmark = pytest.mark.django_db

EIGHTHS_ON_SNARE = [{"rule": "placement", "values": ["eighth"], "surfaces": ["snare"]}]
PARADIDDLE = [{"rule": "sticking", "values": ["16th"], "rudiment": "single paradiddle"}]


@pytest.fixture
def ask(teacher):
    client = APIClient()
    client.force_login(teacher)

    def ask(**changes):
        question = {"counts": MAIN_BAR, "meter": "4/4", "rules": EIGHTHS_ON_SNARE} | changes
        sent = {key: value for key, value in question.items() if value is not ...}
        return client.post(reverse("rhythms:api-fill-space"), sent)

    return ask


def test_the_size_is_exact_and_text(ask):
    assert ask().json()["size"] == "16777216"


def test_a_size_past_64_bits_is_exact(ask):
    answer = ask(counts="1 e & a 2 e & a 3 e & a 4 e & a", rules=PARADIDDLE).json()
    assert int(answer["size"]) == 8**16
    six = "trip let & trip let"
    answer = ask(counts=f"1 {six} 2 {six} 3 {six} 4 {six}", rules=[]).json()
    assert int(answer["size"]) == 8**24 > 2**64


def test_rules_that_are_too_much_to_count_are_refused_by_their_field(ask):
    answer = ask(counts=LONG_COUNTS, meter="15/4", rules=TOO_MUCH, kit={"surfaces": list(SURFACES)})
    assert answer.status_code == 400
    assert answer.json()["rules"][0]["code"] == "too-many-states"


def test_the_rules_stand_as_sentences(ask):
    assert ask().json()["sentences"] == ["Eighths go on the snare."]


def test_no_fills_are_drawn_unless_asked_for(ask):
    assert ask().json()["fills"] == []


def test_fills_are_drawn_by_the_seed(ask):
    first, again, other = (ask(sample=3, seed=seed).json()["fills"] for seed in (5, 5, 6))
    assert first == again != other


def test_a_drawn_fill_is_the_one_of_its_rank(ask):
    space = FillSpace(
        Bar.from_counts(MAIN_BAR), RuleSet.from_json(EIGHTHS_ON_SNARE), Kit.standard()
    )
    for fill in ask(sample=5).json()["fills"]:
        assert Fill.from_json(fill) == space.fill(int(fill["rank"]))


def test_where_there_are_fewer_fills_all_are_given(ask):
    on_the_snare = [{"rule": "placement", "surfaces": ["snare"]}]
    assert len(ask(rules=on_the_snare, sample=9).json()["fills"]) == 1


def test_an_empty_space_says_why(ask):
    answer = ask(rules=[{"rule": "placement", "surfaces": ["china"]}]).json()
    assert answer["size"] == "0"
    assert "this kit has no china" in answer["clash"]


def test_a_kit_can_be_sent(ask):
    assert ask(kit={"surfaces": ["snare", "ride"]}).json()["size"] == str(2**8)


def test_a_left_handed_kit_mirrors_the_rules(ask):
    on_the_snare = [*PARADIDDLE, {"rule": "placement", "surfaces": ["snare"]}]
    kit = Kit.standard(left_handed=True).to_json()
    (fill,) = ask(rules=on_the_snare, kit=kit, sample=1).json()["fills"]
    assert fill["strokes"][0][1] == "L"


def test_the_meter_is_4_4_where_none_is_sent(ask):
    assert ask(meter=...).json()["size"] == "16777216"


@pytest.mark.parametrize(
    ("changes", "field", "code", "place"),
    [
        ({"counts": "1 & 2 x"}, "counts", "count-line", {"column": 6}),
        ({"counts": " 1 & 2 x"}, "counts", "count-line", {"column": 7}),
        ({"counts": ...}, "counts", "required", {}),
        ({"counts": ["1"]}, "counts", "invalid", {}),
        ({"counts": "1 - - -", "meter": "4/3"}, "meter", "meter", {"field": "meter"}),
        ({"rules": ...}, "rules", "required", {}),
        ({"rules": {}}, "rules", "rule", {}),
        ({"rules": [{"rule": "jazz"}]}, "rules", "rule", {"rule": 0, "field": "rule"}),
        (
            {"rules": [*EIGHTHS_ON_SNARE, {"rule": "placement"}]},
            "rules",
            "rule",
            {"rule": 1, "field": "surfaces"},
        ),
        ({"kit": {"surfaces": ["gong"]}}, "kit", "kit", {"field": "surfaces"}),
        ({"kit": ["snare"]}, "kit", "not_a_dict", {}),
        ({"kit": {}}, "kit", "kit", {"field": "surfaces"}),
        ({"sample": -1}, "sample", "min_value", {}),
        ({"sample": 51}, "sample", "max_value", {}),
        ({"seed": "x"}, "seed", "invalid", {}),
    ],
)
def test_an_error_is_coded_and_stands_by_its_field(ask, changes, field, code, place):
    response = ask(**changes)
    assert response.status_code == 400
    (error,) = response.json()[field]
    assert error["code"] == code
    assert error["message"]
    assert place.items() <= error.items()


def test_errors_of_several_fields_come_at_once(ask):
    assert set(ask(counts="x", rules=[{}], kit={"surfaces": []}).json()) == {
        "counts",
        "rules",
        "kit",
    }


@pytest.mark.parametrize(
    "rules",
    [
        [[]],
        ["placement"],
        [{"rule": ["placement"]}],
        [{"rule": "placement", "surfaces": {"anything but": 5}}],
        [{"rule": "placement", "surfaces": [["snare"]]}],
        [{"rule": "placement", "surfaces": "snare"}],
        [{"rule": "placement", "surfaces": [None]}],
        [{"rule": "placement", "values": 5, "surfaces": ["snare"]}],
        [{"rule": "placement", "values": [{}], "surfaces": ["snare"]}],
        [{"rule": "sticking", "rudiment": {}}],
        [{"rule": "sticking", "rudiment": ["single paradiddle"]}],
        None,
        5,
        "rules",
    ],
)
def test_rules_of_any_other_shape_are_an_error_of_the_rules(ask, rules):
    response = ask(rules=rules)
    assert response.status_code == 400
    assert set(response.json()) == {"rules"}


@pytest.mark.parametrize(
    "kit",
    [
        {"surfaces": 5},
        {"surfaces": [5]},
        {"surfaces": [["snare"]]},
        {"surfaces": [{}]},
        {"surfaces": None},
        {"surfaces": ["snare", "snare"]},
        {"surfaces": ["bass drum"]},
    ],
)
def test_kits_of_any_other_shape_are_an_error_of_the_kit(ask, kit):
    response = ask(kit=kit)
    assert response.status_code == 400
    assert set(response.json()) == {"kit"}


@pytest.mark.parametrize("body", ["", "{", "[]", "5", "null", '"x"'])
def test_a_body_that_is_no_question_is_refused(teacher, body):
    client = APIClient()
    client.force_login(teacher)
    url = reverse("rhythms:api-fill-space")
    response = client.post(url, body, content_type="application/json")
    assert response.status_code == 400


class TestAskingOften:
    @pytest.fixture(autouse=True)
    def two_a_minute(self, monkeypatch):
        monkeypatch.setitem(CountsByPerson.THROTTLE_RATES, "counts", "2/minute")

    @pytest.fixture
    def asked_twice(self, ask):
        assert [ask().status_code for _ in range(2)] == [200, 200]

    def test_the_third_time_is_refused_with_a_sentence(self, ask, asked_twice):
        answer = ask()
        assert answer.status_code == 429
        assert answer.json()["detail"].startswith("You have asked too often. Wait ")

    def test_a_program_is_told_how_long_to_wait(self, ask, asked_twice):
        assert 0 < int(ask()["Retry-After"]) <= 60

    def test_another_teacher_is_answered(self, ask, asked_twice, other_teacher):
        client = APIClient()
        client.force_login(other_teacher)
        sent = {"counts": MAIN_BAR, "rules": EIGHTHS_ON_SNARE}
        assert client.post(reverse("rhythms:api-fill-space"), sent).status_code == 200
