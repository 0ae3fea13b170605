"""A sheet as a MusicXML 4.0 partwise document.

Enters: a ``Sheet``. Leaves: bytes, the same for the same sheet. Written directly and not through a
library's exporter, which costs more than the engraving and writes random ids and dates.
"""

from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from engrave.music.sheet import Sheet
from engrave.notation.elements import make, sub
from engrave.notation.measures import measures

_HEAD = (
    b'<?xml version="1.0" encoding="UTF-8"?>\n'
    b'<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN"'
    b' "http://www.musicxml.org/dtds/partwise.dtd">\n'
)


def musicxml(
    sheet: Sheet, *, title: str = "", composer: str = "", part: str = "Piano", bare: bool = False
) -> bytes:
    """``sheet`` as MusicXML 4.0: one part with as many staves as the sheet prints.

    ``bare``: without fingers, labels, the sheet's own systems, and line ends.

    A note has the id ``bB-eE-tT``: tone T of event E of bar B of the sheet, counted from 0; rests
    that fill an empty staff are counted after the bar's events. A computed finger is written in
    grey italics, a label as small bold ``words``. Raises ``ValueError`` where a sheet cannot be
    written: events of a voice that overlap or reach over the bar, a slur without a note at its end,
    names that MusicXML does not know.
    """
    root = make("score-partwise", version="4.0")
    if title:
        sub(sub(root, "work"), "work-title", title)
    identification = sub(root, "identification")
    if composer:
        sub(identification, "creator", composer, type="composer")
    _encoding(identification)
    score_part = sub(sub(root, "part-list"), "score-part", id="P1")
    sub(score_part, "part-name", part, print_object="no")
    sub(root, "part", id="P1").extend(list(measures(sheet, bare)))
    if not bare:
        ElementTree.indent(root, " ")
    body: bytes = ElementTree.tostring(root, encoding="utf-8")
    return _HEAD + body + b"\n"


def _encoding(identification: Element) -> None:
    """What a reader may rely on: these are all written out, none is left to be worked out."""
    encoding = sub(identification, "encoding")
    sub(encoding, "software", "engrave")
    for element in ("accidental", "beam"):
        sub(encoding, "supports", element=element, type="yes")
    sub(encoding, "supports", element="print", attribute="new-system", type="yes", value="yes")
