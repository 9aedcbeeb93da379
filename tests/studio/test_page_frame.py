"""What every page has, and the pages for when something fails."""

import pytest
from django.test import Client
from django.urls import reverse
from django.views.defaults import server_error

from studio.models import SignInLink

pytestmark = pytest.mark.django_db


def test_a_page_runs_only_what_comes_from_this_site(client):
    policy = client.get(reverse("studio:landing"))["Content-Security-Policy"]
    assert "default-src 'self'" in policy
    assert "unsafe" not in policy


@pytest.mark.parametrize("caution", ["Protect your ears", "Stop if it hurts", "Do not copy pages"])
def test_the_first_page_gives_the_cautions(client, caution):
    assert caution in client.get(reverse("studio:landing")).content.decode()


def test_adding_a_student_reminds_of_guardians(teacher_client):
    page = teacher_client.get(reverse("studio:student-add")).content.decode()
    assert "guardians’ consent" in page


def test_a_students_first_page_says_to_protect_ears_and_stop_on_pain(client, student):
    page = client.get(reverse("studio:enter", args=[SignInLink.issue(student)])).content.decode()
    assert "Protect your ears" in page
    assert "Stop if it hurts" in page


def test_an_unknown_address_says_so_in_plain_words(client):
    response = client.get("/no/such/page/")
    assert response.status_code == 404
    assert "There is no such page" in response.content.decode()


def test_a_forged_post_says_that_nothing_was_saved(teacher):
    client = Client(enforce_csrf_checks=True)
    response = client.post(reverse("studio:sign-in"), {"username": "x"})
    assert response.status_code == 403
    assert "Nothing was saved" in response.content.decode()


def test_the_page_for_our_own_failures_needs_nothing_of_the_request(rf):
    assert "Something broke on our side" in server_error(rf.get("/")).content.decode()


def test_a_look_that_does_not_exist_is_ignored(client):
    client.cookies["look"] = '"><script>'
    page = client.get(reverse("studio:landing")).content.decode()
    assert 'data-look="system"' in page


def test_htmx_is_sent_to_sign_in_by_the_whole_page(client):
    response = client.get(reverse("studio:students"), HTTP_HX_REQUEST="true")
    assert response["HX-Redirect"] == reverse("studio:sign-in")


def test_a_signed_out_teacher_comes_back_to_where_they_were_going(client):
    response = client.get(reverse("studio:student-add"))
    assert response["Location"] == f"{reverse('studio:sign-in')}?next=/studio/students/add/"
