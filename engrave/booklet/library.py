"""WeasyPrint, loaded without its detours (70.0).

It asks for each of its libraries under the names that every system has for it, and for a name that
is none here Python runs the linker's tools, a dozen times. On Linux one of the names is that of the
library's file, which needs no asking. It loads what reads pictures of dots, fonts in need of
mending, and HTML in need of it, which our pages hold none of. And it reads a style sheet for all
that HTML may hold.
"""

import os
import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from hashlib import blake2b
from pathlib import Path
from typing import Any

from engrave.booklet.declarations import kept_declarations
from engrave.errors import EngraveError
from engrave.machine.later import put_off

_SELDOM_USED = (
    *("PIL.EpsImagePlugin", "PIL.Image", "PIL.ImageCms", "PIL.ImageFile", "PIL.ImageOps"),
    *("fontTools.subset", "fontTools.ttLib", "fontTools.varLib.instancer", "tinyhtml5"),
)
_UNUSED_SHEETS = ("html5_ph.css", "html5_ua_form.css")
"""For attributes that set looks, and for forms that a PDF is to have."""
_UNUSED = re.compile(
    r"@counter-style (?!(?:circle|decimal|disc|square) )[\w-]+ ?\{[^}]*\}"
    r"|/\* Form fields \*/.*?(?=/\* Pages \*/)"
    r"|^::(?:foot)?note-\w+ \{[^}]*\}|^[^{}\n]*\[dir[^{}\n]*\{[^}]*\}",
    re.MULTILINE | re.DOTALL,
)
"""Numbers in other scripts, forms, notes at the foot and the end, writing from right to left."""
_MARKERS = re.compile("^::marker ", re.MULTILINE)


def load_weasyprint() -> None:
    """Import it; raises ``EngraveError`` where its libraries are not installed."""
    if "weasyprint" in sys.modules:
        return
    with put_off(*_SELDOM_USED), kept_declarations(), _shorter_sheets():
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


def shortened(name: str, css: str) -> str:
    """What of a style sheet of WeasyPrint's own our pages can have a use for.

    Every element has the styles of all its pseudo-elements worked out.
    """
    return "" if name in _UNUSED_SHEETS else _MARKERS.sub("li::marker ", _UNUSED.sub("", css))


@contextmanager
def _shorter_sheets() -> Iterator[None]:
    """WeasyPrint's own style sheets are ``shortened`` as they are read."""
    import importlib.resources

    files = importlib.resources.files

    class Folder(type(Path())):  # type: ignore[misc]
        def read_text(self, *given: Any, **named: Any) -> str:
            return shortened(self.name, super().read_text(*given, **named))

    def ours(package: Any) -> Any:
        found = files(package)
        return Folder(found) if getattr(package, "__name__", "") == "weasyprint.css" else found

    importlib.resources.files = ours
    try:
        yield
    finally:
        importlib.resources.files = files


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
