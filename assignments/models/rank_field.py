"""A database field for the numbers of fills, which outgrow every integer column."""

from typing import Any

from django.core.exceptions import FieldError, ValidationError
from django.db import models


class RankField(models.Field):
    """A whole number from 0 up, of any size, kept as its decimal digits.

    Its digits are text to the database, so it can be looked up by value but not ordered or
    compared there: such lookups raise FieldError instead of answering wrongly.
    """

    description = "Whole number from 0 up, of any size"
    default_error_messages = {
        "not-a-rank": "“%(value)s” is not a whole number from 0 up.",
    }
    _LOOKUPS = ("exact", "in", "isnull")

    def get_internal_type(self) -> str:
        return "TextField"

    def to_python(self, value: Any) -> int | None:
        """Return the number; raises ValidationError for anything else than one from 0 up."""
        if value is None:
            return None
        whole = isinstance(value, int) and not isinstance(value, bool)
        digits = isinstance(value, str) and value.isascii() and value.isdigit()
        if not (whole and value >= 0) and not digits:
            raise ValidationError(
                self.error_messages["not-a-rank"], code="not-a-rank", params={"value": value}
            )
        return int(value)

    def from_db_value(self, value: str | None, *_: object) -> int | None:
        return None if value is None else int(value)

    def get_prep_value(self, value: Any) -> str | None:
        number = self.to_python(super().get_prep_value(value))
        return None if number is None else str(number)

    def value_to_string(self, obj: models.Model) -> str:
        return self.get_prep_value(self.value_from_object(obj)) or ""

    def get_lookup(self, lookup_name: str) -> Any:
        if lookup_name not in self._LOOKUPS:
            raise FieldError(
                f"A RankField can be looked up by {', '.join(self._LOOKUPS)}, not {lookup_name}."
            )
        return super().get_lookup(lookup_name)
