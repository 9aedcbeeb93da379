"""Which forms of a student's device have arrived."""

from django.db import models

from studio.models import Student


class DeviceForm(models.Model):
    """A form that a device kept until it was sent, by the id that the device made for it.

    What is sent again because its answer was lost finds its id here, and changes nothing.
    """

    id = models.UUIDField(primary_key=True, editable=False)
    student = models.ForeignKey(Student, on_delete=models.CASCADE, related_name="device_forms")
    at = models.DateTimeField(auto_now_add=True, db_index=True)

    STUDIO_PATH = "student__studio"

    def __str__(self) -> str:
        return f"A form sent on {self.at:%-d %B}"
