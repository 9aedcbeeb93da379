"""Strokes that a student has, given again over other feet or in another feel."""

import html
import re
from datetime import date, timedelta

import pytest
from django.urls import reverse

from assignments.assigning.assign import AlreadyTheirsError, held_by
from assignments.assigning.fill_draw import Draw, DrawRequest, PostedDraw, filled_in, key_of
from assignments.assigning.fills_had import fills_had, known_otherwise, ranks_in
from assignments.assigning.pick_fills import PickContext
from assignments.blocks import block_of
from assignments.models import AssignedVariation, Assignment
from assignments.models.variation import State
from assignments.today.day_plan import plan
from rhythms.engine import Bar, FillSpace, Kit, RuleSet, Surface
from rhythms.engine.bars.feel import SIXTEENTHS, STRAIGHT, Feel
from rhythms.engine.comfort import PlayedFill, Playing
from rhythms.fill_spaces import space_for
from rhythms.models import RuleSet as KeptRules
from rhythms.models import SourceBar
from studio.models import Student
from tests.assignments.assigning.test_assign_page import DRAW, PAGE, drawn, ranks
from tests.assignments.making import (
    ALL_ON_SNARE,
    EIGHTHS_STAY,
    first_fill,
    give,
    logged,
    make_bar,
    make_rule_set,
    today_of,
)
from tests.assignments.pages import address

pytestmark = pytest.mark.django_db

TRIPLET = Feel(67)
FOUR_ON_THE_FLOOR = {"rule": "feet keep going", "pattern": "four on the floor"}
SAMBA = {"rule": "feet keep going", "pattern": "samba"}


@pytest.fixture
def over_feet(studio):
    """The rules of the first lesson, and the same over feet."""
    names = {"four on the floor": FOUR_ON_THE_FLOOR, "samba": SAMBA}
    return {
        name: make_rule_set(studio, [*EIGHTHS_STAY, feet], name) for name, feet in names.items()
    }


@pytest.fixture
def filled(studio, student, over_feet):
    return {
        "bar": make_bar(studio).pk,
        "rule_set": over_feet["samba"].pk,
        "students": [student.pk],
        "how_many": "3",
        "tempo": "80",
        "block_bars": "4",
        "seed": "5",
        "strokes": "again",
    }


def strokes(assignment: Assignment) -> list:
    return [one.as_fill.strokes for one in assignment.variations.all()]


def filled_form(editor) -> dict:
    """What a rule set that is begun sends where nothing in it is changed."""
    form = editor.context["form"]
    fields = [field for row in form.rows for field in row]
    sent = {field.html_name: field.value() for field in fields if field.value()}
    for name, surfaces in [(name, each) for name, each in sent.items() if "surfaces" in name]:
        del sent[name]
        sent |= dict(zip((f"{name}_way", f"{name}_names"), surfaces, strict=True))
    return sent | {
        "name": form["name"].value(),
        "rule": [f"{row.prefix}:{row.name}" for row in form.rows],
    }


class TestGiving:
    def test_the_same_strokes_are_given_over_other_feet_and_swung(self, student, over_feet):
        given = [
            give(student, 2),
            give(student, 2, rule_set=over_feet["samba"]),
            give(student, 2, rule_set=over_feet["four on the floor"]),
            give(student, 2, feel=TRIPLET),
            give(student, 2, feel=Feel(67, SIXTEENTHS)),
        ]
        assert {str(strokes(one)) for one in given} == {str(strokes(given[0]))}
        assert AssignedVariation.objects.count() == 10

    @pytest.mark.parametrize("feel", [STRAIGHT, TRIPLET])
    def test_over_the_same_feet_in_the_same_feel_they_are_theirs(self, student, over_feet, feel):
        give(student, 2, rule_set=over_feet["samba"], feel=feel)
        with pytest.raises(AlreadyTheirsError):
            give(student, 2, rule_set=over_feet["samba"], feel=feel)

    def test_feet_are_what_they_strike_and_not_what_they_are_called(self, student, over_feet):
        give(student, 1, rule_set=over_feet["four on the floor"])
        typed = {"rule": "feet keep going", "pattern": "typed", "bass_drum": "1 2 3 4"}
        same = make_rule_set(student.studio, [*EIGHTHS_STAY, typed], "Typed")
        with pytest.raises(AlreadyTheirsError):
            give(student, 1, rule_set=same)

    @pytest.mark.parametrize("feels", [(STRAIGHT, TRIPLET), (TRIPLET, STRAIGHT)])
    def test_a_swing_of_notes_that_do_not_swing_there_is_no_other_feel(self, student, feels):
        bar = make_bar(student.studio, "1 & 2 3 4 5 6", "Six", "6/8")
        first, then = feels
        give(student, 1, bar=bar, feel=first)
        with pytest.raises(AlreadyTheirsError):
            give(student, 1, bar=bar, feel=then)

    def test_why_it_was_given_says_how_they_have_it(self, student, over_feet):
        give(student, 1)
        swung = give(student, 1, feel=TRIPLET)
        over = give(student, 1, rule_set=over_feet["samba"])
        assert first_fill(swung).reason.startswith(
            "They know these strokes straight; now in triplet swing. Playable to "
        )
        assert first_fill(over).reason.startswith(
            "They know these strokes with free feet and in triplet swing; "
            "now over samba and straight. Playable to "
        )

    def test_the_student_is_told_so_in_their_words(self, student, student_client):
        new, swung = first_fill(give(student, 1)), first_fill(give(student, 1, feel=TRIPLET))
        told = "You know these strokes straight; now in triplet swing."
        assert (new.known_otherwise, swung.known_otherwise) == ("", told)
        pages = [student_client.get(address("fill", one)).content.decode() for one in (new, swung)]
        assert [told in page for page in pages] == [False, True]

    def test_each_is_engraved_and_played_over_its_own_feet(self, student, over_feet):
        plain, samba = give(student, 1), give(student, 1, rule_set=over_feet["samba"])
        assert first_fill(plain).rendering.fill.ostinato is None
        assert first_fill(samba).rendering.fill.ostinato.name == "samba"
        feet = [s for s in block_of(first_fill(samba)).sounds if s.surface == Surface.HI_HAT_FOOT]
        assert feet

    def test_what_was_removed_over_other_feet_is_not_told(self, student, over_feet):
        first_fill(give(student, 1)).remove()
        assert "They know" not in first_fill(give(student, 1, feel=TRIPLET)).reason


class TestStanding:
    def test_each_is_mastered_by_itself(self, student, over_feet):
        plain, samba = (
            first_fill(give(student, 1, **details))
            for details in ({}, {"rule_set": over_feet["samba"]})
        )
        plain.record_step("mastered", today_of(student))
        states = AssignedVariation.objects.with_practice().in_bulk()
        assert states[plain.pk].state is State.MASTERED
        assert states[samba.pk].state is State.NEW
        assert [one.fill for one in held_by([student])[student]] == [plain.as_fill]

    def test_a_day_has_each_as_a_piece_of_its_own(self, student, over_feet):
        given = [give(student, 1), give(student, 1, rule_set=over_feet["samba"])]
        today, theirs = today_of(student), {first_fill(one).pk for one in given}
        for pk in theirs:
            logged(student, 5, today - timedelta(days=1), AssignedVariation.objects.get(pk=pk))
        planned = plan(student, today, 10)
        assert {item.piece.id for item in planned.items} == theirs

    def test_to_the_comfort_zone_they_are_the_same_strokes(self, student, over_feet):
        given = [give(student, 1), give(student, 1, rule_set=over_feet["samba"])]
        played = Playing.of(
            PlayedFill(first_fill(one).as_fill, date(2026, 3, 1), 30.0, str(one.pk))
            for one in given
        )
        assert len(played.kinds) == 1
        assert list(played.seconds_of_kinds) == [60.0]

    def test_two_of_one_rule_set_have_names_that_tell_them_apart(self, student):
        straight, swung = give(student, 1), give(student, 1, feel=TRIPLET)
        first, second = straight.variations.get(), swung.variations.get()
        assert straight.rule_set_id == swung.rule_set_id
        assert second.name == f"{first.name}, triplet swing"


class TestDrawing:
    def test_strokes_that_they_know_are_drawn_the_mastered_ones_first(
        self, teacher_client, student, filled
    ):
        given = give(student, 3)
        last = given.variations.get(position=3)
        last.record_step("mastered", today_of(student))
        fields = drawn(teacher_client, filled)
        assert ranks(fields, student) == [
            last.rank,
            *(one.rank for one in given.variations.all()[:2]),
        ]

    def test_the_card_says_how_they_know_them(self, teacher_client, student, filled):
        give(student, 1)
        page = teacher_client.post(DRAW, filled).content.decode()
        assert "They know these strokes with free feet; now over samba." in page

    def test_the_students_page_leads_to_them(self, teacher_client, student, filled):
        give(student, 1)
        page = teacher_client.get(address("student", student)).content.decode()
        [link] = re.findall(r'href="([^"]*strokes=again)"', page)
        form = teacher_client.get(html.unescape(link)).context["form"]
        assert (form["strokes"].value(), form["students"].value()) == ("again", [str(student.pk)])

    def test_a_mastered_fill_leads_to_its_own_rules_over_other_feet_and_on_to_its_strokes(
        self, teacher_client, student
    ):
        given = give(student, 2)
        first_fill(given).record_step("mastered", today_of(student))
        page = teacher_client.get(address("student", student)).content.decode()
        [link] = re.findall(r'href="([^"]*over_other_feet[^"]*)"', page)
        editor = teacher_client.get(html.unescape(link))
        assert b"Save rule set and draw fills" in editor.content
        begun = editor.context["form"].instance
        assert begun.rules == [*given.rule_set.rules, SAMBA]
        sent = filled_form(editor)
        saved = teacher_client.post(html.unescape(link), sent, follow=True)
        form = saved.context["form"]
        assert form["rule_set"].value() == str(KeptRules.objects.latest("pk").pk)
        assert (form["students"].value(), form["strokes"].value()) == ([str(student.pk)], "again")
        assert "now over samba." in saved.content.decode()

    def test_rules_over_feet_begin_with_other_feet(self, teacher_client, student, over_feet):
        new = reverse("rhythms:rule-set-new")
        page = teacher_client.get(new, {"over_other_feet": over_feet["samba"].pk})
        begun = page.context["form"].instance
        assert [rule.get("pattern") for rule in begun.rules if rule["rule"] == SAMBA["rule"]] != [
            "samba"
        ]
        assert len(begun.rules) == len(over_feet["samba"].rules)

    def test_rules_over_feet_have_a_name_that_is_free(self, teacher_client, studio):
        rules = make_rule_set(studio, EIGHTHS_STAY, "Mine")
        make_rule_set(studio, [*EIGHTHS_STAY, SAMBA], "mine, over samba")
        new = reverse("rhythms:rule-set-new")
        form = teacher_client.get(new, {"over_other_feet": rules.pk}).context["form"]
        assert form["name"].value() == "Mine, over samba (2)"

    @pytest.mark.parametrize("pk", ["", "x", "999999", "9" * 5000])
    def test_rules_that_are_not_there_have_no_page(self, teacher_client, student, pk):
        new = reverse("rhythms:rule-set-new")
        assert teacher_client.get(new, {"over_other_feet": pk}).status_code == 404

    @pytest.mark.parametrize("then", ["https://elsewhere.example/", "//elsewhere.example", "bars"])
    def test_saved_rules_lead_nowhere_else(self, teacher_client, student, then):
        new = reverse("rhythms:rule-set-new", query={"then": then})
        sent = {"name": "Over feet", "rule": ["r0:feet keep going"], "r0-pattern": "samba"}
        saved = teacher_client.post(new, sent)
        kept = KeptRules.objects.get(name="Over feet")
        assert saved.url == reverse("rhythms:rule-set", args=[kept.pk])

    def test_what_is_drawn_is_given(self, teacher_client, student, filled):
        given = give(student, 3)
        assert teacher_client.post(PAGE, drawn(teacher_client, filled)).status_code == 302
        newest = Assignment.objects.exclude(pk=given.pk).get()
        assert sorted(map(str, strokes(newest))) == sorted(map(str, strokes(given)))
        assert {one.as_fill.ostinato.name for one in newest.variations.all()} == {"samba"}

    def test_swung_strokes_are_drawn_alike(self, teacher_client, student, filled):
        given = give(student, 2)
        filled |= {"rule_set": given.rule_set_id, "swing": "67"}
        assert set(ranks(drawn(teacher_client, filled), student)) == {
            one.rank for one in given.variations.all()
        }

    def test_who_knows_none_is_told_beside_the_field(self, teacher_client, student, filled):
        response = teacher_client.post(DRAW, filled)
        [error] = response.context["form"].errors["strokes"]
        assert error.startswith("No fill for Mira. They know no strokes of this bar")
        assert error.replace("'", "&#x27;") in response.content.decode()
        assert not response.context["sheet"].draws

    def test_a_choice_that_is_not_there_is_refused_beside_the_field(self, teacher_client, filled):
        form = teacher_client.post(DRAW, filled | {"strokes": "old"}).context["form"]
        assert form.errors["strokes"] == ["Choose one of the list."]

    def test_fewer_than_asked_for_are_explained(self, teacher_client, student, filled):
        give(student, 2)
        page = teacher_client.post(DRAW, filled).content.decode()
        assert "Mira knows the strokes of only 2 fills here. All are shown." in page

    def test_too_fast_for_what_they_know_is_said(self, teacher_client, student, filled):
        give(student, 1)
        page = teacher_client.post(DRAW, filled | {"tempo": "240"}).content.decode()
        assert "No known fill can be played at 240. Try a slower tempo." in page

    def test_asking_for_new_strokes_after_that_draws_new_ones(
        self, teacher_client, student, filled
    ):
        given = give(student, 3)
        shown = drawn(teacher_client, filled)
        new = drawn(teacher_client, shown | {"strokes": ""})
        assert not {one.rank for one in given.variations.all()} & set(ranks(new, student))

    def test_where_nothing_newer_is_left_new_ones_are_known_strokes(
        self, teacher_client, student, filled
    ):
        given = give(student, 1, rule_set=make_rule_set(student.studio, ALL_ON_SNARE, "Snare"))
        filled |= {
            "rule_set": make_rule_set(student.studio, [*ALL_ON_SNARE, SAMBA], "Over samba").pk,
            "strokes": "",
        }
        assert ranks(drawn(teacher_client, filled), student) == [first_fill(given).rank]
        page = teacher_client.post(DRAW, filled).content.decode()
        assert "They know these strokes with free feet; now over samba." in page


MIRA = Student(pk=7, nickname="Mira")


class TestSwapping:
    SPACE = FillSpace(
        Bar.from_counts("1 & 2 & 3 & 4 &"), RuleSet.from_json([SAMBA]), Kit.standard()
    )

    def draw(self, asked: int, otherwise=(5, 9, 2, 700)) -> Draw:
        player = PickContext([self.SPACE.fill(rank) for rank in otherwise])
        return Draw(
            MIRA, self.SPACE, frozenset({3}), asked, player=player, otherwise=otherwise, again=True
        )

    def shown(self, *ranks: int) -> PostedDraw:
        return PostedDraw(f"{key_of(self.SPACE)}-again", ranks)

    def test_they_come_in_their_order(self):
        assert filled_in(self.draw(3), PostedDraw(), DrawRequest(), 1).ranks == (5, 9, 2)

    def test_a_swap_brings_the_next_one(self):
        wish = DrawRequest(swaps=("7 9",))
        assert filled_in(self.draw(3), self.shown(5, 9, 2), wish, 1).ranks == (5, 700, 2)

    def test_all_that_there_are_cannot_be_swapped(self):
        assert filled_in(self.draw(9), PostedDraw(), DrawRequest(), 1).is_all_there_is
        assert not filled_in(self.draw(3), PostedDraw(), DrawRequest(), 1).is_all_there_is

    def test_numbers_of_strokes_that_are_new_do_not_stay(self):
        assert filled_in(self.draw(2), self.shown(5, 12), DrawRequest(), 1).ranks == (5, 9)


class TestWords:
    def test_what_changed_is_said_and_no_more(self, student, over_feet):
        give(student, 1, rule_set=over_feet["four on the floor"], feel=TRIPLET)
        assert self.told(student, over_feet["samba"], TRIPLET) == (
            "They know these strokes over four on the floor; now over samba."
        )
        assert self.told(student, over_feet["samba"], STRAIGHT) == (
            "They know these strokes over four on the floor and in triplet swing; "
            "now over samba and straight."
        )
        assert self.told(student, over_feet["four on the floor"], Feel(75, SIXTEENTHS)) == (
            "They know these strokes in triplet swing; now in hard swing of the 16ths."
        )

    def test_the_longest_has_room_in_the_database(self, student):
        long = {"rule": "feet keep going", "pattern": "typed"}
        typed = [
            make_rule_set(student.studio, [*EIGHTHS_STAY, long | {"bass_drum": line}], line)
            for line in ("1 e & a 2 e & a 3 e & a 4 e", "1 e & a 2 e & a 3 e & a 4 &")
        ]
        give(student, 1, rule_set=typed[0], feel=Feel(66, SIXTEENTHS), tempo=240)
        over = give(student, 1, rule_set=typed[1], feel=Feel(67, SIXTEENTHS), tempo=240)
        told = first_fill(over).reason
        assert told.startswith("They know these strokes over other feet and in 66 % swing of the")
        first_fill(over).full_clean(exclude=["rendering"])

    def told(self, student, rule_set, feel) -> str:
        space = space_for(SourceBar.objects.get(name="Line 4"), rule_set, student)
        [had] = fills_had([student])[student]
        [known] = ranks_in(space, [had], feel).otherwise.values()
        return known_otherwise(known, space, feel)
