"""The rules, one a file. A rule is found by being in this folder: nothing else lists it."""

from importlib import import_module
from pkgutil import iter_modules

from rhythms.engine.rules.base import PURPOSES, REGISTRY, Rule

for _module in iter_modules(__path__):
    import_module(f"{__name__}.{_module.name}")

__all__ = ["PURPOSES", "REGISTRY", "Rule"]
