"""The grooves that a studio has written itself."""

from functools import cached_property
from typing import Any

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from rhythms.engine.bars.meter import LONGEST_METER
from rhythms.engine.playback.groove_pattern import GroovePattern
from rhythms.models.named import Named, one_name_each
from studio.models import Studio

_TEMPOS = [MinValueValidator(30), MaxValueValidator(240)]


class StudioGroove(Named):
    """A groove as it is typed: `lines` of one bar or two, and `setup`, each by its drum's name."""

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="grooves")
    meter = models.CharField(max_length=LONGEST_METER, default="4/4")
    style = models.CharField(max_length=20, blank=True)
    slowest = models.PositiveSmallIntegerField("slowest tempo", default=60, validators=_TEMPOS)
    fastest = models.PositiveSmallIntegerField("fastest tempo", default=160, validators=_TEMPOS)
    lines = models.JSONField(default=dict)
    setup = models.JSONField("set-up bar", default=dict, blank=True)
    #: As `rhythms.engine.bars.feel` keeps it; nothing for straight.
    feel = models.JSONField(default=dict, blank=True)

    class Meta:
        verbose_name = "groove"
        ordering = ["pk"]
        constraints = [one_name_each("one_name_each_groove")]

    def as_json(self) -> dict[str, Any]:
        """All that is kept of how it goes, as an assignment keeps it."""
        parts = ("name", "meter", "style", "slowest", "fastest", "lines", "setup", "feel")
        return {part: getattr(self, part) for part in parts}

    @cached_property
    def pattern(self) -> GroovePattern:
        """The groove as the engine knows it; whether it can be played is checked by its form."""
        return GroovePattern.from_json(self.as_json())
