"""What the engine says, where a form, a model or the API shows it."""

from typing import Any

from django.core.exceptions import ValidationError

from rhythms.engine import EngineError

#: What an error may say about its place, besides its message.
_PLACES = ("column", "rule", "field")


def as_validation_error(error: EngineError) -> ValidationError:
    """The engine's error for a form or a model, with its code; its place is in `params`."""
    # Django fills `params` into the message, which may hold a "%" that somebody typed.
    message = error.message.replace("%", "%%")
    return ValidationError(message, code=error.code, params=place_of(error))


def place_of(error: EngineError) -> dict[str, Any]:
    """Where the error is, as far as it says: 0-based `column` or `rule`, name of the `field`."""
    places = {name: getattr(error, name, None) for name in _PLACES}
    return {name: value for name, value in places.items() if value is not None}


def as_coded(error: EngineError) -> dict[str, Any]:
    """The engine's error for the API: `code`, `message` and its place."""
    return {"code": error.code, "message": error.message, **place_of(error)}
