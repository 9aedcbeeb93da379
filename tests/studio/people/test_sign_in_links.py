"""Personal links by which students sign in."""

from datetime import timedelta

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from studio.models import SentForm, SignInLink
from studio.once import TOKEN

pytestmark = pytest.mark.django_db


@pytest.fixture
def secret(student):
    return SignInLink.issue(student)


def enter(client, secret):
    return client.post(reverse("studio:enter", args=[secret]))


def who(client):
    return client.get(reverse("studio:landing")).wsgi_request.student


def test_a_secret_signs_its_student_in(client, student, secret):
    enter(client, secret)
    assert who(client) == student


def test_looking_at_the_link_signs_nobody_in(client, secret):
    client.get(reverse("studio:enter", args=[secret]))
    assert who(client) is None
    assert SignInLink.objects.get().last_used_at is None


def test_a_link_works_on_several_devices(student, secret):
    phone, tablet = Client(), Client()
    enter(phone, secret)
    enter(tablet, secret)
    assert who(phone) == who(tablet) == student


def test_a_secret_has_256_random_bits(student):
    secrets = {SignInLink.issue(student) for _ in range(50)}
    assert len(secrets) == 50
    assert {len(secret) for secret in secrets} == {43}  # 32 bytes in base 64, 6 bits a letter


def test_a_secret_is_not_in_the_database(secret):
    [row] = SignInLink.objects.values()
    assert secret not in str(row)


@pytest.mark.parametrize("change", [lambda s: s[:-1], lambda s: s + "x", lambda s: s.swapcase()])
def test_a_damaged_secret_signs_nobody_in(secret, change):
    assert SignInLink.for_secret(change(secret)) is None


def test_an_unknown_link_sends_the_student_to_their_teacher(client):
    response = client.get(reverse("studio:enter", args=["nonsense"]))
    assert response.status_code == 404
    assert "Ask your teacher for a new link" in response.content.decode()


def test_a_revoked_link_ends_a_session_at_once(client, teacher_client, student, secret):
    enter(client, secret)
    teacher_client.post(reverse("studio:link-revoke", args=[student.sign_in_links.get().pk]))
    assert who(client) is None


def test_revoking_one_link_leaves_the_others(client, student, secret):
    SignInLink.issue(student)
    student.sign_in_links.first().revoke()
    assert SignInLink.for_secret(secret).student == student


def test_revoking_twice_keeps_the_first_moment(student, secret):
    link = student.sign_in_links.get()
    link.revoke()
    first = link.revoked_at
    link.revoke()
    assert link.revoked_at == first


def test_a_new_link_is_shown_once(teacher_client, student):
    address = reverse("studio:links", args=[student.pk])
    shown = teacher_client.post(address).context["address"]
    secret = shown.rstrip("/").rpartition("/")[2]
    assert SignInLink.for_secret(secret).student == student
    assert secret not in teacher_client.get(address).content.decode()


def test_a_second_click_leaves_one_link(teacher_client, student):
    address = reverse("studio:links", args=[student.pk])
    for _ in range(3):
        teacher_client.post(address, {TOKEN: "of one page"})
    assert SignInLink.objects.working().count() == 1


def test_a_page_that_is_loaded_anew_later_leaves_the_link_that_was_given_away(
    teacher_client, student
):
    address = reverse("studio:links", args=[student.pk])
    teacher_client.post(address, {TOKEN: "of one page"})
    SentForm.objects.update(sent_at=timezone.now() - timedelta(minutes=5))
    teacher_client.post(address, {TOKEN: "of one page"})
    assert SignInLink.objects.working().count() == 2


def test_a_page_with_a_secret_is_not_kept_by_the_browser(teacher_client, student):
    response = teacher_client.post(reverse("studio:links", args=[student.pk]))
    assert "no-store" in response["Cache-Control"]


def test_entering_signs_a_teacher_out_of_the_same_browser(teacher_client, student, secret):
    enter(teacher_client, secret)
    assert teacher_client.get(reverse("studio:students")).status_code == 403
    assert who(teacher_client) == student


def test_use_is_noted_at_most_once_an_hour(client, student, secret):
    enter(client, secret)
    link = student.sign_in_links.get()
    earlier = timezone.now() - timedelta(minutes=59)
    SignInLink.objects.update(last_used_at=earlier)
    who(client)
    link.refresh_from_db()
    assert link.last_used_at == earlier
    SignInLink.objects.update(last_used_at=earlier - timedelta(minutes=2))
    who(client)
    link.refresh_from_db()
    assert link.last_used_at > earlier


def test_an_answer_in_a_session_that_has_ended_leaves_the_cookie_alone(client, secret):
    """It may be the cookie of who signed in since: the answers of one device cross."""
    enter(client, secret)
    client.session.flush()
    answer = client.get(reverse("studio:landing"))
    assert answer.wsgi_request.student is None
    assert settings.SESSION_COOKIE_NAME not in answer.cookies


def test_signing_out_takes_the_cookie_away(client, secret):
    enter(client, secret)
    answer = client.post(reverse("studio:sign-out"))
    assert answer.cookies[settings.SESSION_COOKIE_NAME].value == ""


class TestALinkThatIsPasted:
    """As into an app on a home screen, which has no line for addresses."""

    PASTE = reverse("studio:paste-link")

    @pytest.mark.parametrize(
        "pasted",
        [
            "https://studio.example.org/enter/{}/",
            "  https://studio.example.org/enter/{}  ",
            "Your way in: https://studio.example.org/enter/{}/ See you on Thursday",
            "{}",
        ],
    )
    def test_leads_to_its_own_page(self, client, secret, pasted):
        answer = client.post(self.PASTE, {"link": pasted.format(secret)})
        assert answer.url == reverse("studio:enter", args=[secret])
        assert who(client) is None

    @pytest.mark.parametrize(
        "pasted", ["", "hello", "https://studio.example.org/today/", "/enter/short/", "x" * 3000]
    )
    def test_anything_else_is_refused_beside_the_field(self, client, pasted):
        answer = client.post(self.PASTE, {"link": pasted})
        assert answer.context["form"].errors["link"] == [
            "This is no sign-in link. Copy all of it, as your teacher sent it."
        ]

    def test_the_page_of_signing_in_leads_there(self, client):
        page = client.get(reverse("studio:sign-in")).content.decode()
        assert f'href="{self.PASTE}"' in page
