"""WeasyPrint, loaded without its detours.

It asks for each of its libraries under the names that every system has for it, and for a name that
is none here Python runs the linker's tools, a dozen times. On Linux one of the names is that of the
library's file, which needs no asking. And it loads two subsetters of fonts, to use one.
"""

import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from importlib import import_module
from importlib.util import LazyLoader, find_spec, module_from_spec


def load_weasyprint() -> None:
    """Import it; raises ``OSError`` where its libraries are not installed."""
    if "weasyprint" in sys.modules:
        return
    _put_off("fontTools", "subset")
    if sys.platform == "linux":
        with _unasked(), suppress(OSError):  # on a system with names of its own, ask after all
            import weasyprint
    import weasyprint  # noqa: F401


def _put_off(package: str, name: str) -> None:
    """Load the module when something of it is used, which may be never."""
    full = f"{package}.{name}"
    parent, spec = import_module(package), find_spec(full)
    if full in sys.modules or spec is None or spec.loader is None:
        return
    spec.loader = LazyLoader(spec.loader)
    module = module_from_spec(spec)
    sys.modules[full] = module
    setattr(parent, name, module)
    spec.loader.exec_module(module)


@contextmanager
def _unasked() -> Iterator[None]:
    import ctypes.util

    find_library = ctypes.util.find_library
    ctypes.util.find_library = lambda name: None
    try:
        yield
    finally:
        ctypes.util.find_library = find_library
