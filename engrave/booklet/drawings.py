"""Pictures as the press draws them: the SVG of music and tempo boxes, without WeasyPrint's detours.

Enters: the HTML of a booklet and the SVG of its pictures. Leaves: images in WeasyPrint's sense.
Path data becomes PDF operators directly, a text is laid out once, wherever it comes back, and a
picture that stands in several places is drawn once and called up there (a form XObject, ISO
32000-1, 8.10). Whatever else stands in an SVG is left to WeasyPrint.
"""

import re
from collections import Counter
from collections.abc import Mapping
from functools import cache
from typing import Any
from xml.etree import ElementTree

_TOKEN = re.compile(r"[A-Za-z]|-?(?:\d+\.?\d*|\.\d+)")
_NUMBERS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "Z": 0}
_SHIFT = {"start": 0.0, "middle": 0.5, "end": 1.0}

_Texts = dict[tuple[str, tuple[str, ...], float, str, str], tuple[Any, float]]
"""By text, families, size, slope and weight: the text laid out, and its width."""


def drawings(html: str, pictures: Mapping[str, bytes], fonts: Any) -> dict[str, Any]:
    """The images by their addresses; ``fonts`` is the ``FontConfiguration`` of the document.

    ``pictures`` gives the SVG of every ``picture:NAME`` in ``html``.
    """
    image, texts = _image_class(), _Texts()
    places = Counter(re.findall(r'"(picture:[^"]+)"', html))
    return {
        address: image(address, pictures[name], fonts, texts, places[address] > 1)
        for name in pictures
        if (address := f"picture:{name}")
    }


def operators(data: str) -> str | None:
    """SVG path data as PDF path operators; None where it holds more than lines and Bézier curves.

    SVG 1.1, 8.3, and ISO 32000-1, 8.5.2.
    """
    written: list[str] = []
    tokens = _TOKEN.findall(data)
    x = y = start_x = start_y = 0.0
    at, command = 0, "?"
    while at < len(tokens):
        if tokens[at].isalpha():
            command = tokens[at]
            at += 1
        kind = command.upper()
        if kind not in _NUMBERS:
            return None
        numbers = [float(token) for token in tokens[at : at + _NUMBERS[kind]]]
        at += len(numbers)
        dx, dy = (x, y) if command.islower() else (0.0, 0.0)
        if kind == "Z":
            x, y = start_x, start_y
            written.append("h")
            continue
        if kind == "C":
            a, b, c, d, e, f = numbers
            x, y = e + dx, f + dy
            written.append(f"{a + dx:.7g} {b + dy:.7g} {c + dx:.7g} {d + dy:.7g} {x:.7g} {y:.7g} c")
            continue
        x = numbers[0] + dx if kind != "V" else x
        y = numbers[-1] + dy if kind != "H" else y
        written.append(f"{x:.7g} {y:.7g} {'m' if kind == 'M' else 'l'}")
        if kind == "M":
            start_x, start_y = x, y
            command = "l" if command == "m" else "L"
    return "\n".join(written)


@cache
def _image_class() -> Any:
    from weasyprint.css.properties import INITIAL_VALUES
    from weasyprint.draw.text import draw_first_line
    from weasyprint.images import SVGImage
    from weasyprint.matrix import Matrix
    from weasyprint.svg import SVG
    from weasyprint.svg.text import Style, TextBox
    from weasyprint.text.line_break import create_layout, line_size

    class Drawn(SVG):  # type: ignore[misc]
        """The SVG, its paths and texts drawn by the shorter way."""

        texts: _Texts

        def draw_node(self, node: Any, font_size: float, *rest: Any, **named: Any) -> None:
            if node.tag == "text":
                self._text(node, float(node.get("font-size", font_size)))
            elif node.tag == "path" and (data := operators(node.get("d", ""))) is not None:
                self.stream.push_state()
                fill, stroke = self.set_graphical_state(node, font_size)
                self.stream.stream.append(data)
                self.fill_stroke(fill, stroke)
                self.stream.pop_state()
            else:
                super().draw_node(node, font_size, *rest, **named)

        def _text(self, node: Any, size: float) -> None:
            """A text in one piece; with several ``x``, character by character."""
            xs, ys = (
                [float(number) for number in node.get(axis, "0").split()] for axis in ("x", "y")
            )
            pieces = node.text if len(xs) > 1 else [node.text]
            shift = _SHIFT[node.get("text-anchor", "start")]
            self.stream.push_state()
            paints = self.set_graphical_state(node, size)
            self.stream.begin_text()
            self.fill_stroke(*paints, text=True)
            for piece, x, y in zip(pieces, xs, ys, strict=True):
                box, width = self._laid_out(piece, node, size)
                place = Matrix(d=-1, e=x - shift * width, f=y)
                draw_first_line(self.stream, box, "none", "none", place)
            self.stream.end_text()
            self.stream.pop_state()

        def _laid_out(self, text: str, node: Any, size: float) -> tuple[Any, float]:
            family = tuple(name.strip("\"' ") for name in node.get("font-family", "").split(","))
            slope, weight = node.get("font-style", "normal"), node.get("font-weight", "400")
            key = (text, family, size, slope, weight)
            if key not in self.texts:
                style = Style(
                    INITIAL_VALUES,
                    font_family=list(family),
                    font_style=slope,
                    font_weight={"normal": 400, "bold": 700}.get(weight) or int(weight),
                    font_size=size,
                )
                style.font_config = self.font_config
                layout = create_layout(text, style, None, None, 0)
                width, _ = line_size(layout.get_first_line()[0], style)
                self.texts[key] = TextBox(layout, style), width
            return self.texts[key]

    class Image(SVGImage):  # type: ignore[misc]
        """A picture; if it is ``shared``, its first place draws it and the others call it up."""

        def __init__(
            self, address: str, svg: bytes, fonts: Any, texts: _Texts, shared: bool
        ) -> None:
            self._address, self._shared = address, shared
            self._svg = Drawn(ElementTree.fromstring(svg), address, fonts)
            self._svg.texts = texts
            self._forms: dict[tuple[float, float], str] = {}

        def draw(self, stream: Any, width: float, height: float, style: Any) -> None:
            if not self._shared:
                self._svg.draw(stream, width, height, self._address, None)
                return
            if (width, height) not in self._forms:
                form = stream.add_group(0, 0, width, height)
                del form.extra["Group"]  # nothing in it is transparent
                self._svg.draw(form, width, height, self._address, None)
                self._forms[width, height] = form.id
            stream.draw_x_object(self._forms[width, height])

    return Image
