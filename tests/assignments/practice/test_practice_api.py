"""Fills, practice and progress over HTTP."""

import uuid

import pytest
from django.urls import reverse
from django.utils import timezone

from assignments.days import DAY, today_in
from assignments.models import AssignedVariation, PracticeEntry
from tests.assignments.making import first_fill, give, logged

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("one_cast")]

JSON = "application/json"
VARIATIONS = reverse("assignments:api-variations")
ENTRIES = reverse("assignments:api-practice-entries")
UNSAID = {"loops": None, "clean_loops": None, "felt": "", "recheck": False}


def address(name: str, thing) -> str:
    return reverse(f"assignments:api-{name}", args=[thing.pk])


@pytest.fixture
def sent(variation, studio) -> dict:
    return {
        "id": str(uuid.uuid4()),
        "variation": variation.pk,
        "day": today_in(studio).isoformat(),
        "minutes": 5,
        "tempo": 88,
        "note": "",
    }


@pytest.fixture
def post(student_client):
    return lambda data: student_client.post(ENTRIES, data, content_type="application/json")


class TestVariations:
    def test_a_fill_comes_with_all_that_is_needed_to_play_it(self, classmate_client, classmate):
        variation = first_fill(give(classmate, 3, tempo=88, block_bars=8))
        (answer, *_) = classmate_client.get(VARIATIONS).json()
        assert answer["id"] == variation.pk
        assert answer["fill"] == variation.fill
        assert (answer["bar"], answer["position"], answer["fills_given"]) == ("Line 4", 1, 3)
        assert (answer["tempo"], answer["block_bars"], answer["state"]) == (88, 8, "new")
        assert answer["sentences"] == ["Eighths go on the snare."]

    def test_numbers_beyond_64_bits_are_text(self, student_client, variation):
        AssignedVariation.objects.update(rank=10**25, space_size=10**26)
        answer = student_client.get(VARIATIONS).json()[0]
        assert (answer["rank"], answer["space_size"]) == (str(10**25), str(10**26))

    def test_a_classmate_sees_nothing_of_it(self, classmate_client, variation):
        assert classmate_client.get(VARIATIONS).json() == []

    def test_asks_as_often_for_many_as_for_few(
        self, classmate_client, classmate, django_assert_num_queries
    ):
        give(classmate, 24)
        # Session, link with student and studio; how many fills, and a page of them.
        with django_assert_num_queries(4):
            classmate_client.get(VARIATIONS)


class TestPracticeEntries:
    def test_an_entry_is_logged(self, post, sent):
        response = post(sent)
        assert response.status_code == 201
        assert response.json() == {**UNSAID, **sent}

    def test_the_same_again_is_fine_and_kept_once(self, post, sent):
        post(sent)
        assert post(sent).status_code == 200
        assert PracticeEntry.objects.count() == 1

    def test_minutes_written_otherwise_are_still_the_same(self, post, sent):
        post(sent)
        assert post({**sent, "minutes": "5.0"}).status_code == 200

    def test_the_same_id_with_other_content_is_a_conflict(self, post, sent):
        post(sent)
        response = post({**sent, "minutes": 6})
        assert response.status_code == 409
        assert response.json()["id"][0]["code"] == "logged-differently"

    def test_an_id_that_a_classmate_has_used_is_a_conflict(self, post, classmate_client, sent):
        post(sent)
        without_fill = {**sent, "variation": None}
        response = classmate_client.post(ENTRIES, without_fill, content_type="application/json")
        assert response.status_code == 409

    def test_a_conflict_with_an_own_entry_shows_it_as_it_is_logged(self, post, sent):
        post(sent)
        assert post({**sent, "minutes": 6}).json()["entry"] == {**UNSAID, **sent}

    def test_a_conflict_with_a_classmates_entry_shows_nothing_of_it(
        self, post, classmate_client, sent
    ):
        post(sent)
        without_fill = {**sent, "variation": None}
        response = classmate_client.post(ENTRIES, without_fill, content_type="application/json")
        assert "entry" not in response.json()

    def test_an_entry_may_say_whose_it_is(self, post, sent, student):
        assert post({**sent, "student": student.pk}).status_code == 201

    def test_an_entry_of_another_student_is_not_logged_here(self, post, sent, classmate):
        response = post({**sent, "student": classmate.pk})
        assert response.status_code == 400
        assert response.json()["student"][0]["code"] == "another-student"
        assert not PracticeEntry.objects.exists()

    def test_practice_without_a_fill_is_practice(self, post, sent):
        less = {key: sent[key] for key in ("id", "day", "minutes")}
        assert post(less).json() == {
            **UNSAID,
            **less,
            "variation": None,
            "tempo": None,
            "note": "",
        }

    @pytest.mark.parametrize(
        ("field", "wrong", "code"),
        [
            ("minutes", -1, "min_value"),
            ("minutes", 0, "min_value"),
            ("minutes", 9999, "max_value"),
            ("minutes", 181, "max_value"),
            ("minutes", "five", "invalid"),
            ("minutes", None, "null"),
            ("minutes", "NaN", "invalid"),
            ("tempo", 0, "min_value"),
            ("tempo", 241, "max_value"),
            ("tempo", "fast", "invalid"),
            ("day", "soon", "invalid"),
            ("day", "2999-01-01", "future"),
            ("day", "1999-01-01", "too-long-ago"),
            ("id", "x", "invalid"),
            ("id", None, "null"),
            ("variation", 987654321, "does_not_exist"),
            ("variation", 10**20, "does_not_exist"),
            ("variation", "x", "incorrect_type"),
            ("note", "x" * 201, "max_length"),
            ("loops", 0, "min_value"),
            ("loops", 1000, "max_value"),
            ("loops", "many", "invalid"),
            ("clean_loops", -1, "min_value"),
            ("clean_loops", 4, "loops-missing"),
            ("felt", "furious", "invalid_choice"),
            ("recheck", "perhaps", "invalid"),
        ],
    )
    def test_what_is_wrong_has_an_error_by_its_field(self, post, sent, field, wrong, code):
        response = post({**sent, field: wrong})
        assert response.status_code == 400
        assert {
            name: [error["code"] for error in errors] for name, errors in response.json().items()
        } == {field: [code]}
        assert response.json()[field][0]["message"]

    def test_says_what_is_wanted_as_the_form_does(self, post, sent):
        answer = post({**sent, "minutes": 9999}).json()["minutes"][0]["message"]
        assert answer == "Give minutes from 0.1 to 180, such as 5 or 2.5."

    @pytest.mark.parametrize("field", ["id", "day", "minutes"])
    def test_what_is_missing_has_an_error(self, post, sent, field):
        del sent[field]
        assert post(sent).json()[field][0]["code"] == "required"

    @pytest.mark.parametrize("body", ["[]", '"x"', "3", "null"])
    def test_what_is_no_entry_at_all_has_an_error(self, student_client, body):
        response = student_client.post(ENTRIES, body, content_type="application/json")
        assert response.status_code == 400

    def test_a_fill_of_a_classmate_does_not_exist(self, post, sent, classmate):
        theirs = first_fill(give(classmate))
        errors = post({**sent, "variation": theirs.pk}).json()
        assert errors["variation"][0]["code"] == "does_not_exist"

    def test_practice_on_a_fill_that_was_removed_meanwhile_is_not_lost(
        self, post, sent, assignment
    ):
        assignment.remove()
        assert post(sent).status_code == 201

    def test_the_log_is_newest_first(self, student_client, student, studio):
        today = today_in(studio)
        older, newer = logged(student, 5, today - DAY), logged(student, 5, today)
        answer = student_client.get(ENTRIES).json()
        assert [entry["id"] for entry in answer] == [str(newer.pk), str(older.pk)]

    def test_removed_entries_are_not_listed(self, student_client, entry):
        entry.remove()
        assert student_client.get(ENTRIES).json() == []

    def test_more_clean_times_through_than_times_through_are_refused(self, post, sent):
        errors = post({**sent, "loops": 4, "clean_loops": 5}).json()
        assert errors["clean_loops"][0]["code"] == "more-than-loops"

    def test_what_the_player_counted_is_kept(self, post, sent):
        counted = {"loops": 5, "clean_loops": 4, "felt": "easy", "recheck": True}
        assert post({**sent, **counted}).json() == {**sent, **counted}

    def test_a_note_on_practice_that_is_counted_arrives_however_often_it_is_sent(self, post, sent):
        counted = {**sent, "seconds": 300, "loops": 4}
        said = {**counted, "clean_loops": 3, "note": "It rushes.", "answered": 1}
        assert [post(body).status_code for body in (said, counted, said)] == [201, 200, 200]
        entry = PracticeEntry.objects.get()
        assert (entry.clean_loops, entry.note) == (3, "It rushes.")


class TestChanging:
    @pytest.fixture
    def patch(self, student_client):
        def patch(data):
            url = reverse("assignments:api-practice-entry", args=[data["id"]])
            return student_client.patch(url, data, content_type="application/json")

        return patch

    def test_it_says_something_else_from_then_on(self, post, patch, sent):
        post(sent)
        assert patch({**sent, "loops": 4, "clean_loops": 3}).status_code == 200
        assert PracticeEntry.objects.get().clean_loops == 3

    def test_what_is_not_sent_stays(self, post, patch, sent):
        post({**sent, "loops": 4, "note": "Slowly"})
        patch({"id": sent["id"], "clean_loops": 3})
        entry = PracticeEntry.objects.get()
        assert (entry.loops, entry.clean_loops, entry.note, entry.tempo) == (4, 3, "Slowly", 88)

    def test_the_same_change_twice_is_one_change(self, post, patch, sent):
        post(sent)
        for _ in "12":
            assert patch({**sent, "minutes": 6}).status_code == 200
        assert PracticeEntry.objects.get().changes.count() == 1

    def test_what_was_sent_first_may_still_arrive_again_afterwards(self, post, patch, sent):
        post(sent)
        patch({**sent, "minutes": 6})
        assert post(sent).status_code == 200
        assert PracticeEntry.objects.get().minutes == 6

    def test_what_is_wrong_has_an_error_by_its_field(self, post, patch, sent):
        post(sent)
        response = patch({**sent, "minutes": -1})
        assert response.status_code == 400
        assert response.json()["minutes"][0]["code"] == "min_value"
        assert PracticeEntry.objects.get().minutes == 5

    def test_on_a_later_day_it_is_too_late(self, post, patch, sent):
        post(sent)
        PracticeEntry.objects.update(created_at=timezone.now() - 2 * DAY)
        response = patch({**sent, "minutes": 6})
        assert response.status_code == 409
        assert response.json()["id"][0]["code"] == "too-late"


class TestMastered:
    def test_a_fill_is_mastered_and_taken_back(self, student_client, variation):
        assert student_client.post(address("mastered", variation)).json()["state"] == "mastered"
        assert student_client.post(address("take-back", variation)).json()["state"] == "new"

    def test_a_press_that_comes_again_after_it_was_taken_back_counts_once(
        self, student_client, variation
    ):
        press = {"id": "7e57d004-2b97-4e7a-b45f-5387367791cd"}
        student_client.post(address("mastered", variation), press, JSON)
        student_client.post(address("take-back", variation))
        again = student_client.post(address("mastered", variation), press, JSON)
        assert again.json()["state"] == "new"

    def test_a_press_that_says_its_letters_has_its_id_too(self, student_client, variation):
        press = {"id": "7e57d004-2b97-4e7a-b45f-5387367791cd"}
        student_client.post(address("mastered", variation), press, f"{JSON}; charset=utf-8")
        assert [str(event.press) for event in variation.mastery_events.all()] == [press["id"]]

    def test_a_press_with_an_id_that_is_none_is_refused(self, student_client, variation):
        response = student_client.post(address("mastered", variation), {"id": "seven"}, JSON)
        assert response.status_code == 400
        assert response.json()["id"][0]["code"] == "invalid"

    def test_a_second_time_changes_nothing(self, student_client, variation):
        once = student_client.post(address("mastered", variation)).json()
        assert student_client.post(address("mastered", variation)).json() == once


class TestStudentProgress:
    def test_tells_four_weeks_day_by_day(self, teacher_client, student, variation, studio):
        today = today_in(studio)
        logged(student, "7.5", today, variation)
        answer = teacher_client.get(address("student-progress", student)).json()
        assert len(answer["days"]) == 28
        assert answer["days"][-1] == {"day": today.isoformat(), "minutes": 7.5, "mastered": 0}
        assert (answer["assigned"], answer["mastered"]) == (3, 0)
        assert answer["last_practised"] == today.isoformat()

    def test_of_who_never_practised(self, teacher_client, student):
        answer = teacher_client.get(address("student-progress", student)).json()
        assert answer["last_practised"] is None
