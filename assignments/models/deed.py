"""What somebody did to something at some moment."""

from django.db import models
from django.utils import timezone

from studio.models import Teacher


class Deed(models.Model):
    """Done by a teacher, or by the student whose thing it is where `teacher` is None."""

    at = models.DateTimeField(default=timezone.now, editable=False)
    teacher = models.ForeignKey(
        Teacher, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        abstract = True

    @property
    def who(self) -> str:
        """`teacher` or `student`: nobody's name is needed to know who it was."""
        return "teacher" if self.teacher_id else "student"
