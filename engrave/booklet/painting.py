"""An SVG of few words drawn into a PDF, operator by operator.

Enters: the SVG's elements, a stream of WeasyPrint's. Leaves: nothing; the picture is in the stream.
Knows what our own pictures hold: paths, circles, ellipses and single lines of text in hexadecimal
colours, in groups that may be moved. Path data becomes PDF operators directly; an outline that
comes again and again, as note heads do, is drawn once and called up (a form XObject, ISO 32000-1,
8.10); a text is laid out once, wherever it comes back.
"""

import re
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple
from xml.etree.ElementTree import Element

from engrave.booklet.operators import operators

_Style = Mapping[str, str]

SVG = "{http://www.w3.org/2000/svg}"
_FONT = {"font-family", "font-size", "font-style", "font-weight"}
_PEN = {"stroke-width", "stroke-linecap", "stroke-linejoin", "stroke-dasharray"}
_STYLE = {"fill", "stroke", "text-anchor", *_FONT, *_PEN}
"""What children have from their parents."""
_OWN = {
    "svg": {"width", "height", "viewBox"},
    "g": {"transform"},
    "path": {"d"},
    "circle": {"cx", "cy", "r"},
    "ellipse": {"cx", "cy", "rx", "ry", "transform"},
    "text": {"x", "y"},
    "title": set[str](),
}
_COLOUR, _NUMBER = "#(?:[0-9a-fA-F]{3}){1,2}|none", r"-?(?:\d+\.?\d*|\.\d+)"
_VALUES = {
    "d": r"[^AaQqSsTte]*",
    "fill": _COLOUR,
    "stroke": _COLOUR,
    "stroke-linecap": "butt|round|square",
    "stroke-linejoin": "miter|round|bevel",
    "text-anchor": "start|middle|end",
    "font-weight": r"normal|bold|\d+",
    **dict.fromkeys(("cx", "cy", "r", "rx", "ry", "stroke-width", "font-size"), _NUMBER),
    **dict.fromkeys(("x", "y", "stroke-dasharray", "viewBox"), f"{_NUMBER}(?: {_NUMBER})*"),
}
"""What attributes may say, where more can be said than is known here."""
_OUTLINE = re.compile(r"M(-?[\d.]+) (-?[\d.]+)((?:[a-z][^A-Z]*)?)")
_OUTLINES = re.compile(f"(?:{_OUTLINE.pattern})*")
"""Outlines that are the same wherever they begin."""
_SPACE = re.compile(r"[ \t\r\n]+")
_CAPS = {"butt": 0, "round": 1, "square": 2}
_JOINS = {"miter": 0, "round": 1, "bevel": 2}
_SHIFT = {"start": 0.0, "middle": 0.5, "end": 1.0}
_PAINT = {(True, True): "B", (True, False): "f", (False, True): "S", (False, False): "n"}
_AS_SVG_BEGINS = "0 0 0 rg\n0 0 0 RG\n1 w\n0 J\n0 j\n4 M\n[] 0 d"
_FONT_SIZE = "16"
"""CSS pixels, where nothing is said."""
_LONG = 60
"""Characters of an outline from which on it is worth being drawn once."""
_MANY = 400
"""Texts that are held: most are fingers, of which there are five; each measure has its number."""
_CURVE = 0.5522847498
"""Of a radius, how far the handles of a quarter of a circle reach."""


class Kept(NamedTuple):
    """What pictures share: forms by their outline, texts by what they look like, whole pictures.

    ``looks`` are WeasyPrint's styles of texts, by what an SVG says of their font.
    """

    forms: dict[str, str]
    texts: dict[tuple[str, ...], tuple[Any, float]]
    pictures: dict[tuple[str, float, float], str]
    looks: dict[tuple[str, ...], Any]

    def next_page(self) -> None:
        """Forget what can be called up on a page alone, and texts if there are many."""
        self.forms.clear()
        self.pictures.clear()
        if len(self.texts) > _MANY:
            self.texts.clear()


def is_ours(root: Element) -> bool:
    """Whether all of the picture can be drawn here."""
    return root.get("viewBox") is not None and all(map(_is_known, root.iter()))


def _is_known(element: Element) -> bool:
    own = _OWN.get(element.tag.removeprefix(SVG))
    return (
        own is not None
        and element.attrib.keys() <= own | _STYLE
        and all(re.fullmatch(_VALUES.get(name, ".*"), value) for name, value in element.items())
    )


def paint(
    root: Element, stream: Any, size: tuple[float, float], fonts: Any, kept: Kept, once: bool
) -> None:
    """Draw the picture that ``is_ours`` at a ``size``.

    ``fonts`` is WeasyPrint's ``FontConfiguration``. ``once``: the stream is a page's, whose forms
    others can call up.
    """
    left, top, width, height = map(float, root.get("viewBox", "").split())
    scale = min(size[0] / width, size[1] / height)
    stream.push_state()
    stream.transform(
        a=scale,
        d=scale,
        e=(size[0] - width * scale) / 2 - left * scale,
        f=(size[1] - height * scale) / 2 - top * scale,
    )
    stream.stream.append(_AS_SVG_BEGINS)
    _Painter(stream, fonts, kept, once).children(root, {})
    stream.pop_state()


class _Painter:
    """The stream that a picture is drawn into."""

    def __init__(self, stream: Any, fonts: Any, kept: Kept, once: bool) -> None:
        self._stream, self._fonts, self._kept, self._once = stream, fonts, kept, once

    def children(self, parent: Element, inherited: _Style) -> None:
        """All elements of one, with what they have of it."""
        style = {**inherited, **parent.attrib}
        for child in parent:
            if moved := child.get("transform"):
                self._stream.push_state()
                self._stream.transform(*_matrix(moved))
            self._element(child, {**style, **child.attrib})
            if moved:
                self._stream.pop_state()

    def _element(self, element: Element, style: _Style) -> None:
        match element.tag.removeprefix(SVG):
            case "g":
                self.children(element, style)
            case "path":
                self._path(element.get("d", ""), style)
            case "circle":
                self._ellipse(style, style["r"], style["r"])
            case "ellipse":
                self._ellipse(style, style["rx"], style["ry"])
            case "text":
                self._text(element.text or "", style)

    def _path(self, data: str, style: _Style) -> None:
        is_filled = _paint(style) == "f"
        if self._once and is_filled and _OUTLINES.fullmatch(data):
            self._inked("\n".join(self._filled(data)), style)
        else:
            self._inked(f"{operators(data)}\n{_paint(style)}", style)

    def _filled(self, data: str) -> Iterator[str]:
        """Outlines filled one by one; they turn the same way, so that none cancels another."""
        short = []
        for x, y, rest in _OUTLINE.findall(data):
            if len(rest) < _LONG:
                short.append(operators(f"M{x} {y}{rest}"))
            else:
                yield f"q 1 0 0 1 {x} {y} cm /{self._form(rest)} Do Q"
        if short:
            yield "\n".join((*short, "f"))

    def _form(self, outline: str) -> str:
        """The name of the form that is the outline, from its first point."""
        if outline not in self._kept.forms:
            drawn = operators(f"M0 0{outline}")
            numbers = [float(token) for token in drawn.split() if not token.isalpha()]
            left, top = min(numbers[::2]), min(numbers[1::2])
            form = self._stream.add_group(
                left, top, max(numbers[::2]) - left, max(numbers[1::2]) - top
            )
            del form.extra["Group"]  # nothing in it is transparent
            form.stream.append(f"{drawn}\nf")
            self._kept.forms[outline] = form.id
        return self._kept.forms[outline]

    def _ellipse(self, style: _Style, radius_x: str, radius_y: str) -> None:
        x, y, rx, ry = (float(n) for n in (style["cx"], style["cy"], radius_x, radius_y))
        kx, ky = rx * _CURVE, ry * _CURVE
        drawn = (
            f"M{x + rx} {y}C{x + rx} {y + ky} {x + kx} {y + ry} {x} {y + ry}"
            f" {x - kx} {y + ry} {x - rx} {y + ky} {x - rx} {y}"
            f" {x - rx} {y - ky} {x - kx} {y - ry} {x} {y - ry}"
            f" {x + kx} {y - ry} {x + rx} {y - ky} {x + rx} {y}Z"
        )
        self._inked(f"{operators(drawn)}\n{_paint(style)}", style)

    def _inked(self, drawn: str, style: _Style) -> None:
        """What is drawn, with the pen and the colours of ``style``."""
        state = "\n".join(_state(style))
        self._stream.stream.append(f"q\n{state}\n{drawn}\nQ" if state else drawn)

    def _text(self, text: str, style: _Style) -> None:
        """A text in one piece; with several ``x``, character by character."""
        from weasyprint.draw.text import draw_first_line
        from weasyprint.matrix import Matrix

        if not text or not _is_seen(style, "fill"):
            return
        xs, ys = ([float(number) for number in style[axis].split()] for axis in ("x", "y"))
        shift = _SHIFT[style.get("text-anchor", "start")]
        self._stream.push_state()
        self._stream.stream.extend(_state(style))
        self._stream.begin_text()
        pieces = text if len(xs) > 1 else [_SPACE.sub(" ", text).strip(" ")]
        for piece, x, y in zip(pieces, xs, ys, strict=True):
            box, width = self._laid_out(piece, style)
            place = Matrix(d=-1, e=x - shift * width, f=y)
            draw_first_line(self._stream, box, "none", "none", place)
        self._stream.end_text()
        self._stream.pop_state()

    def _laid_out(self, text: str, style: _Style) -> tuple[Any, float]:
        """The text as WeasyPrint lays it out, and its width."""
        from weasyprint.svg.text import TextBox
        from weasyprint.text.line_break import create_layout, line_size

        font = tuple(style.get(name, "") for name in sorted(_FONT))
        key = (text, *font)
        if key not in self._kept.texts:
            if font not in self._kept.looks:
                self._kept.looks[font] = self._looks(style)
            looks = self._kept.looks[font]
            layout = create_layout(text, looks, None, None, 0)
            width, _ = line_size(layout.get_first_line()[0], looks)
            self._kept.texts[key] = TextBox(layout, looks), width
        return self._kept.texts[key]

    def _looks(self, style: _Style) -> Any:
        """What WeasyPrint asks of a text's font; it says all of CSS, ten thousand bytes of it."""
        from weasyprint.css.properties import INITIAL_VALUES
        from weasyprint.svg.text import Style

        weight = style.get("font-weight", "400")
        looks = Style(
            INITIAL_VALUES,
            font_family=[n.strip("\"' ") for n in style.get("font-family", "").split(",")],
            font_style=style.get("font-style", "normal"),
            font_weight={"normal": 400, "bold": 700}.get(weight) or int(weight),
            font_size=float(style.get("font-size", _FONT_SIZE)),
        )
        looks.font_config = self._fonts
        return looks


def _matrix(moved: str) -> Any:
    from weasyprint.svg.utils import transform

    return transform(moved, None, 0, 0).values


def _is_seen(style: _Style, paint: str) -> bool:
    return style.get(paint, "#000" if paint == "fill" else "none") != "none"


def _paint(style: _Style) -> str:
    return _PAINT[_is_seen(style, "fill"), _is_seen(style, "stroke")]


def _state(style: _Style) -> Iterator[str]:
    """What differs from how an SVG begins."""
    if _is_seen(style, "fill") and "fill" in style:
        yield from _colour(style["fill"], "rg")
    if not _is_seen(style, "stroke"):
        return
    yield from _colour(style["stroke"], "RG")
    if "stroke-width" in style:
        yield f"{style['stroke-width']} w"
    if "stroke-linecap" in style:
        yield f"{_CAPS[style['stroke-linecap']]} J"
    if "stroke-linejoin" in style:
        yield f"{_JOINS[style['stroke-linejoin']]} j"
    if style.get("stroke-dasharray", "none") != "none":
        yield f"[{style['stroke-dasharray']}] 0 d"


def _colour(colour: str, operator: str) -> Iterator[str]:
    digits = colour[1:] if len(colour) == 7 else "".join(2 * digit for digit in colour[1:])
    if digits != "000000":
        parts = (int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4))
        yield " ".join((*(f"{part:.6g}" for part in parts), operator))
