"""The grooves that a student works with."""

from django.db import models
from django.db.models import Q

from rhythms.models import StudioGroove
from studio.models import Student


class StudentGroove(models.Model):
    """One of them: by `name` where it comes with the program, else the studio's own `groove`."""

    student = models.ForeignKey(Student, on_delete=models.CASCADE, related_name="grooves")
    name = models.CharField(max_length=80, blank=True)
    groove = models.ForeignKey(
        StudioGroove, on_delete=models.CASCADE, null=True, blank=True, related_name="students"
    )

    class Meta:
        verbose_name = "groove of a student"
        verbose_name_plural = "grooves of a student"
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["student", "name"], condition=Q(groove=None), name="groove_by_name_once"
            ),
            models.UniqueConstraint(
                fields=["student", "groove"], condition=~Q(groove=None), name="own_groove_once"
            ),
            models.CheckConstraint(
                condition=Q(groove=None) ^ Q(name=""), name="groove_by_name_or_own"
            ),
        ]

    def __str__(self) -> str:
        return self.name or str(self.groove)
