"""Verovio's text: runs of words stay text, runs of its music font become glyphs.

Enters: a ``<text>`` element and the role it plays. Leaves: shapes. A music font in text would have
to be found again by whatever shows the picture, and prints as boxes where it is not.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from engrave.engraver.glyphs import EM, FONT, glyph, text_width
from engrave.engraver.shapes import Glyph, Shape, TextLine

_BOLD = frozenset({"tempo", "reh"})
_BLANK = 0.25
"""Width of a blank, in ems of the text beside it."""


@dataclass(slots=True)
class _Run:
    """Characters of one style."""

    text: str
    size: float
    music: bool
    italic: bool
    bold: bool

    @property
    def width(self) -> float:
        if self.music:
            return sum(glyph(code).advance for code in self.codes) * self.size / EM
        return text_width(self.text, self.size)

    @property
    def codes(self) -> list[str]:
        return [f"{ord(character):04X}" for character in self.text.strip()]


def read_text(element: Element, role: str) -> Iterator[Shape]:
    """The shapes of a text element, laid out from left to right."""
    runs = _joined(_runs(element, _Run("", 0, False, False, role in _BOLD)))
    x, y = float(element.get("x", "0")), float(element.get("y", "0"))
    if len(runs) == 1 and not runs[0].music:
        yield _words(runs[0], x, y, element.get("text-anchor", "start"))
        return
    if element.get("text-anchor") == "middle":
        x -= sum(run.width for run in runs) / 2
    for run in runs:
        if run.music:
            for code in run.codes:
                yield Glyph(code, x, y, run.size / EM)
                x += glyph(code).advance * run.size / EM
            continue
        blank = _BLANK * run.size
        x += blank * run.text.startswith(" ")
        yield _words(run, x, y, "start")
        x += text_width(run.text.strip(), run.size) + blank * run.text.endswith(" ")


def _words(run: _Run, x: float, y: float, anchor: str) -> TextLine:
    return TextLine(run.text.strip(), x, y, run.size, anchor, run.italic, run.bold)


def _runs(element: Element, style: _Run) -> Iterator[_Run]:
    size = float(element.get("font-size", "0px").removesuffix("px")) or style.size
    slant, weight = element.get("font-style"), element.get("font-weight")
    here = _Run(
        "",
        size,
        element.get("font-family") == FONT or style.music,
        slant == "italic" if slant else style.italic,
        weight == "bold" if weight else style.bold,
    )
    if element.text and (element.text.strip() or not len(element)):
        yield _Run(element.text.replace("\xa0", " "), size, here.music, here.italic, here.bold)
    for child in element:
        yield from _runs(child, here)


def _joined(runs: Iterator[_Run]) -> list[_Run]:
    """Neighbours of one style as one run; runs of blanks alone are the blank beside them."""
    joined: list[_Run] = []
    for run in runs:
        last = joined[-1] if joined else None
        same = last and (last.size, last.music, last.italic, last.bold) == (
            run.size, run.music, run.italic, run.bold,
        )  # fmt: skip
        if last and (same or not run.text.strip()):
            last.text += run.text
        elif run.text.strip():
            joined.append(run)
    return joined
