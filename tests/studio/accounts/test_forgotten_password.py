"""A teacher who forgot the password gets a link, good once and for a day."""

import re
from datetime import timedelta

import pytest
from django.contrib.auth.tokens import PasswordResetTokenGenerator
from django.core import mail
from django.urls import reverse

from tests.studio.accounts.test_accounts import sign_in

pytestmark = pytest.mark.django_db

NEW = "rimshot after supper"


@pytest.fixture
def ask(client, django_capture_on_commit_callbacks):
    """Ask for a link; the mail is sent once the request is through."""

    def ask():
        with django_capture_on_commit_callbacks(execute=True):
            return client.post(reverse("studio:forgotten"), {"email": "Ines@example.org"})

    return ask


def link() -> str:
    [sent] = mail.outbox
    return re.search(r"http://testserver(/\S+)", sent.body)[1]


def set_new(client, address: str, password: str = NEW):
    there = client.get(address, follow=True).request["PATH_INFO"]
    return client.post(there, {"new_password1": password, "new_password2": password})


def test_the_link_sets_a_new_password_and_signs_in(client, ask, teacher):
    ask()
    assert set_new(client, link()).url == reverse("studio:home")
    assert client.get(reverse("studio:students")).status_code == 200
    client.logout()
    assert sign_in(client, password=NEW).status_code == 302


def test_the_link_is_good_once(client, ask, teacher):
    ask()
    set_new(client, link())
    assert "used already" in client.get(link(), follow=True).content.decode()


def test_the_link_is_good_for_a_day(client, ask, teacher, monkeypatch):
    ask()
    now = PasswordResetTokenGenerator()._now()
    later = now + timedelta(hours=25)
    monkeypatch.setattr(PasswordResetTokenGenerator, "_now", lambda _: later)
    assert "older than a day" in client.get(link(), follow=True).content.decode()


def test_a_weak_password_is_refused(client, ask, teacher):
    ask()
    assert "entirely numeric" in set_new(client, link(), "12345678").content.decode()
