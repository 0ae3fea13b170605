"""Outlines and metrics of verovio's music font, and widths of text as verovio reckons them.

Enters: a code point of SMuFL as four hexadecimal digits. Leaves: its outline in the font's units.
"""

import re
from dataclasses import dataclass
from functools import cache
from xml.etree import ElementTree

from engrave.engraver.paths import Box, Contour, parse
from engrave.engraver.toolkit import font_folder

FONT = "Leipzig"
EM = 1000
"""Font units in an em; at 1 : 1 a staff would be this high."""

_TEXT_EM = 2048
_SERIF = 1.16
"""How much wider than verovio's bold Times our text face runs, at most, over a word."""


@dataclass(frozen=True, slots=True)
class Outline:
    """A glyph: outline and box with y downwards, and the advance to the next one, in font units."""

    path: Contour
    box: Box
    advance: float


@cache
def glyph(code: str) -> Outline:
    """The glyph at ``code``."""
    left, top, right, bottom, advance = _metrics()[code]
    root = ElementTree.parse(font_folder() / FONT / f"{code}.xml").getroot()
    data = root[0].get("d", "") if len(root) else ""
    upright = parse(data).mapped(lambda point: (point[0], -point[1]))
    return Outline(upright, Box(left, top, right, bottom), advance)


@cache
def _metrics() -> dict[str, tuple[float, float, float, float, float]]:
    text = (font_folder() / f"{FONT}.xml").read_text(encoding="utf-8")
    pattern = (
        r'<g c="(\w+)" x="([-.\d]+)" y="([-.\d]+)" w="([-.\d]+)" h="([-.\d]+)" h-a-x="([-.\d]+)"'
    )
    metrics = {}
    for code, *numbers in re.findall(pattern, text):
        x, y, width, height, advance = map(float, numbers)
        metrics[code] = (x, -y - height, x + width, -y, advance)
    return metrics


def text_width(text: str, size: float) -> float:
    """Width of a line of text of that ``size``, never less than it will be."""
    widths = _widths()
    return size * _SERIF * sum(widths.get(character, 0.6) for character in text)


@cache
def _widths() -> dict[str, float]:
    """Of verovio's characters in ems; some have no advance there, only a box."""
    root = ElementTree.parse(font_folder() / "text" / "Times-bold.xml").getroot()
    return {
        chr(int(g.get("c", "0"), 16)): float(g.get("h-a-x") or g.get("w") or 0) / _TEXT_EM
        for g in root.iter("g")
    }
