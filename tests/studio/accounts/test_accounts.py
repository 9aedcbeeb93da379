"""Opening a studio, signing in and out."""

import pytest
from django.urls import reverse

from studio.accounts.account_mails import opening_token
from studio.accounts.forms import OpenStudioForm
from studio.models import Studio, Teacher
from studio.studio_opening import create_studio, on_studio_created
from tests.cast import PASSWORD

pytestmark = pytest.mark.django_db

STUDIO = {"name": "Room 4", "password": PASSWORD, "timezone": "Europe/Berlin"}


def open_studio(client, email="ines@example.org", **changes):
    """Open a studio by the link of a mail."""
    address = reverse("studio:open-studio", args=[opening_token(email)])
    return client.post(address, STUDIO | changes)


def sign_in(client, email="ines@example.org", password=PASSWORD, **more):
    return client.post(reverse("studio:sign-in"), {"username": email, "password": password}, **more)


def errors(response, field):
    return [str(error) for error in response.context["form"].errors.get(field, [])]


def test_opening_a_studio_signs_its_teacher_in(client):
    open_studio(client)
    response = client.get(reverse("studio:students"))
    assert response.wsgi_request.studio == Studio.objects.get(name="Room 4")


def test_the_same_form_sent_twice_at_once_opens_one_studio(client):
    form = OpenStudioForm(STUDIO, email="ines@example.org")
    assert form.is_valid()
    open_studio(client)
    assert form.open() is None
    assert "already an account" in form.errors["__all__"][0]
    assert Studio.objects.count() == 1


def test_who_has_a_studio_by_now_is_told_so_on_the_page_of_the_link(client, teacher):
    assert "already an account" in errors(open_studio(client), "__all__")[0]


def test_a_weak_password_is_refused_beside_its_field_and_the_rest_is_kept(client):
    response = open_studio(client, password="12345678")
    assert "This password is entirely numeric." in errors(response, "password")
    assert response.context["form"]["name"].value() == "Room 4"
    assert not Teacher.objects.exists()


def test_a_zone_that_does_not_exist_is_refused(client):
    response = open_studio(client, timezone="Mars/Olympus")
    assert "Mars/Olympus" in errors(response, "timezone")[0]


def test_a_teacher_signs_in_however_the_email_is_written(client, teacher):
    assert sign_in(client, "Ines@EXAMPLE.org").status_code == 302


def test_a_wrong_password_is_refused_without_saying_whether_the_account_exists(client, teacher):
    known = errors(sign_in(client, password="wrong"), "__all__")
    unknown = errors(sign_in(client, email="nobody@example.org"), "__all__")
    assert known == unknown != []


def test_guessing_a_password_is_stopped(client, teacher):
    for _ in range(10):
        sign_in(client, password="guess")
    response = sign_in(client)
    assert errors(response, "__all__") == ["Too many tries. Wait 60 min, then try again."]


def test_guessing_from_elsewhere_does_not_lock_the_teacher_out(client, teacher):
    for _ in range(11):
        sign_in(client, password="guess", REMOTE_ADDR="203.0.113.9")
    assert sign_in(client).status_code == 302


def test_signing_in_does_not_lead_to_another_site(client, teacher):
    address = reverse("studio:sign-in")
    data = {"username": "ines@example.org", "password": PASSWORD, "next": "https://evil.example/"}
    assert client.post(address, data)["Location"] == reverse("studio:home")


def test_signing_out_ends_the_session(teacher_client):
    teacher_client.post(reverse("studio:sign-out"))
    assert teacher_client.get(reverse("studio:students")).status_code == 302


def test_a_changed_password_is_the_one_that_counts(client, teacher_client):
    new = "swiss-army-triplet-9"
    data = {"old_password": PASSWORD, "new_password1": new, "new_password2": new}
    teacher_client.post(reverse("studio:change-password"), data)
    assert sign_in(client).status_code == 200
    assert sign_in(client, password=new).status_code == 302


def test_settings_change_name_and_zone(teacher_client, studio):
    data = {"name": "Room 5", "timezone": "Asia/Tokyo"}
    teacher_client.post(reverse("studio:settings"), data)
    studio.refresh_from_db()
    assert (studio.name, studio.timezone) == ("Room 5", "Asia/Tokyo")


def test_pages_speak_in_the_studios_time_zone(teacher_client, studio, student):
    teacher_client.post(reverse("studio:links", args=[student.pk]))
    link = student.sign_in_links.get()
    link.last_used_at = link.created_at
    link.created_at = link.created_at.replace(year=2026, month=1, day=15, hour=23, minute=30)
    link.save()
    page = teacher_client.get(reverse("studio:links", args=[student.pk]))
    assert "16 Jan 2026, 00:30" in page.content.decode()  # Berlin is an hour ahead of UTC in winter


@pytest.fixture
def opening(monkeypatch):
    """Whatever a test registers is forgotten after it."""
    monkeypatch.setattr("studio.studio_opening._callbacks", [])
    return on_studio_created


def test_what_another_app_registered_runs_once_for_each_new_studio(opening):
    opened = []
    opening(opened.append)
    opening(opened.append)
    teacher = Teacher.objects.create_user("ines@example.org", PASSWORD)
    assert opened == []
    studio = create_studio("Room 4", "UTC", teacher)
    assert opened == [studio]


@pytest.mark.django_db(transaction=True)
def test_a_studio_is_opened_whole_or_not_at_all(opening):
    @opening
    def fail(studio):
        raise RuntimeError("no ladder today")

    teacher = Teacher.objects.create_user("ines@example.org", PASSWORD)
    with pytest.raises(RuntimeError):
        create_studio("Room 4", "UTC", teacher)
    assert not Studio.objects.exists()


def test_a_new_studio_has_a_standard_kit(studio):
    assert [kit.name for kit in studio.kits.all()] == ["Standard kit"]
