"""Who is asking: a teacher with a studio, a student with a personal link, or nobody yet.

And the session that tells, whose cookie outlasts the late answers of the one before.
"""

import re
from collections.abc import Callable

from django.conf import settings
from django.contrib.sessions.middleware import SessionMiddleware
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from studio import student_session
from studio.models import Studio
from studio.request_types import Request

_SESSION_KEY = re.compile("[a-z0-9]{8,40}")


class Sessions(SessionMiddleware):
    """Only the request that ends a session takes its cookie away.

    Django also takes it where the session is found to have ended. A page asks for several
    things at once: one that was asked in the last session and answered after a sign-in would
    take the cookie of the new one.
    """

    def process_request(self, request: HttpRequest) -> None:
        """Only a key that could be one is looked up: a cookie may say anything."""
        if not _SESSION_KEY.fullmatch(request.COOKIES.get(settings.SESSION_COOKIE_NAME, "")):
            request.COOKIES.pop(settings.SESSION_COOKIE_NAME, None)
        super().process_request(request)

    def process_response(self, request: HttpRequest, response: HttpResponse) -> HttpResponse:
        answer = super().process_response(request, response)
        if not request.session.modified:
            answer.cookies.pop(settings.SESSION_COOKIE_NAME, None)
        return answer


class WhoIsAsking:
    """Sets `request.studio` (a teacher's, else None) and `request.student` (else None).

    Both are looked up anew at every request, so that a revoked link or a removed student
    is out at once. The time zone of the studio is the one in which pages speak.
    """

    def __init__(self, get_response: Callable[[Request], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: Request) -> HttpResponse:
        request.studio = _studio_of_teacher(request)
        request.student = None if request.studio else student_session.student(request)
        place = request.studio or (request.student and request.student.studio)
        with timezone.override(place.zone if place else None):
            return self.get_response(request)


def _studio_of_teacher(request: Request) -> Studio | None:
    if not request.user.is_authenticated:
        return None
    return Studio.objects.filter(memberships__teacher=request.user).order_by("memberships").first()
