"""What a request carries once `studio.middleware.WhoIsAsking` has seen it, for annotations."""

from django.http import HttpRequest
from django_htmx.middleware import HtmxDetails

from studio.models import Student, Studio


class Request(HttpRequest):
    """From anybody."""

    htmx: HtmxDetails
    studio: Studio | None
    student: Student | None


class TeacherRequest(Request):
    """Behind `teacher_required`."""

    studio: Studio


class StudentRequest(Request):
    """Behind `student_required`."""

    student: Student
