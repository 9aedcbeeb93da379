"""A student's progress over HTTP, for their teacher."""

from typing import cast

from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from assignments.days import days_up_to, today_in
from assignments.progress.student_totals import DAYS_SHOWN, mastered_so_far, standings
from studio.access import student_of
from studio.request_types import TeacherRequest


class ApiStudentProgress(APIView):
    def get(self, request: Request, pk: int) -> Response:
        """One student's last four weeks, for their teacher."""
        asked = cast(TeacherRequest, request._request)
        student = student_of(asked, pk)
        days = days_up_to(today_in(asked.studio), DAYS_SHOWN)
        (standing,) = standings([student], days)
        mastered = mastered_so_far([student], days, asked.studio.zone)
        by_day = zip(days, standing.minutes, mastered, strict=True)
        return Response(
            {
                "student": student.pk,
                "assigned": standing.tally.assigned,
                "mastered": standing.tally.mastered,
                "last_practised": standing.last_practised,
                "days": [
                    {"day": day, "minutes": minutes, "mastered": so_far}
                    for day, minutes, so_far in by_day
                ],
            }
        )
