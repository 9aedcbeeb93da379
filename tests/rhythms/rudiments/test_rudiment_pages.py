"""The page of the rudiments, and what is begun from it: a rule set, a bar."""

import re

import pytest
from django.urls import reverse

from rhythms.engine import FillSpace, Kit, RuleSet
from rhythms.engine.rudiments.overlays import OVERLAYS, STICKINGS
from rhythms.engine.rudiments.rudiment_fill import rudiment_fill
from rhythms.engine.rudiments.rudiment_table import RUDIMENT_FAMILIES, RUDIMENTS
from rhythms.models import Rendering, SourceBar
from rhythms.renderings import rendering_maker
from rhythms.renderings.rendering_store import rendering_for
from studio.models import Student

pytestmark = pytest.mark.django_db

PAGE = reverse("rhythms:rudiments")
NEW = reverse("rhythms:rule-set-new")
SINGLE_PARADIDDLE, FLAM_PARADIDDLE = RUDIMENTS[15], RUDIMENTS[23]


def shown(client, **query) -> str:
    return client.get(PAGE, query).content.decode()


def items(html: str) -> dict[int, str]:
    """What stands of each rudiment, by its number."""
    parts = re.split(r'<li id="rudiment-(\d+)">', html)
    return dict(zip(map(int, parts[1::2]), parts[2::2], strict=True))


class TestThePage:
    def test_all_forty_are_there_by_family_in_the_order_of_the_sheet(self, teacher_client):
        html = shown(teacher_client)
        assert [*items(html)] == list(range(1, 41))
        assert re.findall(r"<h2 [^>]*>([^<]+)</h2>", html) == [*RUDIMENT_FAMILIES.values()]
        assert all(one.name in items(html)[one.number] for one in RUDIMENTS)

    def test_each_says_its_letters_by_either_hand(self, teacher_client):
        of_24 = items(shown(teacher_client))[24]
        assert "lR&gt; L R R rL&gt; R L L" in of_24
        assert "rL&gt; R L L lR&gt; L R R" in of_24

    def test_each_is_to_be_heard(self, teacher_client):
        assert all("data-hear=" in item for item in items(shown(teacher_client)).values())

    @pytest.mark.django_db(transaction=True)
    def test_each_is_engraved_once_and_comes_when_it_is_looked_at(self, teacher_client):
        for _ in range(2):
            found = items(shown(teacher_client))
        assert all('loading="lazy"' in item for item in found.values())
        assert Rendering.objects.count() == len(RUDIMENTS)

    @pytest.mark.parametrize(("lead", "letter"), [("R", "R"), ("L", "L"), ("x", "R"), ("", "R")])
    def test_the_hand_that_leads_is_chosen(self, teacher_client, lead, letter):
        shown(teacher_client, lead=lead)
        paradiddle = rudiment_fill(SINGLE_PARADIDDLE, letter).to_json()
        assert Rendering.objects.filter(source__fill=paradiddle).exists()
        assert Rendering.objects.count() == len(RUDIMENTS)

    def test_it_costs_few_queries_however_many_rudiments(
        self, teacher_client, django_assert_num_queries
    ):
        shown(teacher_client)
        # Session, teacher, studio; all renderings.
        with django_assert_num_queries(4):
            shown(teacher_client)

    def test_a_rhythm_that_was_not_checked_says_so(self, teacher_client):
        before, of_flams = shown(teacher_client).split('<h2 id="flam">')
        assert "not checked" not in before
        assert of_flams.count("was not checked against a book") == 2

    def test_a_student_hears_and_reads_them_and_begins_nothing(self, student_client):
        html = shown(student_client)
        assert [*items(html)] == list(range(1, 41))
        assert NEW not in html
        assert "Use as a bar" not in html

    def test_a_left_handed_student_sees_the_left_hand_lead(self, student_client, student):
        student.handedness = Student.Handedness.LEFT
        student.save()
        assert 'href="?lead=L" aria-current' in shown(student_client)

    @pytest.mark.parametrize("who", ["teacher_client", "student_client", "other_student_client"])
    def test_whoever_is_signed_in_sees_the_engravings(self, request, who):
        rendering = rendering_for(rudiment_fill(FLAM_PARADIDDLE, "L"))
        rendering_maker.make(rendering.key)
        address = reverse("rhythms:rendering-svg", args=[rendering.key])
        assert request.getfixturevalue(who).get(address).status_code == 200

    def test_nobody_else_does(self, client):
        rendering = rendering_for(rudiment_fill(FLAM_PARADIDDLE))
        rendering_maker.make(rendering.key)
        address = reverse("rhythms:rendering-svg", args=[rendering.key])
        assert client.get(address).status_code == 302


def link_of(html: str, number: int) -> str:
    address = re.search(rf'href="({NEW}[^"]*)"', items(html)[number])[1]
    return address.replace("&amp;", "&")


class TestLaidOverNotes:
    def test_what_goes_over_any_notes_offers_the_16ths(self, teacher_client):
        html = shown(teacher_client)
        offered = {
            one.said for one in RUDIMENTS if "Lay this over your 16ths" in items(html)[one.number]
        }
        assert offered == {name for name in OVERLAYS if "rotation" not in name}

    def test_every_link_begins_a_rule_set_with_that_rudiment(self, teacher_client):
        html = shown(teacher_client)
        for one in RUDIMENTS:
            page = teacher_client.get(link_of(html, one.number))
            (row,) = page.context["rows"]
            assert row["rudiment"].value() == one.said
            assert row["values"].value() == (["16th"] if one.said in OVERLAYS else None)
            assert row["accents"].value() == "rudiment"

    def test_the_rule_set_says_and_counts_itself_at_once(self, teacher_client):
        page = teacher_client.get(link_of(shown(teacher_client), 24))
        html = page.content.decode()
        assert 'value="Flam paradiddle on the 16ths"' in html
        assert "A flam paradiddle on the 16ths, right hand first, with its accents" in html
        assert "fills: at one a minute" in html

    def test_it_is_kept_as_it_was_begun(self, teacher_client, studio):
        address = link_of(shown(teacher_client), 24)
        page = teacher_client.get(address)
        (row,) = page.context["rows"]
        sent = {
            field.html_name: field.value() for field in row if field.value() not in (None, "", [])
        }
        named = {"name": page.context["form"]["name"].value(), "rule": "r0:sticking"}
        assert teacher_client.post(address, sent | named).status_code == 302
        kept = studio.rule_sets.get(name="Flam paradiddle on the 16ths")
        assert kept.rules == [
            {
                "rule": "sticking",
                "values": ["16th"],
                "rudiment": "flam paradiddle",
                "lead": "R",
                "follow": "notes",
                "restart": "never",
                "others": "alternate",
                "accents": "rudiment",
            }
        ]

    @pytest.mark.parametrize(
        "asked", [{"rudiment": "gong roll"}, {"rudiment": "flam", "on": "crotchet"}]
    )
    def test_what_there_is_not_is_not_found(self, teacher_client, asked):
        assert teacher_client.get(NEW, asked).status_code == 404

    def test_every_sticking_stands_under_a_heading_once(self, teacher_client):
        html = teacher_client.get(NEW, {"rudiment": "flam", "on": "16th"}).content.decode()
        select = re.search(r'<select name="r0-rudiment".*?</select>', html, re.DOTALL)[0]
        options = re.findall(r'<option value="([^"]*)"', select)
        assert sorted(options) == sorted(STICKINGS)
        assert select.count("<optgroup") == len(RUDIMENT_FAMILIES) + 2


def use_as_a_bar(client, number):
    return client.post(reverse("rhythms:rudiment-bar"), {"number": number})


class TestAsABar:
    def test_it_is_among_the_bars_with_its_rhythm_and_accents(self, teacher_client, studio):
        answer = use_as_a_bar(teacher_client, 23)
        bar = studio.bars.get(name="Flamacue")
        assert answer["Location"] == reverse("rhythms:bar", args=[bar.pk])
        assert (bar.meter, bar.counts) == ("4/4", "1 e> & a 2 3 e> & a 4")
        assert bar.reference == "Rudiment 23 of 40"
        assert bar.bar == rudiment_fill(RUDIMENTS[22]).bar

    def test_it_is_said_what_the_bar_has_and_where_the_rest_is(self, teacher_client):
        page = teacher_client.get(use_as_a_bar(teacher_client, 30)["Location"])
        (told,) = map(str, page.context["messages"])
        assert told == (
            "“Flam Drag” is among your bars now, with its rhythm and accents. Its hands, grace "
            "notes and rolls are a rule set: take it from the page of rudiments."
        )

    def test_twice_is_once(self, teacher_client, studio):
        first, second = (use_as_a_bar(teacher_client, 24) for _ in range(2))
        assert first["Location"] == second["Location"]
        assert studio.bars.filter(name__startswith="Flam Paradiddle").count() == 1

    def test_a_name_that_another_bar_has_gets_a_number(self, teacher_client, studio):
        studio.bars.create(name="flamacue", meter="4/4", counts="1 2 3 4")
        use_as_a_bar(teacher_client, 23)
        assert studio.bars.filter(name="Flamacue (2)").exists()

    def test_every_one_is_offered_and_counted_as_it_was(self, teacher_client, studio):
        html, different = shown(teacher_client), []
        for one in RUDIMENTS:
            assert "Use as a bar" in items(html)[one.number]
            use_as_a_bar(teacher_client, one.number)
            if studio.bars.get(name=one.name).bar != rudiment_fill(one).bar:
                different.append(one.name)
        assert different == []

    def test_a_bar_of_the_library_and_its_own_rule_set_give_the_rudiment_again(
        self, teacher_client, studio
    ):
        use_as_a_bar(teacher_client, 7)
        bar = studio.bars.get(name="Five Stroke Roll")
        (row,) = teacher_client.get(link_of(shown(teacher_client), 7)).context["rows"]
        rules = [row.initial, {"rule": "placement", "surfaces": ["snare"]}]
        space = FillSpace(bar.bar, RuleSet.from_json(rules), Kit.standard())
        assert (space.size, space.fill(0)) == (1, rudiment_fill(RUDIMENTS[6]))

    @pytest.mark.parametrize("number", [0, 41, 99999, -1, "", "flam"])
    def test_there_are_forty_and_no_more(self, teacher_client, number):
        assert use_as_a_bar(teacher_client, number).status_code == 400

    def test_another_studio_gets_nothing_of_it(self, teacher_client, studio, other_teacher):
        use_as_a_bar(teacher_client, 24)
        with_it = SourceBar.objects.filter(name="Flam Paradiddle")
        assert [bar.studio for bar in with_it] == [studio]
