"""What a student's device asks before it sends what was logged without a network."""

from typing import cast

from django.middleware.csrf import get_token
from django.utils import timezone
from django.utils.cache import add_never_cache_headers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from assignments.days import today_in
from assignments.offline.site_files import pages_of_fills, pages_often, sounds_address
from studio.api import IsStudent
from studio.models import Student


class ApiDevice(APIView):
    """GET: who is signed in here, what time it is, and what the device should keep.

    `now` is in milliseconds since 1970 UTC, as a browser's own clock has it: the difference
    says how far that clock is off. `day` is the student's day. The answer also renews the
    cookie that guards against forged requests.
    """

    permission_classes = [IsStudent]

    def get(self, request: Request) -> Response:
        student = cast(Student, request.user)
        get_token(request._request)
        response = Response(
            {
                "student": student.pk,
                "now": round(timezone.now().timestamp() * 1000),
                "day": today_in(student.studio),
                "often": pages_often(),
                "fills": pages_of_fills(student),
                "sounds": sounds_address(),
            }
        )
        add_never_cache_headers(response)
        return response
