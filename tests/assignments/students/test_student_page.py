"""What a teacher sees of one student."""

import re

import pytest
from django.urls import reverse

from assignments.days import today_in
from assignments.models import AssignedVariation
from assignments.practice.practice_log import mark_mastered
from assignments.students.views import ENTRIES_A_PAGE
from tests.assignments.making import first_fill, give, logged, make_rule_set
from tests.assignments.pages import address, text

pytestmark = pytest.mark.django_db


@pytest.fixture
def page(teacher_client, student):
    return lambda query="": text(teacher_client.get(address("student", student) + query))


def states(page: str) -> dict[str, str]:
    found = re.findall(r'<h3 id="state-(\w+)">.*?<span class="soft figure">(\d+)</span>', page)
    return dict(found)


def test_fills_stand_by_their_state(page, student):
    _, practised, mastered = give(student, 3).variations.order_by("position")
    logged(student, 5, today_in(student.studio), practised)
    mark_mastered(mastered)
    assert states(page()) == {"new": "1", "practising": "1", "mastered": "1"}


def test_a_state_is_a_word_beside_its_shape(page, student):
    give(student)
    assert '<span class="state state-new">new</span>' in page()


def test_each_fill_is_shown_in_notation(page, student, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        give(student, 2)
    assert page().count('<figure class="notation">') == 2


def test_a_fill_waits_for_its_engraving_without_breaking_the_page(page, student):
    give(student, 1)
    assert "Being engraved …" in page()


def test_a_fill_says_its_number(page, student):
    variation = first_fill(give(student, 1))
    assert f'{variation.number:,}</span> of <span class="figure">16,777,216' in page()


def test_what_was_assigned_last_comes_first(page, student):
    rules = make_rule_set(student.studio, [], "Anything goes")
    give(student, 1)
    give(student, 1, rule_set=rules)
    table = page().split('<h2 id="assigned">')[1]
    assert table.index("Anything goes") < table.index("Eighths stay")


def test_the_log_is_newest_first(page, student):
    today = today_in(student.studio)
    logged(student, 5, today.replace(year=today.year - 1, day=1), note="Older")
    logged(student, 5, today, note="Newer")
    assert page().index("Newer") < page().index("Older")


def test_a_long_log_comes_a_page_at_a_time(page, student):
    today = today_in(student.studio)
    for n in range(ENTRIES_A_PAGE + 1):
        logged(student, 5, today, note=f"Entry {n} ends")
    assert "Entry 0 ends" not in page()
    assert "Entry 0 ends" in page("?page=2")


@pytest.mark.parametrize("number", ["0", "99", "x", ""])
def test_a_page_of_the_log_that_is_not_there_is_the_nearest_one(page, student, number):
    logged(student, 5, today_in(student.studio), note="There")
    assert "There" in page(f"?page={number}")


def test_removed_entries_are_not_in_the_log(page, student):
    logged(student, 5, today_in(student.studio), note="Gone").remove()
    assert "Gone" not in page()


def test_what_the_student_typed_is_shown_as_it_is(page, student):
    logged(student, 5, today_in(student.studio), note="<script>x</script>")
    assert "&lt;script&gt;x" in page()


def test_without_fills_the_one_next_step_is_to_assign_some(page, student):
    assert f"{reverse('assignments:assign')}?students={student.pk}" in page()
    assert "Mira has no fills yet." in page()


def test_leads_to_the_sign_in_link_and_to_editing(page, student):
    assert reverse("studio:links", args=[student.pk]) in page()
    assert reverse("studio:student-edit", args=[student.pk]) in page()


@pytest.mark.parametrize("number", [2, 12])
def test_asks_the_database_as_often_for_any_number_of_fills_and_entries(
    teacher_client, student, number, django_assert_num_queries
):
    give(student, number)
    for variation in AssignedVariation.objects.all():
        logged(student, 5, today_in(student.studio), variation)
    # Session, teacher, studio; student, fills, their mastery, minutes; entries since the last
    # lesson; comfort zone, takes where it was not made; grooves; assignments, entries, the number
    # of each and the fills of entries; small pictures.
    with django_assert_num_queries(18):
        teacher_client.get(address("student", student))


class TestNames:
    @pytest.fixture
    def rename(self, teacher_client, variation):
        def rename(name: str):
            there = address("variation-name", variation)
            return teacher_client.post(there, {"name": name}, follow=True)

        return rename

    def test_the_teacher_calls_a_fill_otherwise(self, rename, variation):
        page = text(rename("  The   waterfall "))
        assert "It is called 1, The waterfall now." in page
        assert 'value="The waterfall"' in page

    def test_without_a_name_it_is_called_as_when_it_was_drawn(self, rename, variation):
        proposed = variation.name
        rename("The waterfall")
        assert f"It is called 1, {proposed} now." in text(rename(""))

    def test_a_name_of_another_fill_is_refused_and_kept_in_its_field(self, rename, variation):
        other = variation.assignment.variations.get(position=2)
        response = rename(other.name)
        assert response.status_code == 422
        page = text(response)
        assert "The student has another fill of this bar that is called so." in page
        assert f'value="{other.name}"' in page

    def test_a_long_name_is_refused_in_words(self, rename):
        response = rename("a" * 41)
        assert response.status_code == 422
        assert "A name has at most 40 letters; this one is longer." in text(response)

    def test_a_fill_of_another_studio_cannot_be_named(self, other_teacher_client, variation):
        there = address("variation-name", variation)
        assert other_teacher_client.post(there, {"name": "Mine"}).status_code == 404


class TestMastery:
    def test_the_teacher_confirms_what_they_heard(self, teacher_client, variation):
        page = text(teacher_client.post(address("variation-confirm", variation), follow=True))
        assert f"Confirmed: {variation} holds." in page
        variation.refresh_from_db()
        assert variation.held_at

    def test_the_teacher_takes_back_what_does_not_hold(self, teacher_client, variation):
        mark_mastered(variation)
        page = text(teacher_client.post(address("variation-take-back", variation), follow=True))
        assert "is in the plan again" in page
        assert "came back" in page

    def test_confirming_twice_is_one_step(self, teacher_client, variation):
        for _ in "12":
            teacher_client.post(address("variation-confirm", variation))
        assert variation.mastery_events.count() == 1

    def test_each_of_many_fills_can_be_confirmed(self, page, student):
        for fill in (fills := give(student, 8).variations.all()):
            logged(student, 5, today_in(student.studio), fill)
        shown = page()
        assert [fill for fill in fills if address("variation-confirm", fill) not in shown] == []

    def test_how_it_came_about_is_there_with_who_and_when(self, teacher_client, student, variation):
        mark_mastered(variation)
        teacher_client.post(address("variation-take-back", variation))
        page = text(teacher_client.get(address("student", student)))
        today = f"{today_in(student.studio):%-d %B}"
        assert "Called mastered, " in page
        assert "by the student" in page
        assert "Taken back, " in page
        assert "by the teacher" in page
        assert today.split()[1] in page

    def test_of_many_steps_the_latest_are_shown(self, teacher_client, student, variation):
        today = today_in(student.studio)
        for _ in range(7):
            variation.record_step("taken back", today)
        for _ in range(6):
            variation.record_step("mastered", today)
        page = text(teacher_client.get(address("student", student)))
        assert "The last 12 of 13 steps:" in page
        assert (page.count("Called mastered,"), page.count("Taken back,")) == (6, 6)

    def test_what_was_counted_stands_in_the_log(self, teacher_client, student, variation):
        day = today_in(student.studio)
        logged(student, 5, day, variation, loops=5, clean_loops=4, felt="hard")
        page = text(teacher_client.get(address("student", student)))
        assert "4 of 5 clean" in page
        assert '<td data-label="Felt">Hard</td>' in page


class TestRemoving:
    def test_an_assignment_asks_first(self, teacher_client, assignment):
        page = text(teacher_client.get(address("assignment-remove", assignment)))
        assert "Mira no longer has its fills." in page
        assignment.refresh_from_db()
        assert assignment.removed_at is None

    def test_a_removed_assignment_takes_its_fills_along(
        self, teacher_client, student_client, assignment, page
    ):
        teacher_client.post(address("assignment-remove", assignment))
        assert states(page()) == {}
        assert student_client.get(address("fill", first_fill(assignment))).status_code == 404

    def test_an_assignment_comes_back_by_undo(self, teacher_client, assignment, page):
        removed = teacher_client.post(address("assignment-remove", assignment), follow=True)
        assert address("assignment-restore", assignment) in text(removed)
        teacher_client.post(address("assignment-restore", assignment))
        assert states(page()) == {"new": "3"}

    def test_one_fill_asks_first(self, teacher_client, variation):
        page = text(teacher_client.get(address("variation-remove", variation)))
        assert f"Remove the fill “{variation}”?" in page

    def test_one_fill_is_removed_alone_and_the_others_keep_their_names(
        self, teacher_client, variation, page
    ):
        names = [str(fill) for fill in variation.assignment.variations.all()]
        teacher_client.post(address("variation-remove", variation))
        assert states(page()) == {"new": "2"}
        assert [name for name in names if name in page()] == names[1:]

    def test_one_fill_comes_back_by_undo(self, teacher_client, variation, page):
        teacher_client.post(address("variation-remove", variation))
        teacher_client.post(address("variation-restore", variation))
        assert states(page()) == {"new": "3"}

    def test_a_fill_of_a_removed_assignment_is_not_found(
        self, teacher_client, assignment, variation
    ):
        assignment.remove()
        assert teacher_client.get(address("variation-remove", variation)).status_code == 404

    def test_what_was_logged_on_a_removed_fill_is_kept(
        self, teacher_client, variation, entry, page
    ):
        teacher_client.post(address("variation-remove", variation))
        assert str(variation) in page()
