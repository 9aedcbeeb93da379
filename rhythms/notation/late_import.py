"""Libraries that most processes never need: imported where they are first used."""

from __future__ import annotations

from importlib import import_module
from types import ModuleType
from typing import Any


class LateImport(ModuleType):
    """Stands for a module that is imported when something of it is asked for.

    A web process starts without the engraver, the typesetter and the encoders, which take a third
    of its memory; one that is its own worker has each from its first use on.
    """

    def __getattr__(self, name: str) -> Any:
        return getattr(import_module(self.__name__), name)
