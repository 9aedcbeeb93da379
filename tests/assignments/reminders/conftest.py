"""A push service, a browser that subscribed there, and a clock."""

from datetime import UTC, datetime, time

import pytest
import requests

from assignments.models import Reminder
from assignments.reminders.push_device import PushDevice
from studio.models import SignInLink
from tests.assignments.reminders.push_service import Browser, PushService

#: A Wednesday, ten past five in the afternoon in Berlin.
NOW = datetime(2026, 11, 25, 16, 10, tzinfo=UTC)


@pytest.fixture
def push_service(tmp_path):
    service = PushService(tmp_path)
    yield service
    service.stop()


@pytest.fixture
def browser_keys() -> Browser:
    return Browser()


@pytest.fixture
def reachable(push_service, monkeypatch) -> None:
    """This machine counts as one of the public internet, with its certificate."""

    def session() -> requests.Session:
        made = requests.Session()
        made.trust_env = False
        made.verify = str(push_service.certificate)
        return made

    monkeypatch.setattr("assignments.reminders.push_message.public_session", session)


@pytest.fixture
def at_ten_past_five(studio, monkeypatch) -> None:
    studio.timezone = "Europe/Berlin"
    studio.save()
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOW)


@pytest.fixture
def reminder(student, push_service, browser_keys, at_ten_past_five) -> Reminder:
    """Every day at five, on a device that came in by a link."""
    SignInLink.issue(student)
    device = PushDevice(push_service.address, browser_keys.p256dh, browser_keys.auth)
    return Reminder.objects.create(
        student=student,
        link=student.sign_in_links.latest("pk"),
        days="0123456",
        at=time(17),
        endpoint_hash=device.endpoint_hash,
        **device._asdict(),
    )
