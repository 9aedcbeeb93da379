"""What was worked out about single fills of a student, so that it is worked out once."""

from django.db import models

from studio.models import Student


class FillFigures(models.Model):
    """Figures on the fills that one student played, by a hash of the fill.

    `figures` is JSON, compressed: `assignments.comfort.figure_store` reads and writes it.
    """

    student = models.OneToOneField(
        Student, on_delete=models.CASCADE, primary_key=True, related_name="fill_figures"
    )
    #: Of how they are worked out: those of another are none.
    version = models.CharField(max_length=20)
    figures = models.BinaryField()

    class Meta:
        verbose_name = "figures on fills"
        verbose_name_plural = "figures on fills"

    def __str__(self) -> str:
        return f"figures on the fills of {self.student}"
