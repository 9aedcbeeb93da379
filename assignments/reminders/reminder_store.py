"""Keeping a student's reminder, and taking it away with what it hangs on."""

from typing import Any

from django.db import transaction
from django.http import HttpRequest

from assignments.models import Reminder
from assignments.reminders.push_device import PushDevice
from studio.models import Student
from studio.student_session import LINK_KEY

#: In a session: which device's reminder was asked for in it.
DEVICE_KEY = "reminded_here"


@transaction.atomic
def keep_reminder(request: HttpRequest, student: Student, cleaned: dict[str, Any]) -> Reminder:
    """Remind this student on this device from now on, and nobody else on it."""
    device: PushDevice = cleaned["device"]
    Reminder.objects.filter(endpoint_hash=device.endpoint_hash).exclude(student=student).delete()
    reminder, _ = Reminder.objects.update_or_create(
        student=student,
        defaults={
            **device._asdict(),
            "endpoint_hash": device.endpoint_hash,
            "link_id": request.session[LINK_KEY],
            "days": "".join(str(day) for day in sorted(cleaned["days"])),
            "at": cleaned["at"],
        },
    )
    request.session[DEVICE_KEY] = device.endpoint_hash
    return reminder


def reminder_of(student: Student) -> Reminder | None:
    """Return the student's reminder, if there is one."""
    return Reminder.objects.filter(student=student).first()


def is_here(request: HttpRequest, reminder: Reminder | None) -> bool:
    """Whether it is this session's device that shows it."""
    return reminder is not None and request.session.get(DEVICE_KEY) == reminder.endpoint_hash


def forget_of_session(request: HttpRequest | None, **_: object) -> None:
    """Whoever signs out on a device is not reminded on it any more."""
    here = request.session.get(DEVICE_KEY) if request and hasattr(request, "session") else None
    if here:
        Reminder.objects.filter(endpoint_hash=here).delete()
