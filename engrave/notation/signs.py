"""Words and signs of a staff as ``<direction>`` elements, and clefs in mid bar.

Enters: a bar. Leaves: its signs, each with its staff and its moment.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from xml.etree.ElementTree import Element

from engrave.music.sheet import Bar, Direction
from engrave.music.units import Quarters, fraction_text
from engrave.music.values import single
from engrave.notation.attributes import clef_change
from engrave.notation.elements import make, sub
from engrave.notation.notes import BarSigns

LABEL = {"font-size": "7", "font-weight": "bold"}
"""How the original measure number above a note is marked."""

_DYNAMICS = frozenset(
    {
        "p", "pp", "ppp", "pppp", "ppppp", "pppppp", "f", "ff", "fff", "ffff", "fffff", "ffffff",
        "mp", "mf", "sf", "sfp", "sfpp", "fp", "rf", "rfz", "sfz", "sffz", "fz", "n", "pf", "sfzp",
    }
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Sign:
    """An element that stands on ``staff`` at ``offset`` quarters into its bar."""

    offset: Quarters
    staff: int
    element: Element

    def at(self, distance: int) -> Element:
        """The element, moved ``distance`` divisions on where no note begins at its moment."""
        if distance and self.element.tag == "direction":
            types = len(self.element.findall("direction-type"))
            self.element.insert(types, make("offset", distance))
        return self.element


def direction(staff: int | None, *contents: Element, placement: str | None = None) -> Element:
    """A ``<direction>`` that holds ``contents``, each in a ``<direction-type>``."""
    element = make("direction", placement=placement)
    for content in contents:
        sub(element, "direction-type").append(content)
    if staff is not None:
        sub(element, "staff", staff)
    return element


def direction_signs(bar: Bar, ink: BarSigns) -> Iterator[Sign]:
    """The bar's clef changes, labels and directions."""
    for change in bar.clefs:
        if change.offset > 0 and change.staff in ink.staves:
            yield Sign(change.offset, change.staff, clef_change(change, ink.staves))
    for event in bar.events:
        if event.label is not None and not ink.bare:
            words = make("words", event.label)
            words.attrib.update(LABEL)
            element = direction(ink.staff(event.staff), words, placement="above")
            yield Sign(event.offset, event.staff, element)
    for sign in bar.directions:
        if sign.staff in ink.staves:
            yield Sign(sign.offset, sign.staff, _direction(sign, ink))


def _direction(sign: Direction, ink: BarSigns) -> Element:
    staff = ink.staff(sign.staff)
    contents = []
    if sign.kind == "metronome":
        return _metronome(sign, staff)
    if sign.kind == "dynamic":
        contents.append(_dynamic(sign.text))
    elif sign.kind in ("segno", "coda"):
        contents.append(make(sign.kind))
    elif sign.kind in ("words", "rehearsal"):
        style = "italic" if sign.italic else None
        contents.append(make(sign.kind, sign.text, font_style=style))
    else:
        raise ValueError(f"unknown direction: {sign.kind!r}")
    return direction(staff, *contents, placement=sign.placement)


def _dynamic(text: str) -> Element:
    dynamics = make("dynamics")
    if text in _DYNAMICS:
        sub(dynamics, text)
    else:
        sub(dynamics, "other-dynamics", text)
    return dynamics


def _metronome(sign: Direction, staff: int | None) -> Element:
    if sign.beat_unit is None or sign.per_minute is None:
        raise ValueError("a metronome mark needs beat_unit and per_minute")
    value = single(sign.beat_unit, max_dots=2)
    if value is None:
        raise ValueError(f"no note value lasts {fraction_text(sign.beat_unit)} quarters")
    metronome = make("metronome")
    sub(metronome, "beat-unit", value.type)
    for _ in range(value.dots):
        sub(metronome, "beat-unit-dot")
    sub(metronome, "per-minute", _number(sign.per_minute))
    words = [make("words", sign.text)] if sign.text else []
    element = direction(staff, *words, metronome, placement=sign.placement)
    sub(element, "sound", tempo=_number(sign.per_minute * sign.beat_unit))
    return element


def _number(value: Fraction) -> str:
    """A decimal as MusicXML wants it; at most three places, as a metronome has no more to say."""
    return f"{float(value):.3f}".rstrip("0").rstrip(".")
