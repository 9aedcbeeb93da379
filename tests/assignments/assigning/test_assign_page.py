"""The assign page: three steps, a draw, and a button that does what it says."""

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from assignments.assigning.forms import MOST_AT_ONCE, MOST_BOXES
from assignments.days import DAY, today_in
from assignments.models import AssignedVariation, Assignment
from rhythms import space_sizes
from studio.models import Membership, Teacher
from studio.once import TOKEN
from studio.surface_names import SURFACES
from tests import cast
from tests.assignments.making import (
    ALL_ON_SNARE,
    LONG_COUNTS,
    ON_THE_COWBELL,
    SPLIT_DOUBLES,
    TOO_MUCH,
    give,
    make_bar,
    make_rule_set,
)

pytestmark = pytest.mark.django_db

PAGE = reverse("assignments:assign")
DRAW = reverse("assignments:draw")


@pytest.fixture
def bar(studio):
    return make_bar(studio)


@pytest.fixture
def rule_set(studio):
    return make_rule_set(studio)


@pytest.fixture
def filled(bar, rule_set, student):
    """The form as it is when all three steps are filled in."""
    return {
        "bar": bar.pk,
        "rule_set": rule_set.pk,
        "students": [student.pk],
        "how_many": "3",
        "tempo": "88",
        "block_bars": "8",
        "due_on": "",
        "note": "Slowly",
        "seed": "5",
    }


def on_page(response) -> dict[str, list[str]]:
    """The hidden fields of the draw, as a browser would send them back."""
    fields: dict[str, list[str]] = {}
    for tag in re.findall(r'<input type="hidden"[^>]*>', response.content.decode()):
        name, value = re.search(r'name="([^"]*)" value="([^"]*)"', tag).groups()
        fields.setdefault(name, []).append(value)
    fields.pop("csrfmiddlewaretoken", None)
    return fields


def drawn(client, filled, **more) -> dict:
    """The form after one draw."""
    return {**filled, **on_page(client.post(DRAW, {**filled, **more}))}


def ranks(fields, student) -> list[int]:
    return [int(rank) for rank in fields[f"fill-{student.pk}"]]


class TestOpening:
    def test_shows_the_three_steps(self, teacher_client, student):
        page = teacher_client.get(PAGE).content.decode()
        for step in ("The bar", "The rules", "For whom, and how"):
            assert step in page

    def test_ladder_steps_come_in_teaching_order(self, teacher_client):
        page = teacher_client.get(PAGE).content.decode()
        assert '<optgroup label="The five steps">' in page
        assert page.index("1. Learn the bar") < page.index("2. Eighths on the snare")

    def test_what_the_address_chooses_is_chosen_and_drawn(
        self, teacher_client, bar, rule_set, student
    ):
        address = f"{PAGE}?students={student.pk}&bar={bar.pk}&rule_set={rule_set.pk}"
        page = teacher_client.get(address)
        assert "Assign 3 fills to Mira" in page.content.decode()

    def test_gaps_are_not_errors_yet(self, teacher_client):
        assert "This field is required" not in teacher_client.get(PAGE).content.decode()

    def test_a_studio_without_students_is_shown_the_next_step(self, teacher_client):
        page = teacher_client.get(PAGE).content.decode()
        assert reverse("studio:student-add") in page

    def test_a_long_list_of_students_has_those_chosen_first(self, teacher_client, studio):
        people = [cast.add_student(studio, f"Number {at:02}") for at in range(MOST_BOXES + 1)]
        page = teacher_client.get(f"{PAGE}?students={people[-1].pk}").content.decode()
        assert re.findall("Number [0-9]+", page)[:2] == [f"Number {MOST_BOXES}", "Number 00"]

    def test_asks_the_database_as_often_for_many_students_as_for_one(
        self, teacher_client, studio, bar, rule_set, student, django_assert_max_num_queries
    ):
        address = f"{PAGE}?bar={bar.pk}&rule_set={rule_set.pk}&students="
        teacher_client.get(f"{address}{student.pk}")
        with django_assert_max_num_queries(40) as for_one:
            teacher_client.get(f"{address}{student.pk}&seed=5")
        asked = len(for_one)
        more = [cast.add_student(studio, name).pk for name in ("Ada", "Ben", "Cleo")]
        chosen = "".join(f"&students={pk}" for pk in more)
        teacher_client.get(f"{address}{student.pk}{chosen}&seed=5")  # engraves
        with django_assert_max_num_queries(asked):
            teacher_client.get(f"{address}{student.pk}{chosen}&seed=5")


class TestDrawing:
    def test_shows_each_fill_with_its_number(self, teacher_client, filled):
        page = teacher_client.post(DRAW, filled).content.decode()
        numbers = re.findall(
            r'Fill <span class="figure">([\d,]+)</span> of <span class="figure">16,777,216', page
        )
        assert len(numbers) == 3

    def test_says_why_each_fill_was_chosen(self, teacher_client, filled, student):
        give(student, 2, seed=9)
        page = teacher_client.post(DRAW, filled).content.decode()
        assert len(re.findall(r"Playable to \d+\.", page)) == 3
        assert "New moves: " in page
        assert len(re.findall(r"(Easy|Some work|Hard) at 88", page)) == 3

    def test_a_tempo_that_nothing_is_playable_at_has_an_error(self, teacher_client, filled, studio):
        filled["rule_set"] = make_rule_set(studio, SPLIT_DOUBLES, "Split doubles").pk
        page = teacher_client.post(DRAW, {**filled, "tempo": "240"}).content.decode()
        assert "No new fill can be played at 240. Try a slower tempo." in page

    def test_the_same_form_gives_the_same_draw(self, teacher_client, filled, student):
        once, again = (drawn(teacher_client, filled) for _ in "12")
        assert ranks(once, student) == ranks(again, student)

    def test_says_the_size_of_the_space(self, teacher_client, filled):
        page = teacher_client.post(DRAW, filled).content.decode()
        assert "On the kit “Standard kit”" in page
        assert "16,777,216 fills: at one a minute, 32 years" in page

    def test_says_the_size_on_each_kit(self, teacher_client, filled, studio, classmate):
        classmate.kit = studio.kits.create(name="Pad", surfaces=["snare"])
        classmate.save()
        filled["students"].append(classmate.pk)
        page = teacher_client.post(DRAW, filled).content.decode()
        assert "On the kit “Pad”" in page

    def test_before_students_are_chosen_says_the_size_on_a_standard_kit(
        self, teacher_client, filled
    ):
        page = teacher_client.post(DRAW, {**filled, "students": []}).content.decode()
        assert "On a standard kit" in page

    def test_says_the_rules_as_sentences(self, teacher_client, filled):
        assert "Eighths go on the snare." in teacher_client.post(DRAW, filled).content.decode()

    def test_htmx_gets_the_parts_that_change_and_no_page(self, teacher_client, filled):
        response = teacher_client.post(DRAW, filled, headers={"HX-Request": "true"})
        assert "<html" not in response.content.decode()
        assert 'id="rules-live" hx-swap-oob="true"' in response.content.decode()

    def test_plain_post_gets_the_whole_page(self, teacher_client, filled):
        assert "<html" in teacher_client.post(DRAW, filled).content.decode()

    def test_fills_that_the_student_has_are_not_drawn(self, teacher_client, filled, student):
        first = drawn(teacher_client, filled)
        teacher_client.post(PAGE, first)
        second = drawn(teacher_client, filled)
        assert not set(ranks(first, student)) & set(ranks(second, student))

    def test_kept_fills_stay_in_a_redraw(self, teacher_client, filled, student):
        fields = drawn(teacher_client, filled)
        kept = ranks(fields, student)[1]
        again = drawn(teacher_client, fields, redraw="1", **{f"keep-{student.pk}": [kept]})
        assert ranks(again, student)[1] == kept
        assert set(ranks(again, student)) & set(ranks(fields, student)) == {kept}

    def test_one_fill_is_swapped(self, teacher_client, filled, student):
        fields = drawn(teacher_client, filled)
        first, *others = ranks(fields, student)
        again = drawn(teacher_client, fields, swap=f"{student.pk} {first}")
        assert ranks(again, student)[1:] == others
        assert ranks(again, student)[0] != first

    def test_fewer_fills_than_asked_are_all_offered(self, teacher_client, filled, studio):
        filled["rule_set"] = make_rule_set(studio, ALL_ON_SNARE, "Snare").pk
        page = teacher_client.post(DRAW, filled).content.decode()
        assert "This bar and rule set allow only 1 fill here." in page
        assert "Assign 1 fill to Mira" in page

    def test_others_are_offered_only_where_there_are_others(self, teacher_client, filled, studio):
        assert "Draw others" in teacher_client.post(DRAW, filled).content.decode()
        filled["rule_set"] = make_rule_set(studio, ALL_ON_SNARE, "Snare").pk
        assert "Draw others" not in teacher_client.post(DRAW, filled).content.decode()


class TestAssigning:
    def test_hands_out_what_is_shown(self, teacher_client, filled, student):
        fields = drawn(teacher_client, filled)
        teacher_client.post(PAGE, fields)
        mine = AssignedVariation.objects.filter(assignment__student=student)
        assert [variation.rank for variation in mine] == ranks(fields, student)

    def test_a_fill_may_be_due_today(self, teacher_client, filled, studio):
        today = today_in(studio)
        teacher_client.post(PAGE, drawn(teacher_client, {**filled, "due_on": today.isoformat()}))
        assert Assignment.objects.get().due_on == today

    def test_keeps_how_it_is_to_be_played(self, teacher_client, teacher, filled):
        teacher_client.post(PAGE, drawn(teacher_client, {**filled, "due_on": "2999-01-31"}))
        made = Assignment.objects.get()
        assert (made.tempo, made.block_bars, made.note) == (88, 8, "Slowly")
        assert made.due_on.isoformat() == "2999-01-31"
        assert made.created_by == teacher

    def test_goes_to_the_students_page_and_says_so(self, teacher_client, filled, student):
        response = teacher_client.post(PAGE, drawn(teacher_client, filled), follow=True)
        assert response.redirect_chain == [(reverse("assignments:student", args=[student.pk]), 302)]
        assert "Assigned 3 fills to Mira." in response.content.decode()

    def test_several_students_get_their_own_draws(self, teacher_client, filled, student, classmate):
        filled["students"].append(classmate.pk)
        fields = drawn(teacher_client, filled)
        response = teacher_client.post(PAGE, fields)
        assert response.url == reverse("assignments:roster")
        assert ranks(fields, student) != ranks(fields, classmate)
        assert AssignedVariation.objects.count() == 6

    def test_a_double_click_assigns_once(self, teacher_client, filled, student):
        fields = {**drawn(teacher_client, filled), TOKEN: "of this page"}
        teacher_client.post(PAGE, fields)
        again = teacher_client.post(PAGE, fields, follow=True)
        assert "Assigned 3 fills to Mira." in again.content.decode()
        assert Assignment.objects.count() == 1

    def test_what_another_teacher_assigned_is_not_taken_for_this(
        self, teacher_client, filled, studio
    ):
        colleague = Teacher.objects.create_user("colleague@example.org", cast.PASSWORD)
        Membership.objects.create(studio=studio, teacher=colleague)
        fields = drawn(teacher_client, filled)
        cast.signed_in_teacher(colleague).post(PAGE, {**fields, TOKEN: "of their page"})
        page = teacher_client.post(PAGE, {**fields, TOKEN: "of this page"}).content.decode()
        assert "Look at them, then assign." in page
        assert Assignment.objects.count() == 1

    def test_fills_that_were_not_seen_are_not_assigned(self, teacher_client, filled):
        page = teacher_client.post(PAGE, filled).content.decode()
        assert "What you chose has changed since these fills were drawn." in page
        assert not Assignment.objects.exists()

    def test_after_another_rule_set_was_chosen_its_draw_is_shown_first(
        self, teacher_client, filled, studio
    ):
        fields = drawn(teacher_client, filled)
        fields["rule_set"] = make_rule_set(studio, [], "Anything").pk
        page = teacher_client.post(PAGE, fields).content.decode()
        assert "What you chose has changed" in page
        assert not Assignment.objects.exists()


class TestBadInput:
    def error(self, response, field: str) -> str:
        page = response.content.decode()
        found = re.search(rf'id="id_{field}_error"([^>]*)>(.*?)</div>', page, re.DOTALL)
        assert "hidden" not in found[1]
        return found[2]

    @pytest.mark.parametrize("tempo", ["0", "29", "241", "-5", "fast", "88.5", ""])
    def test_a_tempo_that_nobody_plays(self, teacher_client, filled, tempo):
        response = teacher_client.post(PAGE, {**filled, "tempo": tempo})
        if tempo:
            assert "Give a tempo from 30 to 240" in self.error(response, "tempo")
            assert f'value="{tempo}"' in response.content.decode()
        else:
            assert self.error(response, "tempo")

    @pytest.mark.parametrize("how_many", ["0", "25", "-1", "two"])
    def test_a_number_of_fills_that_is_not_offered(self, teacher_client, filled, how_many):
        response = teacher_client.post(DRAW, {**filled, "how_many": how_many})
        assert "Give a whole number from 1 to 24." in self.error(response, "how_many")

    def test_more_fills_than_can_be_looked_through(self, teacher_client, filled, studio):
        filled["students"] = [cast.add_student(studio, f"S{n}").pk for n in range(6)]
        response = teacher_client.post(DRAW, {**filled, "how_many": "24"})
        assert "6 students times 24 makes 144 fills" in self.error(response, "how_many")

    @pytest.mark.parametrize(("students", "each"), [(6, "24"), (MOST_AT_ONCE + 1, "")])
    def test_what_more_students_have_than_can_be_drawn_for_is_not_read(
        self, teacher_client, filled, studio, students, each
    ):
        filled["students"] = [cast.add_student(studio, f"S{n}").pk for n in range(students)]
        with CaptureQueriesContext(connection) as queries:
            teacher_client.post(DRAW, {**filled, "how_many": each})
        read = [query["sql"] for query in queries if "assignedvariation" in query["sql"]]
        assert read == []

    def test_a_day_that_is_over(self, teacher_client, filled, studio):
        yesterday = today_in(studio) - DAY
        response = teacher_client.post(PAGE, {**filled, "due_on": yesterday.isoformat()})
        assert "This day is over." in self.error(response, "due_on")

    def test_what_is_no_day(self, teacher_client, filled):
        response = teacher_client.post(PAGE, {**filled, "due_on": "soon"})
        assert "year-month-day" in self.error(response, "due_on")

    def test_no_student(self, teacher_client, filled):
        response = teacher_client.post(PAGE, {**filled, "students": []})
        assert "Choose at least one student." in self.error(response, "students")

    def test_typed_text_stays(self, teacher_client, filled):
        page = teacher_client.post(PAGE, {**filled, "tempo": "0"}).content.decode()
        assert 'value="Slowly"' in page

    def test_rules_that_the_kit_cannot_keep(self, teacher_client, filled, studio, student):
        student.kit = studio.kits.create(name="Pad", surfaces=["snare"])
        student.save()
        filled["rule_set"] = make_rule_set(studio, ON_THE_COWBELL, "Cowbell").pk
        error = self.error(teacher_client.post(DRAW, filled), "rule_set")
        assert "No fill for Mira." in error
        assert "this kit has no cowbell" in error

    def test_rules_that_are_too_much_to_count(self, teacher_client, filled, studio, student):
        filled["bar"] = make_bar(studio, LONG_COUNTS, "Long", meter="15/4").pk
        student.kit = studio.kits.create(name="Everything", surfaces=list(SURFACES))
        student.save()
        filled["rule_set"] = make_rule_set(studio, TOO_MUCH, "Too much").pk
        error = self.error(teacher_client.post(DRAW, filled), "rule_set")
        assert "No fill for Mira." in error
        assert "Leave out one" in error

    def test_kits_too_many_to_count_at_once(
        self, teacher_client, filled, studio, student, classmate, monkeypatch
    ):
        """Each may be as much work as any; the page does no more of it than a few of them are."""
        monkeypatch.setattr(space_sizes, "COUNTING", 1)
        classmate.kit = studio.kits.create(name="Pad", surfaces=["snare"])
        classmate.save()
        sent = {**filled, "students": [student.pk, classmate.pk]}
        error = self.error(teacher_client.post(DRAW, sent), "rule_set")
        assert error.count("too much to count at once. Choose fewer students.") == 1
        alone = teacher_client.post(DRAW, filled).context["sheet"]
        assert list(alone.spaces) == [student]

    def test_a_space_that_the_student_has_whole(self, teacher_client, filled, studio, student):
        snare = make_rule_set(studio, ALL_ON_SNARE, "Snare")
        give(student, 1, rule_set=snare)
        error = self.error(teacher_client.post(DRAW, {**filled, "rule_set": snare.pk}), "rule_set")
        assert "theirs already" in error

    @pytest.mark.parametrize("field", ["bar", "rule_set", "students"])
    def test_what_is_another_studios_is_not_a_choice(
        self, teacher_client, filled, other_studio, other_student, field
    ):
        theirs = {
            "bar": make_bar(other_studio).pk,
            "rule_set": make_rule_set(other_studio).pk,
            "students": other_student.pk,
        }
        response = teacher_client.post(DRAW, {**filled, field: theirs[field]})
        assert "Select a valid choice" in self.error(response, field)

    @pytest.mark.parametrize("seed", ["", "-1", "x", "9" * 400])
    def test_a_seed_that_was_tampered_with_is_replaced(self, teacher_client, filled, seed):
        assert teacher_client.post(DRAW, {**filled, "seed": seed}).status_code == 200

    @pytest.mark.parametrize("swap", ["", "x", "7", "7 x", "7 -1", "x 5 5"])
    def test_a_swap_that_makes_no_sense_changes_nothing(
        self, teacher_client, filled, student, swap
    ):
        fields = drawn(teacher_client, filled)
        assert ranks(drawn(teacher_client, fields, swap=swap), student) == ranks(fields, student)
