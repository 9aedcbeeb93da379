"""A teacher's students, their kits and their sign-in links."""

from datetime import timedelta

from django.contrib import messages
from django.db import transaction
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from studio import removal_views, student_session
from studio.access import owned, owned_or_removed, student_of, teacher_required
from studio.elapsed import was_long_ago
from studio.models import Kit, SignInLink, Student
from studio.once import once, sent_form
from studio.pagination import found_in, page_of, wanted_in
from studio.people.forms import KitForm, StudentForm
from studio.people.pasted_link import PastedLinkForm
from studio.removed_things import RemovedThings
from studio.request_types import TeacherRequest
from studio.response_headers import hides_its_address
from studio.retention import LINK_UNUSED_FOR

REMOVED_ON_A_PAGE = 50
#: After that a form that comes again is no second click.
_SECOND_CLICK = timedelta(seconds=30)


@require_safe
@teacher_required
def students(request: TeacherRequest) -> HttpResponse:
    wanted = wanted_in(request)
    kept = Student.objects.kept().filter(studio=request.studio)
    listed = kept.select_related("kit").with_working_links().order_by("nickname", "pk")
    found = found_in(listed, wanted, "nickname") if wanted else listed
    page = {"page": page_of(request, found), "wanted": wanted, "here": "students"}
    return render(request, "studio/people/students.html", page)


@teacher_required
@once
def student_add(request: TeacherRequest) -> HttpResponse:
    form = StudentForm(request.POST or None, studio=request.studio)
    if request.method == "POST" and form.is_valid():
        student = form.save()
        messages.success(request, f"{student} is added. Make the link they sign in with.")
        return redirect("studio:links", student.pk)
    page = {
        "title": "Add a student",
        "form": form,
        "submit": "Add student",
        "back": reverse("studio:students"),
        "caution": "guardians",
        "here": "students",
    }
    return render(request, "studio/studio_form.html", page)


@teacher_required
def student_edit(request: TeacherRequest, pk: int) -> HttpResponse:
    student = student_of(request, pk)
    form = StudentForm(request.POST or None, instance=student, studio=request.studio)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, f"{student} is saved.")
        return redirect("studio:students")
    page = {
        "title": f"Edit {form.initial['nickname']}",
        "form": form,
        "submit": "Save student",
        "back": reverse("studio:students"),
        "student": student,
        "here": "students",
    }
    return render(request, "studio/people/student_form.html", page)


@teacher_required
def student_remove(request: TeacherRequest, pk: int) -> HttpResponse:
    student = student_of(request, pk)
    return removal_views.ask_and_remove(
        request,
        student,
        consequence=(
            f"{student} leaves your lists and can no longer sign in. Sheets and sound files made "
            "for them are deleted at once, the rest is kept for a while: what they were given, "
            "practised and played."
        ),
        back=reverse("studio:students"),
        undo=reverse("studio:student-restore", args=[pk]),
    )


@require_POST
@teacher_required
def student_restore(request: TeacherRequest, pk: int) -> HttpResponse:
    student = owned_or_removed(request, Student, pk)
    return removal_views.undo(request, student, back=reverse("studio:students"))


@require_safe
@teacher_required
def removed(request: TeacherRequest) -> HttpResponse:
    """Everything that can still be brought back."""
    things = page_of(request, RemovedThings(request.studio), lines=REMOVED_ON_A_PAGE)
    page = {"page": things, "here": "removed"}
    return render(request, "studio/people/removed.html", page)


@never_cache
@teacher_required
@require_http_methods(["GET", "HEAD", "POST"])
def links(request: TeacherRequest, pk: int) -> HttpResponse:
    """List a student's links (GET); make one and show it, this once (POST)."""
    student = student_of(request, pk)
    address = ""
    if request.method == "POST":
        secret = _one_link(request, student)
        address = request.build_absolute_uri(reverse("studio:enter", args=[secret]))
    working = SignInLink.objects.working().filter(student=student)
    page = {
        "student": student,
        "page": page_of(request, working),
        "ended": SignInLink.objects.ended().filter(student=student).count(),
        "days": LINK_UNUSED_FOR.days,
        "address": address,
        "here": "students",
    }
    return render(request, "studio/people/links.html", page)


@transaction.atomic
def _one_link(request: TeacherRequest, student: Student) -> str:
    """The secret of a new link. A second click ends the link of the first, which nobody saw.

    Who has the page loaded anew later has seen it, and may have given it away: it goes on working.
    """
    sent, is_new = sent_form(request)
    if sent and not is_new and not was_long_ago(sent.sent_at, _SECOND_CLICK):
        SignInLink.objects.get(pk=int(sent.address)).revoke()
    secret = SignInLink.issue(student)
    if sent:
        link = SignInLink.for_secret(secret)
        sent.address, sent.sent_at = str(link.pk) if link else "", timezone.now()
        sent.save(update_fields=["address", "sent_at"])
    return secret


@require_POST
@teacher_required
def link_revoke(request: TeacherRequest, pk: int) -> HttpResponse:
    link = owned(request, SignInLink.objects.select_related("student"), pk)
    link.revoke()
    messages.success(request, f"The link is revoked. {link.student} can no longer use it.")
    return redirect("studio:links", link.student_id)


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def paste_link(request: HttpRequest) -> HttpResponse:
    """The way in for whoever cannot open a link, as in an app on a home screen."""
    form = PastedLinkForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        return redirect("studio:enter", form.cleaned_data["link"])
    page = {"title": "Paste your sign-in link", "form": form, "submit": "Open it"}
    return render(request, "form_page.html", page)


@hides_its_address
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def enter(request: HttpRequest, secret: str) -> HttpResponse:
    """Greet (GET), sign in (POST): a preview that a messenger fetches must change nothing."""
    link = SignInLink.for_secret(secret)
    if link is None and SignInLink.has_ended(secret):
        page = {"days": LINK_UNUSED_FOR.days}
        return render(request, "studio/people/link_ended.html", page, status=410)
    if link is None:
        return render(request, "studio/people/link_not_found.html", status=404)
    if request.method == "POST":
        student_session.enter(request, link)
        return redirect("studio:home")
    return render(request, "studio/people/enter.html", {"student": link.student})


@require_safe
@teacher_required
def kits(request: TeacherRequest) -> HttpResponse:
    players = Count("students", filter=Q(students__removed_at=None))
    kept = Kit.objects.kept().filter(studio=request.studio).annotate(players=players)
    page = {"page": page_of(request, kept.order_by("name", "pk")), "here": "kits"}
    return render(request, "studio/people/kits.html", page)


@teacher_required
@once
def kit_add(request: TeacherRequest) -> HttpResponse:
    return _kit_form(request, Kit(surfaces=[]), "Add a kit", "Add kit")


@teacher_required
def kit_edit(request: TeacherRequest, pk: int) -> HttpResponse:
    kit = owned(request, Kit, pk)
    return _kit_form(request, kit, f"Edit {kit}", "Save kit")


def _kit_form(request: TeacherRequest, kit: Kit, title: str, submit: str) -> HttpResponse:
    form = KitForm(request.POST or None, instance=kit, studio=request.studio)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, f"{kit} is saved.")
        return redirect("studio:kits")
    page = {
        "title": title,
        "form": form,
        "submit": submit,
        "back": reverse("studio:kits"),
        "here": "kits",
    }
    return render(request, "studio/studio_form.html", page)


@teacher_required
def kit_remove(request: TeacherRequest, pk: int) -> HttpResponse:
    return removal_views.ask_and_remove(
        request,
        owned(request, Kit, pk),
        consequence="No student plays it any more.",
        back=reverse("studio:kits"),
        undo=reverse("studio:kit-restore", args=[pk]),
    )


@require_POST
@teacher_required
def kit_restore(request: TeacherRequest, pk: int) -> HttpResponse:
    kit = owned_or_removed(request, Kit, pk)
    return removal_views.undo(request, kit, back=reverse("studio:kits"))
