"""The page on which a student asks to be reminded."""

from datetime import time

import pytest
from django.urls import reverse

from assignments.models import Reminder
from assignments.reminders.push_keys import private_key, public_key
from studio.models import SignInLink
from tests.assignments.pages import text
from tests.assignments.reminders.push_service import from_base64url

pytestmark = pytest.mark.django_db
PAGE, OFF, CALENDAR = (reverse(f"assignments:reminder{name}") for name in ("", "-off", "-calendar"))
ENDPOINT = "https://push.example.org/send/abc"


@pytest.fixture
def asked(browser_keys) -> dict:
    return {
        "days": ["0", "4"],
        "at": "17:30",
        "endpoint": ENDPOINT,
        "p256dh": browser_keys.p256dh,
        "auth": browser_keys.auth,
    }


class TestOnThisDevice:
    def test_it_is_kept_with_days_and_time(self, student_client, student, asked):
        page = text(student_client.post(PAGE, asked, follow=True))
        kept = Reminder.objects.get(student=student)
        assert (kept.days, kept.at, kept.endpoint) == ("04", time(17, 30), ENDPOINT)
        assert "On: Monday and Friday at 17:30." in page

    def test_asked_again_it_changes(self, student_client, student, asked):
        student_client.post(PAGE, asked)
        page = text(student_client.post(PAGE, asked | {"days": list("0123456")}, follow=True))
        assert Reminder.objects.get().days == "0123456"
        assert "On: every day at 17:30." in page

    def test_the_page_offers_what_is_kept(self, student_client, asked):
        student_client.post(PAGE, asked)
        page = text(student_client.get(PAGE))
        assert 'value="17:30"' in page
        assert page.count(" checked") == 2

    @pytest.mark.parametrize(
        ("wrong", "field", "said"),
        [
            ({"days": []}, "days", "Choose one day at least."),
            ({"days": ["7"]}, "days", "Select a valid choice. 7 is not one"),
            ({"at": ""}, "at", "Give a time such as 17:00."),
            ({"at": "half past five"}, "at", "Give a time such as 17:00."),
            ({"endpoint": "http://127.0.0.1/"}, "__all__", "Take the calendar file instead."),
            ({"p256dh": "x"}, "__all__", "Take the calendar file instead."),
            ({"endpoint": ""}, "__all__", "Take the calendar file instead."),
        ],
    )
    def test_what_is_wrong_is_said_beside_its_field(
        self, student_client, asked, wrong, field, said
    ):
        answer = student_client.post(PAGE, asked | wrong)
        assert said in str(answer.context["form"].errors[field])
        assert not Reminder.objects.exists()

    def test_nothing_typed_is_lost(self, student_client, asked):
        page = text(student_client.post(PAGE, asked | {"days": []}))
        assert 'value="17:30"' in page

    def test_a_device_reminds_one_student(self, student_client, classmate_client, asked):
        student_client.post(PAGE, asked)
        classmate_client.post(PAGE, asked)
        assert Reminder.objects.get().student.nickname != "Mira"

    def test_one_touch_ends_it(self, student_client, asked):
        student_client.post(PAGE, asked)
        student_client.post(OFF)
        assert not Reminder.objects.exists()

    def test_ended_twice_it_is_ended(self, student_client):
        assert student_client.post(OFF).status_code == 302

    def test_it_ends_with_signing_out_here(self, student_client, asked):
        student_client.post(PAGE, asked)
        student_client.post(reverse("studio:sign-out"))
        assert not Reminder.objects.exists()

    def test_signing_out_elsewhere_leaves_it(self, student_client, student, client, asked):
        student_client.post(PAGE, asked)
        client.post(reverse("studio:enter", args=[SignInLink.issue(student)]))
        client.post(reverse("studio:sign-out"))
        assert Reminder.objects.exists()

    def test_elsewhere_the_page_says_where_it_is(self, student_client, student, client, asked):
        student_client.post(PAGE, asked)
        client.post(reverse("studio:enter", args=[SignInLink.issue(student)]))
        assert "at 17:30, on another device." in text(client.get(PAGE))

    def test_the_keys_of_the_device_are_no_part_of_what_is_taken_along(self, student_client, asked):
        student_client.post(PAGE, asked)
        answer = student_client.get(reverse("assignments:about-me-download"))
        everything = b"".join(answer.streaming_content).decode()
        assert '"at": "17:30:00"' in everything
        for secret in (ENDPOINT, asked["auth"], asked["p256dh"]):
            assert secret not in everything

    def test_asks_this_often(self, student_client, asked, django_assert_num_queries):
        student_client.post(PAGE, asked)
        student_client.get(PAGE)  # its message is read
        # Session, link with student and studio; the reminder.
        with django_assert_num_queries(3):
            student_client.get(PAGE)


class TestInACalendar:
    def test_it_is_a_file(self, student_client):
        answer = student_client.post(CALENDAR, {"days": ["0"], "at": "17:00"})
        assert answer["Content-Type"] == "text/calendar; charset=utf-8"
        assert answer.content.startswith(b"BEGIN:VCALENDAR")
        assert b"URL:http://testserver/today/" in answer.content

    def test_what_is_wrong_is_said_beside_its_field(self, student_client):
        page = text(student_client.post(CALENDAR, {"at": "17:00"}))
        assert "Choose one day at least." in page


class TestTheSitesKey:
    def test_a_browser_can_subscribe_with_it(self):
        point = from_base64url(public_key())
        assert (len(point), point[0]) == (65, 4)

    def test_it_hangs_on_the_secret_key_alone(self, settings):
        before = public_key()
        assert public_key() == before
        settings.SECRET_KEY = "another"
        assert public_key() != before
        assert private_key().key_size == 256
