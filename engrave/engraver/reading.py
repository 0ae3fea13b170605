"""Verovio's SVG taken apart: flat shapes, system by system, and where staves and notes are.

Enters: the SVG. Leaves: ``System``s. Nested groups, ids, styles and transforms end here. What is
hidden is dropped, and so are verovio's own measure numbers.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import count
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from engrave.engraver.paths import Box, Point, around, ellipse, parse, polygon
from engrave.engraver.shapes import Fill, Glyph, Polyline, Shape
from engrave.engraver.text import read_text
from engrave.engraver.toolkit import STAFF

_SVG = "{http://www.w3.org/2000/svg}"
_HREF = "{http://www.w3.org/1999/xlink}href"
_PLACE = re.compile(r"translate\(([-.\d]+), ?([-.\d]+)\)(?: scale\(([-.\d]+))?")
_TURN = re.compile(r"rotate\(-90\.0* ([-.\d]+),([-.\d]+)\)")
_LINE = re.compile(r"M([-.\d]+) ([-.\d]+) L([-.\d]+) ([-.\d]+)")
_DROPPED = frozenset({"mNum", "placeholder"})
_HEAD = frozenset({"clef", "keySig"})
_NOT_HEADS = frozenset({"stem", "accid", "dots", "artic"})

OUTSIDE = ("octave", "dynam", "hairpin", "pedal", "dir", "tempo", "reh", "voltaBracket")
"""Classes of signs that stand outside staff and notes, and give way to fingers."""

ORNAMENTS = ("trill", "mordent", "turn", "fermata")
"""Classes of signs that belong to one note, and give way to its slurs."""

RESTS = frozenset({"rest", "mRest"})
STAVES = frozenset({"", "staff", "ledgerLines", "barLine", "grpSym"})
"""What signs stand on or cross without being in each other's way."""

_KINDS = frozenset(
    {
        "accid", "arpeg", "artic", "bTrem", "barLine", "beam", "beamSpan", "clef", "dots", "fTrem",
        "flag", "grpSym", "keySig", "ledgerLines", "meterSig", "notehead", "slur", "staff", "stem",
        "tie", "tupletBracket", "tupletNum", *RESTS, *OUTSIDE, *ORNAMENTS,
    }
)  # fmt: skip
"""What verovio calls what is drawn."""

_ON_ONE_STEM = frozenset({"bTrem", "beam", "chord", "fTrem", "note", *RESTS})


@dataclass(frozen=True, slots=True)
class Ink:
    """A shape, the role it plays (a class of ``OUTSIDE`` or ``ORNAMENTS``, or none), its group;
    what it is (``kind``, verovio's class), and which beam, chord, note or sign it is a part of."""

    shape: Shape
    role: str = ""
    group: int = 0
    kind: str = ""
    owner: int = 0


def boxes_of(inks: Iterable[Ink]) -> list[Box]:
    """Boxes that cover all of the ink."""
    return [box for ink in inks for box in ink.shape.boxes]


@dataclass(slots=True, eq=False)
class System:
    """One line of music: its ink, its staves' top lines, and its notes' boxes by their ids.

    Once it is read nothing of it changes.
    """

    inks: list[Ink] = field(default_factory=list)
    staff_tops: list[float] = field(default_factory=list)
    notes: dict[str, Box] = field(default_factory=dict)
    bar_ends: list[float] = field(default_factory=list)
    right: float = 0
    head: float = 0
    """Where clef and key signature end."""
    left: float = 0
    """Where the brace begins; the staves begin at 0."""

    def staff_near(self, y: float) -> float:
        """The top line of the staff whose middle is nearest to ``y``."""
        return min(self.staff_tops, key=lambda top: abs(top + STAFF / 2 - y))


@dataclass(frozen=True, slots=True)
class _Where:
    """What the groups around an element say of it."""

    system: System
    role: str = ""
    group: int = 0
    note: str = ""
    turn: tuple[float, float] | None = None
    kind: str = ""
    owner: int = 0
    is_stemmed: bool = False


def read_systems(svg: str) -> list[System]:
    """The systems of a page, from the first to the last."""
    root = ElementTree.fromstring(svg)
    groups = count(1)
    systems = []
    for element in root.iter(f"{_SVG}g"):
        if element.get("class") == "system":
            system = System()
            _read(element, _Where(system), groups)
            system.staff_tops.sort()
            systems.append(system)
    return systems


def _read(element: Element, where: _Where, groups: "count[int]") -> None:
    system = where.system
    for child in element:
        tag = child.tag.removeprefix(_SVG)
        classes = frozenset(child.get("class", "").split())
        if child.get("visibility") == "hidden" or classes & _DROPPED:
            continue
        if tag == "g":
            before = len(system.inks)
            if "staff" in classes:
                _staff(child, system)
            _read(child, _enter(child, classes, where, groups), groups)
            _take_measure(classes, system, before)
            continue
        for shape in _shapes(child, tag, where):
            system.inks.append(Ink(shape, where.role, where.group, where.kind, where.owner))
            if where.note and isinstance(shape, Glyph):
                system.notes.setdefault(where.note, shape.boxes[0])


def _take_measure(classes: frozenset[str], system: System, before: int) -> None:
    """What a group that has been read, its ink standing from ``before`` on, tells of the system."""
    if "measure" in classes:
        system.bar_ends.append(system.right)
        return
    heads = classes & _HEAD and not system.notes
    if heads or "grpSym" in classes:
        boxes = boxes_of(system.inks[before:])
        if boxes and heads:
            system.head = max(system.head, around(boxes).right)
        elif boxes:
            system.left = around(boxes).left


def _enter(child: Element, classes: frozenset[str], where: _Where, groups: "count[int]") -> _Where:
    role, group, note, turn = where.role, where.group, where.note, where.turn
    own = next((name for name in (*OUTSIDE, *ORNAMENTS) if name in classes), None)
    if own:
        role, group = own, next(groups)
    if "note" in classes or "rest" in classes or "mRest" in classes:
        note = child.get("id", "")
    elif classes & _NOT_HEADS:
        note = ""
    if "transform" in child.attrib:
        turned = _TURN.match(child.attrib["transform"])
        if not turned:
            raise RuntimeError(f"a transform that is not known: {child.attrib['transform']}")
        turn = (float(turned[1]), float(turned[2]))
    kind = next((name for name in classes if name in _KINDS), where.kind)
    owner, is_stemmed = where.owner, where.is_stemmed
    if kind in RESTS or (not is_stemmed and (kind != where.kind or classes & _ON_ONE_STEM)):
        owner, is_stemmed = next(groups), bool(classes & _ON_ONE_STEM)
    return _Where(where.system, role, group, note, turn, kind, owner, is_stemmed)


def _staff(element: Element, system: System) -> None:
    """The top line comes first, and reaches as far as the measure."""
    path = element.find(f"{_SVG}path")
    line = _LINE.fullmatch(path.get("d", "")) if path is not None else None
    if not line:
        raise RuntimeError("a staff without lines")
    top, right = float(line[2]), float(line[3])
    system.right = max(system.right, right)
    if top not in system.staff_tops:
        system.staff_tops.append(top)


def _shapes(element: Element, tag: str, where: _Where) -> Iterator[Shape]:
    def number(name: str) -> float:
        return float(element.get(name, "0"))

    if tag == "use":
        yield _glyph(element, where)
    elif tag == "path":
        line = _LINE.fullmatch(element.get("d", ""))
        if line:
            ax, ay, bx, by = map(float, line.groups())
            yield _stroke(element, ((ax, ay), (bx, by)))
        else:
            yield Fill(parse(element.get("d", "")), number("stroke-width"))
    elif tag == "polyline":
        yield _stroke(element, tuple(_points(element)))
    elif tag == "polygon":
        yield Fill(polygon(_points(element)))
    elif tag == "ellipse":
        yield Fill(ellipse(number("cx"), number("cy"), number("rx"), number("ry")))
    elif tag == "rect":
        left, top = number("x"), number("y")
        right, bottom = left + number("width"), top + number("height")
        corners = [(left, top), (right, top), (right, bottom), (left, bottom)]
        frame = element.get("fill-opacity") == "0"
        yield _stroke(element, (*corners, corners[0])) if frame else Fill(polygon(corners))
    elif tag == "text":
        yield from read_text(element, where.role)
    else:
        raise RuntimeError(f"an element that is not known: {tag}")


def _glyph(element: Element, where: _Where) -> Glyph:
    place = _PLACE.match(element.get("transform", ""))
    if not place:
        raise RuntimeError(f"a glyph without a place: {element.attrib}")
    x, y, scale = float(place[1]), float(place[2]), float(place[3] or 1)
    if where.turn:
        cx, cy = where.turn
        x, y = cx + (y - cy), cy - (x - cx)
    code = element.get(_HREF, "").removeprefix("#").partition("-")[0]
    return Glyph(code, x, y, scale, turned=where.turn is not None)


def _stroke(element: Element, points: tuple[Point, ...]) -> Polyline:
    return Polyline(
        points,
        float(element.get("stroke-width", "1")),
        element.get("stroke-linecap", "butt"),
        element.get("stroke-dasharray", ""),
    )


def _points(element: Element) -> list[Point]:
    pairs = element.get("points", "").split()
    return [(float(x), float(y)) for x, y in (pair.split(",") for pair in pairs)]
