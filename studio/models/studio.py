"""A studio and who teaches in it."""

from zoneinfo import ZoneInfo, available_timezones

from django.core.exceptions import ValidationError
from django.db import models


def check_timezone(name: str) -> None:
    """Raise ValidationError unless `name` is a zone of the time zone database."""
    if name not in available_timezones():
        raise ValidationError(
            "“%(name)s” is not a time zone. Choose one such as Europe/Berlin.",
            code="unknown-timezone",
            params={"name": name},
        )


class Studio(models.Model):
    name = models.CharField("studio name", max_length=80)
    timezone = models.CharField(
        "time zone", max_length=64, default="UTC", validators=[check_timezone]
    )

    def __str__(self) -> str:
        return self.name

    @property
    def zone(self) -> ZoneInfo:
        """The zone in which this studio's days begin and end."""
        return ZoneInfo(self.timezone)


class Membership(models.Model):
    """A teacher works in a studio."""

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="memberships")
    teacher = models.ForeignKey(
        "studio.Teacher", on_delete=models.CASCADE, related_name="memberships"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["studio", "teacher"], name="one_membership_each")
        ]

    def __str__(self) -> str:
        return f"{self.teacher} in {self.studio}"
