"""A student's reminder: on this device where its browser can, in a calendar anywhere."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from assignments.models import Reminder
from assignments.reminders.calendar_file import calendar_file
from assignments.reminders.forms import DeviceReminderForm, ReminderForm
from assignments.reminders.push_keys import public_key
from assignments.reminders.reminder_store import is_here, keep_reminder, reminder_of
from studio.access import student_required
from studio.request_types import StudentRequest

_SAVED = "You are reminded at {at:%H:%M}, on days on which you have not played yet."


@require_http_methods(["GET", "HEAD", "POST"])
@student_required
def reminder(request: StudentRequest) -> HttpResponse:
    """The page; what is posted to it is a reminder on this device."""
    kept = reminder_of(request.student)
    if request.method != "POST":
        return _page(request, DeviceReminderForm(reminder=kept), kept)
    form = DeviceReminderForm(request.POST)
    if not form.is_valid():
        return _page(request, form, kept)
    at = keep_reminder(request, request.student, form.cleaned_data).at
    messages.success(request, _SAVED.format(at=at))
    return redirect("assignments:reminder")


@require_POST
@student_required
def reminder_calendar(request: StudentRequest) -> HttpResponse:
    """The file for a calendar."""
    form = ReminderForm(request.POST)
    if not form.is_valid():
        return _page(request, form, reminder_of(request.student))
    today = request.build_absolute_uri(reverse("assignments:today"))
    days, at = form.cleaned_data["days"], form.cleaned_data["at"]
    file = calendar_file(request.student, days, at, today)
    answer = HttpResponse(file, content_type="text/calendar; charset=utf-8")
    answer["Content-Disposition"] = 'attachment; filename="five-minutes.ics"'
    return answer


@require_POST
@student_required
def reminder_off(request: StudentRequest) -> HttpResponse:
    """No reminder any more, on whichever device."""
    Reminder.objects.filter(student=request.student).delete()
    messages.success(request, "No more reminders on your devices.")
    return redirect("assignments:reminder")


def _page(request: StudentRequest, form: ReminderForm, kept: Reminder | None) -> HttpResponse:
    page = {
        "form": form,
        "reminder": kept,
        "is_here": is_here(request, kept),
        "public_key": public_key(),
    }
    return render(request, "assignments/reminders/reminder.html", page)
