"""What is printed at a single note of MusicXML.

Enters: a MusicXML ``note`` element. Leaves: ``NoteSigns`` and the slurs' ends.
Knows no bars and no hands.
"""

from collections import Counter
from xml.etree.ElementTree import Element

from engrave.music.signs import ARTICULATIONS, ORNAMENTS
from engrave.music.units import Quarters
from engrave.score.formats.fingerings import digits
from engrave.score.formats.raw import Edge, NoteSigns

_ELSEWHERE = frozenset({"tremolo", "wavy-line"})
_LOST = {
    "accidental-mark": "accidentals of ornaments",
    "glissando": "glissandi",
    "slide": "glissandi",
    "non-arpeggiate": "brackets against rolling a chord",
}


def read_notations(note: Element, lost: Counter[str]) -> tuple[NoteSigns, list[Edge]]:
    """The signs at a MusicXML ``note`` and the ends of slurs there; counts in ``lost`` the rest.

    The slurs' places are left to the caller.
    """
    printed, slurs = NoteSigns(cue=note.find("cue") is not None), []
    for sign in note.iterfind("notations/*"):
        tag = sign.tag
        if tag == "slur" and sign.get("type") in ("start", "stop"):
            slurs.append(_slur(sign))
        elif tag == "articulations":
            printed.articulations += _known(sign, ARTICULATIONS, "other articulations", lost)
        elif tag == "ornaments":
            _read_ornaments(sign, printed, lost)
        elif tag == "technical":
            printed.fingers += _fingers(sign)
        elif tag == "fermata":
            printed.fermata = True
        elif tag == "arpeggiate":
            printed.arpeggio = True
        elif tag in _LOST and sign.get("type") != "stop":
            lost[_LOST[tag]] += 1
    return printed, slurs


def _slur(sign: Element) -> Edge:
    return Edge(
        group="slur",
        kind="slur",
        opens=sign.get("type") == "start",
        number=sign.get("number", "1"),
        bar=0,
        offset=Quarters(0),
        staff=1,
        placement=sign.get("placement"),
    )


def _read_ornaments(ornaments: Element, printed: NoteSigns, lost: Counter[str]) -> None:
    for tremolo in ornaments.iterfind("tremolo"):
        kind, strokes = tremolo.get("type", "single"), (tremolo.text or "3").strip()
        printed.tremolo = strokes if kind == "single" else f"{kind}-{strokes}"
    for line in ornaments.iterfind("wavy-line"):
        if line.get("type") in ("start", "stop"):
            printed.trill_line = line.get("type")
    printed.ornaments += _known(ornaments, ORNAMENTS, "other ornaments", lost)


def _known(group: Element, names: frozenset[str], kind: str, lost: Counter[str]) -> list[str]:
    """The names of the signs in ``group`` that are complete without text; the rest is lost."""
    for sign in group:
        if sign.tag not in names | _ELSEWHERE:
            lost[_LOST.get(sign.tag, kind)] += 1
    return [sign.tag for sign in group if sign.tag in names]


def _fingers(technical: Element) -> list[int]:
    return [
        number
        for sign in technical.iterfind("fingering")
        if "yes" not in (sign.get("substitution"), sign.get("alternate"))
        for number in digits(sign.text or "")
    ]
