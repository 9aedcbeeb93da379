"""Names of a package that are imported when they are first asked for (PEP 562)."""

from collections.abc import Callable, Mapping
from importlib import import_module
from typing import Any


def late_names(package: str, names: Mapping[str, str]) -> Callable[[str], Any]:
    """The ``__getattr__`` of a package, by each module in it with its names, a blank between.

    A process that reads one file waits for what it uses, not for all that the package offers.
    """
    module_of = {name: module for module, own in names.items() for name in own.split()}

    def found(name: str) -> Any:
        if name not in module_of:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        return getattr(import_module(f"{package}.{module_of[name]}"), name)

    return found
