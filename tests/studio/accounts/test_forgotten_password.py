"""A teacher who forgot the password gets a link, good once and for a day."""

import re
from datetime import timedelta

import pytest
from django.contrib.auth.tokens import PasswordResetTokenGenerator
from django.core import mail
from django.urls import reverse

from tests.studio.accounts.test_accounts import errors, sign_in

pytestmark = pytest.mark.django_db

NEW = "rimshot after supper"


@pytest.fixture(autouse=True)
def site_sends_mail(settings):
    settings.EMAIL_HOST = "mail.example.org"


def ask(client, email="Ines@example.org"):
    return client.post(reverse("studio:forgotten"), {"email": email})


def link() -> str:
    [sent] = mail.outbox
    return re.search(r"http://testserver(\S+)", sent.body)[1]


def set_new(client, address: str, password: str = NEW):
    there = client.get(address, follow=True).request["PATH_INFO"]
    return client.post(there, {"new_password1": password, "new_password2": password})


def test_the_link_sets_a_new_password_and_signs_in(client, teacher):
    ask(client)
    assert set_new(client, link()).url == reverse("studio:home")
    assert client.get(reverse("studio:students")).status_code == 200
    client.logout()
    assert sign_in(client, password=NEW).status_code == 302


def test_the_link_is_good_once(client, teacher):
    ask(client)
    set_new(client, link())
    assert "used already" in client.get(link(), follow=True).content.decode()


def test_the_link_is_good_for_a_day(client, teacher, monkeypatch):
    ask(client)
    now = PasswordResetTokenGenerator()._now()
    later = now + timedelta(hours=25)
    monkeypatch.setattr(PasswordResetTokenGenerator, "_now", lambda _: later)
    assert "older than a day" in client.get(link(), follow=True).content.decode()


def test_an_unknown_address_gets_the_same_answer_and_no_mail(client, teacher):
    assert ask(client, "nobody@example.org").url == ask(client).url
    assert [sent.to for sent in mail.outbox] == [["ines@example.org"]]


def test_a_weak_password_is_refused(client, teacher):
    ask(client)
    assert "entirely numeric" in set_new(client, link(), "12345678").content.decode()


def test_asking_too_often_is_refused(client, teacher):
    for _ in range(20):
        ask(client)
    assert "Too many tries" in errors(ask(client), "__all__")[0]


def test_a_site_without_mail_says_whom_to_ask(client, settings):
    settings.EMAIL_HOST = ""
    page = client.get(reverse("studio:forgotten")).content.decode()
    assert "Ask whoever runs it" in page
