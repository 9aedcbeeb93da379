"""Reminders as they go out: to whom, when, once, and what the push service gets."""

import json
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, time, timedelta

import pytest
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature
from django.db import connection

from assignments.models import Reminder
from assignments.reminders.push_keys import public_key
from assignments.reminders.sending import due, forget_ended, remind
from assignments.tasks import send_reminders
from tests.assignments.making import logged
from tests.assignments.reminders.conftest import NOW
from tests.assignments.reminders.push_service import from_base64url

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("reachable")]
WEDNESDAY = NOW.date()


def change(reminder: Reminder, **fields) -> None:
    Reminder.objects.filter(pk=reminder.pk).update(**fields)


class TestWhoIsDue:
    def test_whoever_asked_for_this_time(self, reminder):
        assert due(NOW) == [reminder]

    @pytest.mark.parametrize(
        "at", [time(17, 11), time(23, 59), time(15, 9), time(0)], ids=lambda at: f"{at:%H:%M}"
    )
    def test_not_before_the_time_nor_hours_after_it(self, reminder, at):
        change(reminder, at=at)
        assert due(NOW) == []

    def test_not_on_other_days(self, reminder):
        change(reminder, days="013456")
        assert due(NOW) == []

    def test_not_whoever_was_reminded_today(self, reminder):
        change(reminder, sent_on=WEDNESDAY)
        assert due(NOW) == []

    def test_whoever_was_reminded_yesterday(self, reminder):
        change(reminder, sent_on=WEDNESDAY - timedelta(days=1))
        assert due(NOW) == [reminder]

    def test_not_whoever_has_played_today(self, reminder, student):
        logged(student, 1, WEDNESDAY)
        assert due(NOW) == []

    def test_whoever_played_yesterday_or_took_it_out_again(self, reminder, student):
        logged(student, 1, WEDNESDAY - timedelta(days=1))
        logged(student, 1, WEDNESDAY).remove()
        assert due(NOW) == [reminder]

    def test_not_by_a_code_that_ended(self, reminder):
        reminder.link.revoke()
        assert due(NOW) == []

    def test_by_the_clock_of_the_studio(self, reminder, studio):
        studio.timezone = "America/New_York"
        studio.save()
        assert due(NOW) == []
        assert due(NOW + timedelta(hours=6)) == [reminder]

    def test_just_after_midnight_nobody_of_the_day_before(self, reminder):
        change(reminder, at=time(23, 50))
        assert due(datetime(2026, 11, 25, 23, 5, tzinfo=UTC)) == []

    def test_an_hour_that_the_clock_leaves_out_is_made_up_for(self, reminder):
        """Berlin has no 02:30 on 29 March 2026 (Directive 2000/84/EC)."""
        change(reminder, at=time(2, 30))
        assert due(datetime(2026, 3, 29, 1, 5, tzinfo=UTC)) == [reminder]

    def test_asks_as_often_for_many_as_for_few(self, reminder, django_assert_num_queries):
        # The zones, and who is due in the one there is.
        with django_assert_num_queries(2):
            due(NOW)


class TestWhatIsSent:
    @pytest.fixture
    def came(self, reminder, push_service):
        send_reminders()
        (message,) = push_service.came
        return message

    def test_the_browser_reads_it(self, came, browser_keys):
        assert browser_keys.read(came[1]) == {
            "title": "Fillwright",
            "body": "Five minutes at the kit? Your fills are ready.",
            "open": "/today/",
        }

    def test_it_names_nobody(self, came, browser_keys, student, studio, teacher):
        said = json.dumps(browser_keys.read(came[1]))
        for name in (student.nickname, studio.name, teacher.email):
            assert name not in said

    def test_nobody_on_the_way_reads_it(self, came):
        assert b"Five minutes" not in came[1]

    def test_the_site_signs_for_this_service_alone(self, came, push_service):
        """RFC 8292: a token of ES256 (RFC 7515) for the service's origin, and the key to it."""
        scheme, _, fields = came[0]["authorization"].partition(" ")
        parts = dict(field.split("=", 1) for field in fields.replace(" ", "").split(","))
        assert (scheme, parts["k"]) == ("vapid", public_key())
        signed, _, signature = parts["t"].rpartition(".")
        raw = from_base64url(signature)
        r, s = (int.from_bytes(half, "big") for half in (raw[:32], raw[32:]))
        key = ec.EllipticCurvePublicKey.from_encoded_point(
            ec.SECP256R1(), from_base64url(parts["k"])
        )
        key.verify(encode_dss_signature(r, s), signed.encode(), ec.ECDSA(hashes.SHA256()))
        claims = json.loads(from_base64url(signed.split(".")[1]))
        assert push_service.address == f"{claims['aud']}/send/abc"
        assert claims["sub"].startswith("mailto:")

    def test_it_waits_for_hours_and_no_longer(self, came):
        assert (came[0]["ttl"], came[0]["content-encoding"]) == ("7200", "aes128gcm")


class TestOnceADay:
    def test_however_often_it_is_swept(self, reminder, push_service):
        send_reminders()
        send_reminders()
        remind(reminder.pk)
        assert len(push_service.came) == 1

    @pytest.mark.django_db(transaction=True)
    def test_however_many_workers_there_are(self, reminder, push_service):
        def worker(_: int) -> None:
            try:
                remind(reminder.pk)
            finally:
                connection.close()

        with ThreadPoolExecutor(6) as workers:
            list(workers.map(worker, range(6)))
        assert len(push_service.came) == 1

    def test_a_job_that_comes_hours_late_does_nothing(self, reminder, push_service, monkeypatch):
        monkeypatch.setattr("django.utils.timezone.now", lambda: NOW + timedelta(hours=3))
        remind(reminder.pk)
        assert push_service.came == []


class TestWhatComesBack:
    @pytest.mark.parametrize("status", [404, 410])
    def test_a_device_that_is_gone_is_forgotten(self, reminder, push_service, status):
        push_service.status = status
        send_reminders()
        assert not Reminder.objects.exists()

    @pytest.mark.parametrize("status", [302, 307, 400, 403, 413, 429, 500, 503])
    def test_any_other_answer_changes_nothing(self, reminder, push_service, status):
        push_service.status = status
        send_reminders()
        assert Reminder.objects.get().sent_on == WEDNESDAY
        assert len(push_service.came) == 1  # it was not led elsewhere

    def test_a_service_that_is_away_breaks_nothing(self, reminder, push_service):
        push_service.stop()
        send_reminders()
        assert Reminder.objects.get().sent_on == WEDNESDAY

    def test_keys_that_encrypt_nothing_break_nothing(self, reminder, push_service):
        change(reminder, p256dh="AAAA")
        send_reminders()
        assert push_service.came == []


class TestWhatIsForgotten:
    def test_with_the_code_by_which_the_device_came_in(self, reminder):
        forget_ended()
        assert Reminder.objects.exists()
        reminder.link.revoke()
        forget_ended()
        assert not Reminder.objects.exists()

    def test_when_the_student_leaves(self, reminder, student):
        student.remove()
        assert not Reminder.objects.exists()
