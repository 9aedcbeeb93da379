"""A student logs practice, changes what was logged, and marks a fill mastered."""

import uuid
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from assignments.days import DAY
from assignments.models import PracticeEntry
from assignments.practice.practice_log import mark_mastered, take_back
from tests.assignments.making import first_fill, give, logged, make_bar
from tests.assignments.pages import address, text

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("one_cast")]
LOG = reverse("assignments:my-log")


class TestLogging:
    @pytest.fixture
    def send(self, student_client, variation, day):
        def send(**typed):
            form = {"minutes": "5", "tempo": "88", "day": day.isoformat(), "note": "", **typed}
            return student_client.post(address("log", variation), form, follow=True)

        return send

    def test_minutes_are_kept(self, send, student, variation, day):
        assert "Saved: 5 min at 88." in text(send())
        entry = PracticeEntry.objects.get()
        assert (entry.student, entry.variation, entry.day) == (student, variation, day)
        assert (entry.minutes, entry.tempo) == (5, 88)

    def test_the_same_form_twice_is_kept_once(self, send):
        typed = {"entry": str(uuid.uuid4())}
        send(**typed)
        send(**typed)
        assert PracticeEntry.objects.count() == 1

    def test_a_form_that_was_changed_and_sent_again_is_refused(self, send):
        typed = {"entry": str(uuid.uuid4())}
        send(**typed)
        assert "it says something else" in text(send(**typed, minutes="6"))

    def test_each_page_has_an_id_of_its_own(self, student_client, variation):
        one, other = (student_client.get(address("fill", variation)) for _ in "12")
        assert one.context["form"]["entry"].value() != other.context["form"]["entry"].value()

    def test_half_minutes_and_no_tempo_are_fine(self, send):
        assert "Saved: 2.5 min." in text(send(minutes="2.5", tempo=""))

    def test_yesterday_may_be_logged(self, send, day):
        send(day=(day - DAY).isoformat())
        assert PracticeEntry.objects.get().day == day - DAY

    @pytest.mark.parametrize("minutes", ["-1", "0", "9999", "180.1", "five", "5.55", "", "NaN"])
    def test_impossible_minutes_are_refused_beside_the_field(self, send, minutes):
        response = send(minutes=minutes)
        assert response.context["form"].errors["minutes"] == [
            "Give minutes from 0.1 to 180, such as 5 or 2.5."
        ]
        assert 'id="id_minutes_error"' in text(response)
        assert not PracticeEntry.objects.exists()

    @pytest.mark.parametrize("tempo", ["0", "29", "241", "-1", "fast", "88.5"])
    def test_impossible_tempos_are_refused(self, send, tempo):
        errors = send(tempo=tempo).context["form"].errors
        assert errors["tempo"] == ["Give a tempo from 30 to 240 beats a minute, such as 88."]

    def test_a_day_to_come_is_refused(self, send, day):
        errors = send(day=(day + DAY).isoformat()).context["form"].errors
        assert errors["day"] == ["This day has not come yet. Choose today or a day before."]

    @pytest.mark.parametrize("typed", ["yesterday", "2026-02-30", "0"])
    def test_what_is_no_day_is_refused(self, send, typed):
        assert "year-month-day" in str(send(day=typed).context["form"].errors["day"])

    def test_a_year_typed_wrongly_is_refused(self, send, day):
        long_ago = (day - timedelta(days=400)).isoformat()
        assert "Check the year." in str(send(day=long_ago).context["form"].errors["day"])

    def test_a_note_that_is_too_long_is_refused(self, send):
        assert "note" in send(note="x" * 201).context["form"].errors

    def test_typed_text_stays(self, send):
        page = text(send(minutes="-1", note="With the metronome"))
        assert 'value="-1"' in page
        assert 'value="With the metronome"' in page

    def test_an_id_that_is_none_is_replaced(self, send):
        assert "entry" in send(entry="x").context["form"].errors or PracticeEntry.objects.exists()

    def test_undo_takes_the_entry_away_and_undo_again_brings_it_back(self, send, student_client):
        page = text(send())
        entry = PracticeEntry.objects.get()
        assert address("entry-remove", entry) in page
        removed = student_client.post(address("entry-remove", entry), follow=True)
        assert address("entry-restore", entry) in text(removed)
        student_client.post(address("entry-restore", entry))
        assert PracticeEntry.objects.kept().count() == 1


class TestMastering:
    def test_a_fill_is_mastered(self, student_client, variation):
        page = text(student_client.post(address("master", variation), follow=True))
        assert f"Mastered: {variation}." in page
        variation.refresh_from_db()
        assert variation.mastered_at

    def test_it_is_taken_back(self, student_client, variation):
        student_client.post(address("master", variation))
        student_client.post(address("take-back", variation))
        variation.refresh_from_db()
        assert variation.mastered_at is None

    def test_what_came_back_is_put_kindly(self, student_client, variation, teacher):
        mark_mastered(variation)
        take_back(variation, teacher)
        page = text(student_client.get(address("fill", variation)))
        assert "it holds better than before" in page

    def test_a_mastered_fill_offers_to_take_it_back(self, student_client, variation):
        student_client.post(address("master", variation))
        page = text(student_client.get(address("fill", variation)))
        assert "Not yet</button>" in page


class TestCounting:
    """How many times through, how many of these clean, and how it felt."""

    @pytest.fixture
    def send(self, student_client, variation, day):
        def send(**typed):
            form = {"minutes": "5", "day": day.isoformat(), **typed}
            return student_client.post(address("log", variation), form, follow=True)

        return send

    def test_it_is_kept(self, send):
        send(loops="5", clean_loops="4", felt="good")
        entry = PracticeEntry.objects.get()
        assert (entry.loops, entry.clean_loops, entry.felt) == (5, 4, "good")

    @pytest.mark.parametrize("loops", ["0", "-1", "1000", "many", "2.5"])
    def test_impossible_times_through_are_refused(self, send, loops):
        errors = send(loops=loops).context["form"].errors
        assert errors["loops"] == ["Give a whole number from 1 to 999, or leave it empty."]

    def test_more_clean_ones_than_there_were_are_refused(self, send):
        errors = send(loops="4", clean_loops="5").context["form"].errors
        assert errors["clean_loops"] == [
            "Give how many of the 4 times through were clean, from 0 to 4."
        ]

    def test_clean_ones_of_nothing_are_refused(self, send):
        assert "how many times you played it" in str(send(clean_loops="5").context["form"].errors)

    def test_a_feeling_that_is_not_on_offer_is_refused(self, send):
        assert "felt" in send(felt="furious").context["form"].errors


class TestPlayingCold:
    @pytest.fixture
    def mastered(self, variation, day):
        variation.record_step("mastered", day - 2 * DAY)
        return variation

    @pytest.fixture
    def send(self, student_client, mastered, day):
        def send(clean):
            typed = {"minutes": "1", "day": day.isoformat(), "loops": "4", "recheck": "on"}
            page = address("log", mastered)
            return text(student_client.post(page, typed | {"clean_loops": clean}, follow=True))

        return send

    def test_a_mastered_fill_asks_whether_it_was_played_cold(self, student_client, mastered):
        assert "Played cold, to see whether it holds" in text(
            student_client.get(address("fill", mastered))
        )

    def test_no_other_fill_asks(self, student_client, variation):
        page = text(student_client.get(address("fill", variation)))
        assert "Played cold, to see whether it holds" not in page

    def test_clean_it_holds(self, send):
        page = send("4")
        assert "It came out clean, cold: it holds." in page
        assert "state-holds" in page

    def test_not_clean_it_is_put_kindly_and_comes_back(self, send, mastered):
        page = send("1")
        assert "Not this time" in page
        assert "state-returned" in page
        mastered.refresh_from_db()
        assert mastered.mastered_at is None


class TestChangingAnEntry:
    @pytest.fixture
    def send(self, student_client, entry, day):
        def send(**typed):
            form = {"minutes": "5", "day": day.isoformat(), "entry": str(entry.pk), **typed}
            return student_client.post(address("entry-edit", entry), form, follow=True)

        return send

    def test_the_form_holds_what_it_says(self, student_client, entry):
        form = student_client.get(address("entry-edit", entry)).context["form"]
        assert (form["minutes"].value(), form["day"].value()) == (5, entry.day)

    def test_it_is_changed_and_earlier_values_are_shown(self, send, student_client, entry):
        assert "Changed: 7 min" in text(send(minutes="7"))
        page = text(student_client.get(address("entry-edit", entry)))
        assert "Before: 5 min." in page

    def test_a_mistake_is_shown_beside_its_field(self, send, entry):
        assert "minutes" in send(minutes="9999").context["form"].errors
        entry.refresh_from_db()
        assert entry.minutes == 5

    def test_on_a_later_day_it_is_too_late(self, send, student_client, entry):
        PracticeEntry.objects.update(created_at=timezone.now() - 2 * DAY)
        assert "on the day it was logged" in text(send(minutes="7"))
        entry.refresh_from_db()
        assert entry.minutes == 5
        assert (
            "<form"
            not in text(student_client.get(address("entry-edit", entry)))
            .partition("<main")[2]
            .partition("</main")[0]
        )

    def test_the_log_offers_it_on_the_same_day_alone(self, student_client, entry):
        assert f'href="{address("entry-edit", entry)}"' in text(student_client.get(LOG))
        PracticeEntry.objects.update(created_at=timezone.now() - 2 * DAY)
        assert f'href="{address("entry-edit", entry)}"' not in text(student_client.get(LOG))


class TestMyLog:
    def test_is_newest_first(self, student_client, student, day):
        logged(student, 5, day - DAY, note="Older")
        logged(student, 5, day, note="Newer")
        page = text(student_client.get(LOG))
        assert page.index("Newer") < page.index("Older")

    def test_removing_asks_first(self, student_client, entry):
        assert "Its minutes no longer count." in text(
            student_client.get(address("entry-remove", entry))
        )
        assert PracticeEntry.objects.kept().exists()

    def test_a_removed_entry_is_gone(self, student_client, entry):
        student_client.post(address("entry-remove", entry))
        assert "Line 4" not in text(student_client.get(LOG))

    def test_without_entries_it_says_what_it_is_for(self, student_client):
        assert "Here is what you practised" in text(student_client.get(LOG))


@pytest.mark.parametrize(
    ("meter", "unit"), [("7/8", "quarters a minute"), ("7/4", "beats a minute")]
)
def test_a_fills_page_and_its_files_say_what_the_tempo_counts(student_client, student, meter, unit):
    bar = make_bar(student.studio, "1 2 3 4 5 6 7", "Seven", meter=meter)
    fill = first_fill(give(student, 1, bar=bar))
    assert f'<span class="soft small">{unit}' in text(student_client.get(address("fill", fill)))
    files = student_client.get(address("fill-files", fill))
    assert f"at 80 {unit}." in text(files)


class TestFillPage:
    def test_its_three_tempos_have_names(self, classmate_client, classmate, day):
        fill = first_fill(give(classmate, 1, tempo=92))
        logged(classmate, 5, day - DAY, fill, tempo=84, loops=4, clean_loops=4)
        page = text(classmate_client.get(address("fill", fill)))
        assert 'Asked <span class="figure">92</span>' in page
        assert 'Reached <span class="figure">84</span>' in page
        assert 'Today <span class="figure">88</span>' in page

    def test_what_did_not_come_out_clean_is_not_reached(self, classmate_client, classmate, day):
        fill = first_fill(give(classmate, 1, tempo=92))
        logged(classmate, 5, day - DAY, fill, tempo=84, loops=4, clean_loops=1)
        assert "Reached" not in text(classmate_client.get(address("fill", fill)))

    def test_the_form_has_no_minutes_yet(self, student_client, variation):
        form = student_client.get(address("fill", variation)).context["form"]
        assert form["minutes"].value() is None

    def test_a_due_day_that_is_over_is_no_debt(self, classmate_client, classmate, day):
        assignment = give(classmate, 1, due_on=day - 56 * DAY)
        assert (
            "due"
            not in text(classmate_client.get(address("fill", first_fill(assignment)))).split(
                "fill-main"
            )[0]
        )

    def test_the_block_has_a_bar_for_each_of_its_bars_and_the_landing(
        self, classmate_client, classmate
    ):
        fill = first_fill(give(classmate, 1, block_bars=8))
        answer = classmate_client.get(address("fill-block", fill))
        names = [shown.name for shown in answer.context["bars"]]
        assert len(names) == 9
        assert names[0] == "Bar 1: Groove"
        assert names[-2:] == ["Bar 8: The fill", "One, after the fill"]
        assert text(answer).count("<figure") == 9
