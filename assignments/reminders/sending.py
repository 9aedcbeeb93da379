"""Who is to be reminded now, and reminding each of them once."""

import logging
from datetime import date, datetime, timedelta

from django.db.models import Exists, OuterRef, Q, QuerySet
from django.urls import reverse
from django.utils import timezone

from assignments.models import PracticeEntry, Reminder
from assignments.reminders.push_device import PushDevice
from studio.models import SignInLink, Studio

logger = logging.getLogger(__name__)

#: Later than this it is not the time any more that was asked for.
LATEST = timedelta(hours=2)
WORDS = "Five minutes at the kit? Your fills are ready."


def due(now: datetime) -> list[Reminder]:
    """Return the reminders that are to go out now; a query for each time zone, and one more.

    Of students who have not played on their day, and were not reminded on it.
    """
    zones = Studio.objects.filter(students__reminder__isnull=False).distinct()
    names = zones.order_by("timezone").values_list("timezone", flat=True)
    return [
        reminder
        for name in names
        for reminder in _due_in(name, now.astimezone(Studio(timezone=name).zone))
    ]


def _due_in(zone: str, local: datetime) -> QuerySet[Reminder]:
    day = local.date()
    earliest = local - LATEST
    since = earliest.time() if earliest.date() == day else local.min.time()
    played = PracticeEntry.objects.kept().filter(student=OuterRef("student"), day=day)
    theirs = _standing().filter(
        student__studio__timezone=zone, days__contains=str(day.weekday()), at__gte=since
    )
    waiting = theirs.filter(_unsent(day), at__lte=local.time()).exclude(Exists(played))
    return waiting.select_related("student__studio")


def _unsent(day: date) -> Q:
    return Q(sent_on=None) | ~Q(sent_on=day)


def _standing() -> QuerySet[Reminder]:
    """Those whose student still comes in by the code that they came in by."""
    return Reminder.objects.filter(link__in=SignInLink.objects.working())


def forget_ended() -> None:
    """Forget reminders of students who left, and of sign-in codes that ended."""
    Reminder.objects.exclude(pk__in=_standing().values("pk")).delete()


def remind(pk: int) -> None:
    """Remind one student, unless that was done or is no longer wanted; may run twice."""
    from assignments.reminders.push_message import Delivery, deliver  # noqa: PLC0415 - the worker's

    reminder = next((one for one in due(timezone.now()) if one.pk == pk), None)
    if reminder is None or not _claim(reminder):
        return
    device = PushDevice(reminder.endpoint, reminder.p256dh, reminder.auth)
    message = {"title": "Fillwright", "body": WORDS, "open": reverse("assignments:today")}
    try:
        came_of_it = deliver(device, message)
    except Exception:
        logger.exception("Reminder %s was not sent", pk)
        return
    if came_of_it is Delivery.GONE:
        Reminder.objects.filter(pk=pk, endpoint_hash=reminder.endpoint_hash).delete()


def _claim(reminder: Reminder) -> bool:
    """Whether it is this process that sends the one of today."""
    day = timezone.localdate(timezone=reminder.student.studio.zone)
    mine = Reminder.objects.filter(
        _unsent(day), pk=reminder.pk, endpoint_hash=reminder.endpoint_hash
    )
    return mine.update(sent_on=day) == 1
