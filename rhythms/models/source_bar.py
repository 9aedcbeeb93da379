"""The bars of a studio's library."""

from functools import cached_property

from django.core.exceptions import ValidationError
from django.db import models

from rhythms.engine import Bar, EngineError
from rhythms.engine.bars.meter import LONGEST_METER
from rhythms.engine.errors import MeterError
from rhythms.error_adapters import as_validation_error
from rhythms.models.named import Named, one_name_each
from studio.models import Studio


def read_bar(counts: str, meter: str) -> Bar:
    """The bar of a count line; raises EngineError, or ValidationError where nothing sounds.

    A bar of rests is a bar, but there is nothing in it to make a fill of.
    """
    bar = Bar.from_counts(counts, meter)
    if not bar.sounded:
        raise ValidationError(
            "Nothing sounds in this bar. Let at least one count sound: 1 instead of (1).",
            code="nothing-sounds",
        )
    return bar


class SourceBar(Named):
    """One bar as it is counted; `counts` is kept as the engine prints it."""

    studio = models.ForeignKey(Studio, on_delete=models.CASCADE, related_name="bars")
    meter = models.CharField(max_length=LONGEST_METER, default="4/4")
    counts = models.CharField("count line", max_length=400)
    reference = models.CharField(max_length=120, blank=True)

    class Meta:
        verbose_name = "bar"
        ordering = ["pk"]
        constraints = [one_name_each("one_name_each_bar")]

    @cached_property
    def bar(self) -> Bar:
        """The bar as the engine knows it."""
        return Bar.from_counts(self.counts, self.meter)

    def clean(self) -> None:
        """Put the count line in its printed form; raises ValidationError on `counts` or `meter`."""
        super().clean()
        try:
            self.counts = read_bar(self.counts, self.meter).counts()
        except MeterError as error:
            raise ValidationError({"meter": as_validation_error(error)}) from error
        except EngineError as error:
            raise ValidationError({"counts": as_validation_error(error)}) from error
        except ValidationError as error:
            raise ValidationError({"counts": error}) from error
        self.__dict__.pop("bar", None)
