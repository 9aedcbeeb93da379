"""Reading the parts that rules share from their JSON form."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rhythms.engine.errors import RuleError, one_of


def read_choice(
    data: dict[str, Any], field: str, choices: Sequence[str], default: str | None = None
) -> str:
    """One of ``choices``; ``default`` where the key is missing. Raises RuleError."""
    value = data.get(field, default)
    if value not in choices:
        problem = "is missing" if value is None else f"cannot be “{value}”"
        raise RuleError(f"“{field}” {problem}: choose {one_of(tuple(choices))}.", field=field)
    return str(value)


def read_number(
    data: dict[str, Any], field: str, least: int, most: int, default: int | None = None
) -> int:
    """A whole number from ``least`` to ``most``. Raises RuleError."""
    value = data.get(field, default)
    if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
        problem = "is missing" if value is None else f"cannot be “{value}”"
        raise RuleError(
            f"“{field}” {problem}: give a whole number from {least} to {most}.", field=field
        )
    return value


def read_text(data: dict[str, Any], field: str, default: str = "") -> str:
    """A text, without spaces around it; ``default`` where the key is missing. Raises RuleError."""
    value = data.get(field, default)
    if not isinstance(value, str):
        raise RuleError(f"“{field}” needs a text.", field=field)
    return value.strip()


def read_names(value: Any, field: str, known: Sequence[str]) -> tuple[str, ...]:
    """A list of names out of ``known``, without repeats. Raises RuleError."""
    if not isinstance(value, list) or not value:
        raise RuleError(f"“{field}” needs a list with at least one name.", field=field)
    for name in value:
        if name not in known:
            raise RuleError(
                f"“{name}” is not known here: choose from {', '.join(known)}.", field=field
            )
    return tuple(dict.fromkeys(value))
