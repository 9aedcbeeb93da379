"""Sign-in and permissions for the API, the same two roles as the pages have.

Teachers are asked for by default. A view for students says
`permission_classes = [IsStudent]` and finds its student in `request.user`.
"""

from typing import cast

from rest_framework.authentication import SessionAuthentication
from rest_framework.permissions import BasePermission
from rest_framework.request import Request

from studio.models import Student, Teacher
from studio.request_types import Request as PlainRequest


def _plain(request: Request) -> PlainRequest:
    return cast(PlainRequest, request._request)


class TeacherSession(SessionAuthentication):
    def authenticate_header(self, request: Request) -> str:
        """Makes signed-out requests 401 instead of 403."""
        return "Session"


class StudentSession(TeacherSession):
    """The student who came in by a personal link; guarded against forged requests alike."""

    def authenticate(self, request: Request) -> tuple[Student, None] | None:
        student = _plain(request).student
        if student is None:
            return None
        self.enforce_csrf(request)
        return student, None


class IsTeacher(BasePermission):
    message = "Only teachers may do this."

    def has_permission(self, request: Request, view: object) -> bool:
        return isinstance(request.user, Teacher) and _plain(request).studio is not None


class IsStudent(BasePermission):
    message = "Only students may do this."

    def has_permission(self, request: Request, view: object) -> bool:
        return isinstance(request.user, Student)
