"""A student's session: holds the link they came in by, and nothing about them."""

from django.contrib.auth import logout
from django.http import HttpRequest

from studio.models import SignInLink, Student
from studio.retention import STUDENT_SIGNED_IN_FOR

LINK_KEY = "sign_in_link"


def enter(request: HttpRequest, link: SignInLink) -> None:
    """Sign the link's student in; whoever was signed in on this device before is signed out."""
    logout(request)
    request.session[LINK_KEY] = link.pk
    request.session.set_expiry(STUDENT_SIGNED_IN_FOR)
    link.note_use()


def student(request: HttpRequest) -> Student | None:
    """Return the student of this session while their link works."""
    link_pk = request.session.get(LINK_KEY)
    if link_pk is None:
        return None
    working = SignInLink.objects.working().select_related("student__studio", "student__kit")
    link = working.filter(pk=link_pk).first()
    if link is None:
        return None
    link.note_use()
    return link.student
