"""Modules that are hardly ever used, loaded when something of them is: a library's, and our own.

Enters: names of modules. Leaves: stand-ins that know a module's functions by name alone. Knows no
library.
"""

import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from importlib import import_module
from types import ModuleType
from typing import Any


@contextmanager
def put_off(*names: str) -> Iterator[None]:
    """Modules of these ``names`` that are imported meanwhile load when something of them is called.

    For modules of which their users take functions and classes, and only call them.
    """
    absent = [name for name in names if name not in sys.modules]
    sys.modules.update({name: _Later(name) for name in absent})
    try:
        yield
    finally:
        for name in absent:
            if isinstance(sys.modules.get(name), _Later):
                del sys.modules[name]


def from_homes(package: str, homes: Mapping[str, str]) -> Callable[[str], object]:
    """A package's ``__getattr__``: names that stand in its modules, loaded when they are asked for.

    ``homes`` are the modules, below the package, by the names that the package gives out.
    """

    def find(name: str) -> object:
        if name not in homes:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        return getattr(import_module(f"{package}.{homes[name]}"), name)

    return find


class _Later(ModuleType):
    """Stands for a module."""

    def __getattr__(self, name: str) -> Callable[..., Any]:
        if name.startswith("__"):
            raise AttributeError(name)
        return lambda *given, **named: getattr(import_module(self.__name__), name)(*given, **named)
