"""The one reminder a day that a student asked for, and the device that shows it."""

from django.db import models

from studio.models import SignInLink, Student


class Reminder(models.Model):
    """When a student is reminded, by the clock of their studio, on the device that asked for it.

    `endpoint` is where the browser's push service takes messages for that device; `p256dh` and
    `auth` encrypt them (RFC 8291). It ends with the sign-in code by which the device came in.
    """

    student = models.OneToOneField(Student, on_delete=models.CASCADE, related_name="reminder")
    link = models.ForeignKey(SignInLink, on_delete=models.CASCADE, related_name="+")
    #: Numbers of the days as `datetime.date.weekday()` has them, such as "01234".
    days = models.CharField(max_length=7)
    at = models.TimeField("time")
    endpoint = models.TextField()
    #: A device reminds one student.
    endpoint_hash = models.CharField(max_length=64, unique=True, editable=False)
    p256dh = models.CharField(max_length=100)
    auth = models.CharField(max_length=40)
    #: The student's day on which the last one went out.
    sent_on = models.DateField(null=True, blank=True, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)

    STUDIO_PATH = "student__studio"

    def __str__(self) -> str:
        return f"Reminder at {self.at:%H:%M}"
