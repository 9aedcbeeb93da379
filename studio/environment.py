"""Typed settings from environment variables, and the secret key made where none is given."""

import contextlib
import os
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from django.core.exceptions import ImproperlyConfigured
from django.core.management.utils import get_random_secret_key
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


def secret_key(given: str, *, debug: bool, kept_in: Path) -> str:
    """Return the key `given`, or while debugging one made once and kept in a file.

    Raises ImproperlyConfigured where none is given and DEBUG is off: a key that every
    process makes up for itself would sign people out at random.
    """
    if given:
        return given
    if not debug:
        raise ImproperlyConfigured("Set SECRET_KEY: it is required when DEBUG is off.")
    if not kept_in.exists():
        _keep(get_random_secret_key(), kept_in)
    return kept_in.read_text()


def _keep(key: str, path: Path) -> None:
    """Write the key so that two processes starting at once end up with the same one."""
    draft = path.with_name(f"{path.name}.{os.getpid()}")
    draft.touch(mode=0o600)
    draft.write_text(key)
    with contextlib.suppress(FileExistsError):
        path.hardlink_to(draft)
    draft.unlink()
