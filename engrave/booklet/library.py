"""WeasyPrint, loaded without its detours (70.0).

It asks for each of its libraries under the names that every system has for it, and for a name that
is none here Python runs the linker's tools, a dozen times. On Linux one of the names is that of the
library's file, which needs no asking. And it loads a second subsetter of fonts, and a cutter of
variable fonts, in case there is a font that needs them.
"""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from hashlib import blake2b
from typing import Any

from engrave.booklet.declarations import kept_declarations
from engrave.errors import EngraveError
from engrave.machine.later import put_off

_SELDOM_USED = ("fontTools.subset", "fontTools.varLib.instancer")


def load_weasyprint() -> None:
    """Import it; raises ``EngraveError`` where its libraries are not installed."""
    if "weasyprint" in sys.modules:
        return
    with put_off(*_SELDOM_USED), kept_declarations():
        if sys.platform == "linux":
            with _unasked(), suppress(OSError):  # on a system with names of its own, ask after all
                import weasyprint
        try:
            import weasyprint  # noqa: F401
        except OSError as error:
            raise EngraveError(
                f"pages cannot be printed here: {' '.join(str(error).split())[:120]}",
                hint="install Pango, which lays out their text",
            ) from None


@contextmanager
def _unasked() -> Iterator[None]:
    import ctypes.util

    find_library = ctypes.util.find_library
    ctypes.util.find_library = lambda name: None
    try:
        yield
    finally:
        ctypes.util.find_library = find_library


def surroundings(config: Any) -> str:
    """What of this machine pages depend on: the libraries that set text, the fonts, their rules.

    ``config`` is WeasyPrint's ``FontConfiguration``.
    """
    from weasyprint.text.ffi import ffi, fontconfig, harfbuzz, pango

    version: list[int] = []
    for _ in range(3):
        step = 0
        while harfbuzz.hb_version_atleast(*[*version, step + 1, 0, 0][:3]):
            step += 1
        version.append(step)
    digest = blake2b(f"{pango.pango_version()} {version}".encode(), digest_size=20)
    fonts, name = fontconfig.FcConfigGetFonts(config._config, 0), ffi.new("FcChar8 **")
    files = set()
    for index in range(fonts.nfont):
        fontconfig.FcPatternGetString(fonts.fonts[index], b"file", 0, name)
        files.add(ffi.string(name[0]))
    rules = fontconfig.FcConfigGetConfigFiles(config._config)
    while (rule := fontconfig.FcStrListNext(rules)) != ffi.NULL:
        files.add(ffi.string(rule))
    for file in sorted(files):
        with suppress(OSError):
            status = os.stat(file)
            digest.update(file + f" {status.st_mtime_ns} {status.st_size}".encode())
    return digest.hexdigest()
