"""Modules that are hardly ever used, loaded when something of them is: a library's, and our own.

Enters: names of modules. Leaves: stand-ins that know a module's functions by name alone. Knows no
library.
"""

import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from importlib import import_module
from importlib.util import find_spec, module_from_spec
from types import ModuleType
from typing import Any

_BARE = "__engrave_bare__"


@contextmanager
def put_off(*names: str) -> Iterator[None]:
    """Modules of these ``names`` that are imported meanwhile load when something of them is called.

    For modules of which their users take functions and classes, and only call them, or modules.
    """
    absent = [name for name in names if name not in sys.modules]
    sys.modules.update({name: _Later(name) for name in absent})
    try:
        yield
    finally:
        for name in absent:
            if isinstance(sys.modules.get(name), _Later):
                del sys.modules[name]


def begin_bare(*packages: str) -> None:
    """Load ``packages`` without what they load themselves: their modules come as they are imported.

    For packages that import all their modules, to be at hand. One that is loaded stays as it is.
    """
    for name in packages:
        spec = None if name in sys.modules else find_spec(name)
        if spec is None:
            continue
        package = sys.modules[name] = module_from_spec(spec)
        vars(package)[_BARE] = True
        above, _, own = name.rpartition(".")
        if above:
            setattr(sys.modules[above], own, package)


def complete(*packages: str) -> None:
    """Have bare ``packages`` load what they load themselves."""
    for name in packages:
        package = sys.modules.get(name)
        if package and package.__spec__ and vars(package).pop(_BARE, False):
            assert package.__spec__.loader
            package.__spec__.loader.exec_module(package)


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
    """Stands for a module, and is it once what it stands for may load."""

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        if sys.modules.get(self.__name__) is self:
            return _Member(self.__name__, name)
        return getattr(import_module(self.__name__), name)


class _Member:
    """Stands for what a module holds."""

    def __init__(self, module: str, name: str) -> None:
        self._module, self._name = module, name

    def __call__(self, *given: Any, **named: Any) -> Any:
        return self._found()(*given, **named)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._found(), name)

    def _found(self) -> Any:
        return getattr(import_module(self._module), self._name)
