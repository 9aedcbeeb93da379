"""Personal links: made and revoked by the teacher, used by the student."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from studio import sessions
from studio.access import owned, student_of, teacher_required
from studio.models import SignInLink
from studio.requests import TeacherRequest


@never_cache
@teacher_required
@require_http_methods(["GET", "HEAD", "POST"])
def links(request: TeacherRequest, pk: int) -> HttpResponse:
    """List a student's links (GET); make one and show it, this once (POST)."""
    student = student_of(request, pk)
    address = ""
    if request.method == "POST":
        secret = SignInLink.issue(student)
        address = request.build_absolute_uri(reverse("studio:enter", args=[secret]))
    working = SignInLink.objects.working().filter(student=student)
    page = {"student": student, "links": working, "address": address, "here": "students"}
    return render(request, "studio/links.html", page)


@require_POST
@teacher_required
def revoke(request: TeacherRequest, pk: int) -> HttpResponse:
    link = owned(request, SignInLink.objects.select_related("student"), pk)
    link.revoke()
    messages.success(request, f"The link is revoked. {link.student} can no longer use it.")
    return redirect("studio:links", link.student_id)


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def enter(request: HttpRequest, secret: str) -> HttpResponse:
    """Greet (GET), sign in (POST): a preview that a messenger fetches must change nothing."""
    link = SignInLink.for_secret(secret)
    if link is None:
        return render(request, "studio/link_not_found.html", status=404)
    if request.method == "POST":
        sessions.enter(request, link)
        return redirect("studio:home")
    return render(request, "studio/enter.html", {"student": link.student})
