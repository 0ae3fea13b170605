"""WeasyPrint, loaded without its detours (70.0).

It asks for each of its libraries under the names that every system has for it, and for a name that
is none here Python runs the linker's tools, a dozen times. On Linux one of the names is that of the
library's file, which needs no asking. And it loads a second subsetter of fonts, and a cutter of
variable fonts, in case there is a font that needs them.
"""

import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from engrave.booklet.declarations import kept_declarations
from engrave.machine.later import put_off

_SELDOM_USED = ("fontTools.subset", "fontTools.varLib.instancer")


def load_weasyprint() -> None:
    """Import it; raises ``OSError`` where its libraries are not installed."""
    if "weasyprint" in sys.modules:
        return
    with put_off(*_SELDOM_USED), kept_declarations():
        if sys.platform == "linux":
            with _unasked(), suppress(OSError):  # on a system with names of its own, ask after all
                import weasyprint
        import weasyprint  # noqa: F401


@contextmanager
def _unasked() -> Iterator[None]:
    import ctypes.util

    find_library = ctypes.util.find_library
    ctypes.util.find_library = lambda name: None
    try:
        yield
    finally:
        ctypes.util.find_library = find_library
