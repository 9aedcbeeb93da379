"""How fills sound and are stuck in one studio: its default sticking, and its teachers' playing."""

from django.db import models

from studio.models import Studio, Teacher
from studio.removal import Removable


class Stickings(models.TextChoices):
    """How hands that no rule fixes are printed; names of the engine's StickingStyle."""

    AS_TAUGHT = "as taught", "As taught: hand to hand by the count"
    LEAD_ON_EIGHTHS = "lead on every eighth", "As taught, the leading hand on every eighth"
    LEAST_EFFORT = "least effort", "Least effort: the easiest way round"
    NONE_PRINTED = "none printed", "None printed"


class StudioStyle(models.Model):
    """What holds for all fills of a studio; one that never chose has the defaults."""

    studio = models.OneToOneField(
        Studio, on_delete=models.CASCADE, primary_key=True, related_name="style"
    )
    sticking = models.CharField(
        "hands where no rule says",
        max_length=20,
        choices=Stickings.choices,
        default=Stickings.AS_TAUGHT,
        help_text="Where an assignment starts; it can be chosen for each one.",
    )
    own_playing = models.BooleanField("mix in what you play", default=True)

    def __str__(self) -> str:
        return f"Style of {self.studio}"


class TeacherTake(Removable):
    """What a teacher played, as fills; those drawn in the studio come to sound like it.

    `key` is a hash of the file, so that one sent twice counts once.
    """

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="teacher_takes")
    teacher = models.ForeignKey(Teacher, on_delete=models.SET_NULL, null=True, related_name="takes")
    name = models.CharField(max_length=100)
    key = models.CharField(max_length=64, editable=False)
    #: `Fill.to_json()` of each, in order.
    fills = models.JSONField(default=list)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        verbose_name = "take"
        ordering = ["-created_at", "-pk"]
        constraints = [models.UniqueConstraint(fields=["studio", "key"], name="one_take_a_file")]

    def __str__(self) -> str:
        return self.name
