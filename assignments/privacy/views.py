"""Everything that is kept about a student, for the student."""

from django.http import HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from assignments.privacy.personal_data import all_kept, summary
from studio import retention
from studio.access import student_required
from studio.request_types import StudentRequest


@require_safe
@student_required
def about_me(request: StudentRequest) -> HttpResponse:
    page = {"kept": summary(request.student), "terms": retention}
    return render(request, "assignments/privacy/about_me.html", page)


@require_safe
@student_required
def about_me_download(request: StudentRequest) -> StreamingHttpResponse:
    answer = StreamingHttpResponse(all_kept(request.student), content_type="application/json")
    answer["Content-Disposition"] = 'attachment; filename="what-is-kept-about-me.json"'
    return answer
