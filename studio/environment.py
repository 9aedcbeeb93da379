"""Typed settings from environment variables, with errors a person can act on."""

import os
from collections.abc import Callable
from typing import TypeVar

from django.core.exceptions import ImproperlyConfigured
from environs import Env, EnvValidationError

T = TypeVar("T")

env = Env()


def read(parse: Callable[..., T], name: str, default: T, *, secret: bool = False) -> T:
    """Return the variable `name` as `parse` (a method of `env`) reads it, or `default`.

    Raises ImproperlyConfigured naming the variable, what it holds (unless `secret`) and
    what was expected.
    """
    try:
        return parse(name, default)
    except EnvValidationError as error:
        held = "(value not shown)" if secret else repr(os.environ.get(name))
        reasons = " ".join(str(reason) for reason in error.error_messages)
        raise ImproperlyConfigured(f"Environment variable {name}={held}: {reasons}") from error
