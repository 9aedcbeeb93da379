"""The kits that a studio's students play."""

from django.core.exceptions import ValidationError
from django.db import models

from studio.models.studio import Studio
from studio.removal import Removable
from studio.surface_names import STICK_SURFACES, SURFACES, standard_surfaces


def check_surfaces(names: object) -> None:
    """Raise ValidationError unless `names` lists known surfaces, each once, one for sticks."""
    if not isinstance(names, list):
        raise ValidationError("Give the surfaces as a list of names.", code="not-a-list")
    for name in names:
        if name not in SURFACES:
            raise ValidationError(
                "“%(name)s” is not a surface. Choose from: %(known)s.",
                code="unknown-surface",
                params={"name": name, "known": ", ".join(SURFACES)},
            )
    if len(set(names)) < len(names):
        raise ValidationError("Name each surface once.", code="surface-twice")
    if not set(names) & set(STICK_SURFACES):
        raise ValidationError(
            "Choose at least one surface to play with a stick.", code="no-stick-surface"
        )


class Kit(Removable):
    """The surfaces that one or more students own; where they stand follows from handedness."""

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="kits")
    name = models.CharField(max_length=60)
    surfaces = models.JSONField(default=standard_surfaces, validators=[check_surfaces])

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def removal_refusal(self) -> str:
        names = list(self.students.kept().values_list("nickname", flat=True))
        if not names:
            return ""
        verb = "plays" if len(names) == 1 else "play"
        return f"{_listed(names)} still {verb} it. Give them another kit first."


def _listed(names: list[str]) -> str:
    if len(names) > 4:
        names = [*names[:3], f"{len(names) - 3} others"]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
