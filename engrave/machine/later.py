"""Modules that a library imports and hardly ever uses, loaded when something of them is used.

Enters: names of modules. Leaves: nothing; whoever imports one of them meanwhile gets a stand-in
that knows the module's functions by name alone. Knows no library.
"""

import sys
from collections.abc import Callable, Iterator
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


class _Later(ModuleType):
    """Stands for a module."""

    def __getattr__(self, name: str) -> Callable[..., Any]:
        if name.startswith("__"):
            raise AttributeError(name)
        return lambda *given, **named: getattr(import_module(self.__name__), name)(*given, **named)
