"""The fonts of a file: every face once, with the glyphs that any of its pages uses.

Enters: what each page uses, and the fonts that drew pages just now. Leaves: objects in a PDF of
pydyf's. What is left of a font's file is kept by the file and the glyphs, which keep their numbers.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from engrave.booklet.folio import Face
from engrave.booklet.plates import digest_of
from engrave.machine.cache import Cache, key_of


class LostFaceError(Exception):
    """A page uses a face that cannot be found again."""


class Faces:
    """``fonts`` are WeasyPrint's (70.0) by their names in PDFs; those of ``config`` are found.

    ``surroundings``: what cuts them, as a key of ``cache``.
    """

    def __init__(
        self, fonts: Mapping[str, Any], config: Callable[[], Any], surroundings: str, cache: Cache
    ) -> None:
        self._fonts, self._config = fonts, config
        self._surroundings, self._cache = surroundings, cache

    def add(self, pdf: Any, faces: Iterable[Face]) -> Any:
        """The dictionary of fonts, its objects added to ``pdf``.

        Raises ``LostFaceError``.
        """
        from weasyprint.pdf.fonts import build_fonts_dictionary

        merged: dict[str, Any] = {}
        for face in faces:
            if face.hash not in merged:
                merged[face.hash] = _Merged(face)
            merged[face.hash].add(face)
        for name, each in merged.items():
            if each.face.is_bitmap:
                merged[name] = font = self._font(each)
                font.widths, font.to_unicode = each.widths, each.to_unicode
            else:
                each.file_content = self._subset(each)
        options = {"hinting": False, "pdf_version": "1.7"}
        return build_fonts_dictionary(pdf, merged, True, True, options)

    def _subset(self, merged: "_Merged") -> bytes:
        face, glyphs = merged.face, sorted(merged.to_unicode)
        key = key_of("face", self._surroundings, face.file, face.weight, face.style, glyphs)
        return self._cache.made(key, lambda: self._made(merged))

    def _made(self, merged: "_Merged") -> bytes:
        from weasyprint.text.fonts import get_hb_object_data

        font = self._font(merged)
        font.file_content = get_hb_object_data(font.hb_face)
        font.clean(dict(merged.to_unicode), False)
        return bytes(font.file_content)

    def _font(self, merged: "_Merged") -> Any:
        """The font of which no page has been drawn, by a text of its own."""
        face = merged.face
        if face.hash in self._fonts:
            return self._fonts[face.hash]
        found = found_font(face, "".join(merged.to_unicode.values()), self._config())
        if found is None:
            raise LostFaceError(face.family)
        return found


@dataclass
class _Merged:
    """A face with the glyphs of all pages, as WeasyPrint asks for a font."""

    face: Face
    widths: dict[int, int] = field(default_factory=dict)
    to_unicode: dict[int, str] = field(default_factory=dict)
    file_content: bytes = b""
    bitmap: bool = False
    used_in_forms: bool = False
    italic_angle: int = 0
    stemv: int = 80
    stemh: int = 80
    missing: tuple[()] = ()

    def add(self, face: Face) -> None:
        """What comes first stays."""
        for glyph, width in face.widths:
            self.widths.setdefault(glyph, width)
        for glyph, text in face.texts:
            self.to_unicode.setdefault(glyph, text)

    def clean(self, to_unicode: Mapping[int, str], hinting: bool) -> None:
        """It is clean."""

    @property
    def type(self) -> str:
        """By the first bytes of the file."""
        return "otf" if self.file_content[:4] == b"OTTO" else "ttf"

    def __getattr__(self, name: str) -> Any:
        if name in ("hash", "name", "family", "flags", "ascent", "descent"):
            return getattr(self.face, name)
        raise AttributeError(name)


def found_font(face: Face, text: str, config: Any) -> Any:
    """WeasyPrint's font that a text in ``face`` is drawn with; None where it is another file."""
    from weasyprint.css.properties import INITIAL_VALUES
    from weasyprint.draw.text import draw_first_line
    from weasyprint.matrix import Matrix
    from weasyprint.pdf.stream import Stream
    from weasyprint.svg.text import Style, TextBox
    from weasyprint.text.line_break import create_layout

    looks = Style(
        INITIAL_VALUES,
        font_family=[face.family],
        font_style={0: "normal", 1: "oblique", 2: "italic"}[face.style],
        font_weight=face.weight,
        font_size=16.0,
    )
    looks.font_config = config
    fonts: dict[Any, Any] = {}
    stream = Stream(fonts, (0, 0, 1, 1), {}, {}, None, {}, None)
    draw_first_line(
        stream, TextBox(create_layout(text, looks, None, None, 0), looks), "none", "none", Matrix()
    )
    return next((font for font in fonts.values() if is_same(font, face)), None)


def is_same(font: Any, face: Face) -> bool:
    """Whether ``face`` is of the file of ``font``."""
    return bool(font.hash == face.hash) and digest_of(font.file_content) == face.file
